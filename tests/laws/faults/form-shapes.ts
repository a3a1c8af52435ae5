/** Faults of the whole: lifts not prepared (VA4) or not followed (VA5), signs that lead nowhere (VA11), openings and endings that do not connect (VA12). */
import {
  type ArrangedBar,
  type Chord,
  type FoldedBar,
  type PartNote,
  chord,
  parseChord,
  pitchClass,
  printedContent,
  scaleOf,
  transposeChord,
} from '@chartloft/shared-theory'
import { type Injected, type Shape, changed, draw, partsOf, shape, withChords } from './fault.js'
import { type Random, type Scene, withBar } from './scene.js'

/** A bar's chords as they lead on: F and F6 lead alike. */
const rowOf = ({ chords }: ArrangedBar): string =>
  JSON.stringify(
    chords.map(({ startTick, chord: { root, kind } }) => [
      startTick,
      root === '' ? -1 : pitchClass(root),
      ['major', 'major-sixth'].includes(kind) ? 'major' : kind,
    ]),
  )

/** Something else in the bar before the lift. */
const unprepared = (
  name: string,
  change: (bar: ArrangedBar, flat: ArrangedBar, random: Random) => ArrangedBar | undefined,
): Shape =>
  shape('VA4', name, (scene, random) => {
    const { lift, flat, music } = scene
    const index = (lift?.index ?? 0) - 1
    const own = music.bars[index]
    const before = flat?.bars[index]
    if (
      !lift ||
      !own ||
      !before ||
      lift.preparation === 'direct' ||
      rowOf(own) === rowOf(before) ||
      own.pass === 'opening'
    )
      return undefined
    const bar = change(own, before, random)
    if (!bar) return undefined
    return rowOf(bar) === rowOf(own) ? 'same' : { music: withBar(scene, index, bar), at: [`bars/${index}`] }
  })

const filling = (bar: ArrangedBar, ...row: readonly Chord[]): ArrangedBar =>
  withChords(
    bar,
    row.map((one, place) => ({
      startTick: (bar.lengthTicks / row.length) * place,
      durationTicks: bar.lengthTicks / row.length,
      chord: one,
    })),
  )

const VA4: readonly Shape[] = [
  unprepared('the old chords still there', (bar, flat) => withChords(bar, flat.chords)),
  unprepared('prepared for a key nearby', (bar, _flat, random) => {
    const interval = draw(['2m', '-2m', '2M', '-2M', '3m', '4P'], random) as string
    return withChords(
      bar,
      bar.chords.map((placed) => ({
        ...placed,
        chord: placed.chord.root === '' ? placed.chord : transposeChord(placed.chord, interval),
      })),
    )
  }),
  unprepared('only the first of its chords', (bar) =>
    bar.chords.length > 1 && bar.chords[0] ? filling(bar, bar.chords[0].chord) : undefined,
  ),
  unprepared('its chords in the wrong order', (bar) =>
    bar.chords.length > 1
      ? withChords(
          bar,
          bar.chords.map((placed, place) => ({
            ...placed,
            chord: bar.chords[bar.chords.length - 1 - place]?.chord ?? placed.chord,
          })),
        )
      : undefined,
  ),
  unprepared('the old tonic all through', (bar, flat) => filling(bar, chord(scaleOf(flat.key.key)[0] as string))),
  unprepared('the third in a sus chord', (bar) => {
    const last = bar.chords.length - 1
    const own = bar.chords[last]?.chord
    return own?.symbol.includes('sus')
      ? withChords(bar, changed(bar.chords, last, { chord: chord(`${own.root}7`) }))
      : undefined
  }),
  unprepared('no chord', (bar) => filling(bar, chord('N.C.'))),
]

const sameNotes = (a: readonly PartNote[], b: readonly PartNote[]): boolean =>
  a.length === b.length &&
  a.every(({ startTick, midi }, place) => b[place]?.startTick === startTick && b[place].midi === midi)

/** A lifted bar drawn at random. */
function liftedBar(scene: Scene, random: Random): number | undefined {
  const { lift, music } = scene
  return lift && lift.semitones % 12 !== 0 ? lift.index + random(music.bars.length - lift.index) : undefined
}

const FIELDS = ['key', 'melody', 'chords'] as const

const behindField = (field: (typeof FIELDS)[number], bars: number): Shape =>
  shape('VA5', `${field} left behind for ${bars === 1 ? 'a bar' : `${bars} bars`}`, (scene, random) => {
    const from = liftedBar(scene, random)
    const { music, flat } = scene
    const first = from === undefined ? undefined : music.bars[from]
    const old = from === undefined ? undefined : flat?.bars[from]
    if (from === undefined || !first || !old) return undefined
    if (field === 'melody' && old.melody.length === 0) return undefined
    if (field === 'chords' && old.chords.every(({ chord: { root } }) => root === '')) return undefined
    if (JSON.stringify(first[field]) === JSON.stringify(old[field])) return 'same'
    const damaged = music.bars.map((bar, index) =>
      index >= from && index < from + bars ? { ...bar, [field]: flat?.bars[index]?.[field] ?? bar[field] } : bar,
    )
    return { music: { ...music, bars: damaged }, at: [`bars/${from}/${field}`] }
  })

/** The part's notes as they were, or its lifted notes put back by the lift. */
const behindPart = (name: string, roles: readonly string[], bars: number, from: 'flat' | 'shifted'): Shape =>
  shape('VA5', name, (scene, random) => {
    const start = liftedBar(scene, random)
    const id = draw(partsOf(scene, ...roles), random)
    const { music, flat, lift } = scene
    if (start === undefined || id === undefined || !flat || !lift) return undefined
    const old = (index: number): readonly PartNote[] => {
      const own = music.bars[index]?.parts[id] ?? []
      return from === 'flat' ? (flat.bars[index]?.parts[id] ?? []) : own.map((note) => shifted(note, -lift.semitones))
    }
    if (old(start).length === 0) return undefined
    if (sameNotes(old(start), music.bars[start]?.parts[id] ?? [])) return 'same'
    const damaged = music.bars.map((bar, index) =>
      index >= start && index < start + bars ? { ...bar, parts: { ...bar.parts, [id]: old(index) } } : bar,
    )
    return { music: { ...music, bars: damaged }, at: [`bars/${start}/parts/${id}`] }
  })

function shifted(note: PartNote, semitones: number): PartNote {
  const midi = note.midi + semitones
  const names = ['C', 'Db', 'D', 'Eb', 'E', 'F', 'F#', 'G', 'Ab', 'A', 'Bb', 'B']
  return { ...note, midi, name: `${names[midi % 12]}${Math.floor(midi / 12) - 1}` }
}

const VA5: readonly Shape[] = [
  ...FIELDS.flatMap((field) => [behindField(field, 1), behindField(field, 4), behindField(field, 999)]),
  shape('VA5', 'the ending left behind', (scene) => {
    const { music, flat, lift } = scene
    const at = music.bars.findIndex(({ pass }) => pass === 'ending')
    const own = music.bars[at]
    const old = flat?.bars[at]
    if (!lift || !flat || !own || !old || at < lift.index) return undefined
    const bars = music.bars.map((bar, index) =>
      index >= at
        ? {
            ...bar,
            key: flat.bars[index]?.key ?? bar.key,
            chords: flat.bars[index]?.chords ?? bar.chords,
            melody: flat.bars[index]?.melody ?? [],
            parts: flat.bars[index]?.parts ?? {},
          }
        : bar,
    )
    return { music: { ...music, bars }, at: [`bars/${at}/key`] }
  }),
  shape('VA5', "only the ending's chords left behind", (scene) => {
    const { music, flat, lift } = scene
    const at = music.bars.findIndex(({ pass }) => pass === 'ending')
    const old = flat?.bars[at]
    if (!lift || !old || at < lift.index || old.chords.every(({ chord: { root } }) => root === '')) return undefined
    const bars = music.bars.map((bar, index) =>
      index >= at ? { ...bar, chords: flat?.bars[index]?.chords ?? bar.chords } : bar,
    )
    return { music: { ...music, bars }, at: [`bars/${at}/chords`] }
  }),
  behindPart('a horn, one bar', ['horn'], 1, 'flat'),
  behindPart('a horn, one bar moved back', ['horn'], 1, 'shifted'),
  behindPart('a horn, a phrase', ['horn'], 4, 'flat'),
  behindPart('the bass, one bar', ['bass'], 1, 'flat'),
  behindPart('the bass, one bar moved back', ['bass'], 1, 'shifted'),
  behindPart('the bass for good', ['bass'], 999, 'flat'),
  behindPart('a chord player, one bar', ['chords'], 1, 'flat'),
  behindPart('a chord player, one bar moved back', ['chords'], 1, 'shifted'),
  behindPart('a chord player, a phrase', ['chords'], 4, 'shifted'),
  behindPart('the lead, one bar', ['lead'], 1, 'flat'),
  behindPart('the lead for good', ['lead'], 999, 'shifted'),
]

/** The written bars in playing order, told again in few words: repeats, endings, one jump, the coda. */
function played(bars: readonly FoldedBar[]): readonly number[] {
  const order: number[] = []
  const segno = bars.findIndex((bar) => bar.segno)
  const coda = bars.findIndex((bar) => bar.coda)
  let back = 0
  let time = 1
  let jumped = false
  for (let at = 0; at < bars.length && order.length < 3000;) {
    const bar = bars[at] as FoldedBar
    if (bar.repeatStart === true && back !== at) [back, time] = [at, 1]
    if (bar.ending && !bar.ending.includes(jumped ? lastOf(bars, at) : time)) {
      at++
      continue
    }
    order.push(at)
    if (jumped && bar.toCoda === true && coda > at) at = coda
    else if (!jumped && bar.repeatEnd !== undefined && time < bar.repeatEnd) [at, time] = [back, time + 1]
    else {
      if (!jumped && bar.repeatEnd !== undefined) [back, time] = [at + 1, 1]
      const target = bar.jump?.startsWith('D.S.') === true ? segno : 0
      if (!jumped && bar.jump !== undefined && target >= 0) [at, jumped] = [target, true]
      else at++
    }
  }
  return order
}

function lastOf(bars: readonly FoldedBar[], at: number): number {
  const group: number[] = []
  for (let index = at; bars[index]?.ending; index++) group.push(...(bars[index]?.ending ?? []))
  return Math.max(...group)
}

/** Where a damaged road map must be found out: at a mark that leads nowhere now, else at the first bar that is played otherwise. */
function wrongAt(scene: Scene, bars: readonly FoldedBar[]): readonly string[] {
  const has = (mark: 'segno' | 'coda' | 'toCoda'): boolean => bars.some((bar) => bar[mark] === true)
  const lost = bars.flatMap(({ toCoda, jump }, index) => {
    const isLost =
      (toCoda === true && !has('coda')) ||
      (jump?.startsWith('D.S.') === true && !has('segno')) ||
      (jump?.endsWith('al Coda') === true && !has('toCoda'))
    return isLost ? [`folded/bars/${index}`] : []
  })
  if (lost.length > 0) return lost
  const order = played(bars)
  const linear = scene.music.bars
  const first = linear.findIndex((bar, index) => {
    const own = bars[order[index] ?? -1]?.bar
    return own === undefined || (own !== bar && printedContent(own) !== printedContent(bar))
  })
  return first >= 0 ? [`bars/${first}`] : order.length > linear.length ? ['folded'] : []
}

const damagedMap = (scene: Scene, bars: readonly FoldedBar[]): Injected | 'same' => {
  const at = wrongAt(scene, bars)
  return at.length === 0 ? 'same' : { folded: { ...scene.folded, bars }, at }
}

/** A sign taken away or changed. */
const sign = (
  name: string,
  has: (bar: FoldedBar) => boolean,
  change: (bar: FoldedBar, random: Random) => FoldedBar,
): Shape =>
  shape('VA11', name, (scene, random) => {
    const { bars } = scene.folded
    const at = draw(
      bars.flatMap((bar, index) => (has(bar) ? [index] : [])),
      random,
    )
    if (at === undefined) return undefined
    return damagedMap(
      scene,
      bars.map((bar, index) => (index === at ? change(bar, random) : bar)),
    )
  })

const without =
  (...marks: readonly (keyof FoldedBar)[]): ((bar: FoldedBar) => FoldedBar) =>
  (bar) =>
    Object.fromEntries(
      Object.entries(bar).filter(([mark]) => !(marks as readonly string[]).includes(mark)),
    ) as unknown as FoldedBar

/** A sign one bar too late. */
const late = (mark: 'segno' | 'coda' | 'toCoda'): Shape =>
  shape('VA11', `${mark} a bar late`, (scene) => {
    const { bars } = scene.folded
    const at = bars.findIndex((bar) => bar[mark])
    if (at < 0 || at + 1 >= bars.length) return undefined
    return damagedMap(
      scene,
      bars.map((bar, index) =>
        index === at ? without(mark)(bar) : index === at + 1 ? { ...bar, [mark]: true as const } : bar,
      ),
    )
  })

const writtenBar = (
  name: string,
  change: (bars: readonly FoldedBar[], at: number) => readonly FoldedBar[] | undefined,
): Shape =>
  shape('VA11', name, (scene, random) => {
    const bars = change(scene.folded.bars, random(scene.folded.bars.length))
    return bars && damagedMap(scene, bars)
  })

const VA11: readonly Shape[] = [
  sign('no coda', (bar) => bar.coda === true, without('coda')),
  sign('no segno', (bar) => bar.segno === true, without('segno')),
  sign('no To Coda', (bar) => bar.toCoda === true, without('toCoda')),
  sign('no jump', (bar) => bar.jump !== undefined, without('jump')),
  sign(
    'D.C. for D.S.',
    (bar) => bar.jump?.startsWith('D.S.') === true,
    (bar) => ({ ...bar, jump: 'D.C. al Coda' }),
  ),
  sign(
    'D.S. for D.C.',
    (bar) => bar.jump?.startsWith('D.C.') === true,
    (bar) => ({ ...bar, jump: 'D.S. al Coda' }),
  ),
  sign('no repeat start', (bar) => bar.repeatStart === true, without('repeatStart')),
  sign('no repeat end', (bar) => bar.repeatEnd !== undefined, without('repeatEnd')),
  sign(
    'once too often',
    (bar) => bar.repeatEnd !== undefined,
    (bar) => ({ ...bar, repeatEnd: (bar.repeatEnd ?? 1) + 1 }),
  ),
  sign(
    'once too few',
    (bar) => (bar.repeatEnd ?? 0) > 2,
    (bar) => ({ ...bar, repeatEnd: (bar.repeatEnd ?? 2) - 1 }),
  ),
  sign('no ending numbers', (bar) => bar.ending !== undefined, without('ending')),
  late('segno'),
  late('coda'),
  late('toCoda'),
  writtenBar('a written bar left out', (bars, at) =>
    bars.length > 1 ? bars.filter((_bar, index) => index !== at) : undefined,
  ),
  writtenBar('a written bar twice', (bars, at) => [...bars.slice(0, at + 1), ...bars.slice(at)]),
  writtenBar('two written bars changed over', (bars, at) => {
    const [a, b] = [bars[at], bars[at + 1]]
    return a && b
      ? bars.map((bar, index) => (index === at ? { ...a, bar: b.bar } : index === at + 1 ? { ...b, bar: a.bar } : bar))
      : undefined
  }),
  writtenBar('another chord in a written bar', (bars, at) => {
    const own = bars[at]?.bar.chords[0]?.chord.root
    return bars.map((bar, index) =>
      index === at
        ? { ...bar, bar: withChords(bar.bar, changed(bar.bar.chords, 0, { chord: chord(own === 'E' ? 'Bb7' : 'E7') })) }
        : bar,
    )
  }),
  shape('VA11', 'a playing not listed', (scene, random) => {
    const { folded } = scene
    const at = random(folded.bars.length)
    const bars = folded.bars.map((bar, index) => (index === at ? { ...bar, playings: bar.playings.slice(1) } : bar))
    return { folded: { ...folded, bars }, at: [`folded/bars/${at}`] }
  }),
  shape('VA11', 'a playing that is another bar', (scene, random) => {
    const { folded } = scene
    const at = random(folded.bars.length)
    const bars = folded.bars.map((bar, index) =>
      index === at ? { ...bar, playings: bar.playings.map((one) => ({ ...one, barIndex: one.barIndex + 1 })) } : bar,
    )
    return { folded: { ...folded, bars }, at: [`folded/bars/${at}`] }
  }),
]

const ROOTS = ['C', 'Db', 'D', 'Eb', 'E', 'F', 'F#', 'G', 'Ab', 'A', 'Bb', 'B']

const pcsOf = ({ notes, bass }: Chord): ReadonlySet<number> =>
  new Set([...notes, ...(bass === undefined ? [] : [bass])].map(pitchClass))

/** A chord that leads nowhere: no fifth, no step, not ♭VII, fewer than two tones shared. Source: common practice, as the rule says it. */
function strange(to: Chord, suffix: string, random: Random): Chord | undefined {
  const candidates = ROOTS.map((root) => chord(root + suffix)).filter((one) => {
    const far = (pitchClass(one.root) - pitchClass(to.root) + 12) % 12
    const farBass = (pitchClass(one.root) - pitchClass(to.bass ?? to.root) + 12) % 12
    const shared = [...pcsOf(one)].filter((pc) => pcsOf(to).has(pc)).length
    return ![0, 1, 7, 10, 11].includes(far) && ![0, 1, 7, 10, 11].includes(farBass) && shared < 2
  })
  return draw(candidates, random)
}

const lostOpening = (suffix: string): Shape =>
  shape('VA12', `an opening that ends on a strange ${suffix || 'triad'}`, (scene, random) => {
    const { music } = scene
    const next = music.bars.findIndex(
      ({ pass }, index) => pass !== 'opening' && music.bars[index - 1]?.pass === 'opening',
    )
    const bar = music.bars[next - 1]
    const to = music.bars[next]?.chords[0]?.chord
    const wrong = to && to.root !== '' && !to.over ? strange(to, suffix, random) : undefined
    if (!bar || !wrong || bar.chords.length === 0) return undefined
    const last = bar.chords.length - 1
    const damaged = random(2) === 0 ? withChords(bar, changed(bar.chords, last, { chord: wrong })) : filling(bar, wrong)
    return { music: withBar(scene, next - 1, damaged), at: [`bars/${next - 1}`] }
  })

const lostEnding = (name: string, suffix: string, degrees: readonly number[]): Shape =>
  shape('VA12', name, (scene, random) => {
    const index = scene.music.bars.length - 1
    const bar = scene.music.bars[index]
    const note = bar?.melody.at(-1)
    const degree = draw(degrees, random) as number
    if (!bar || !note || bar.chords.length === 0) return undefined
    const wrong = parseChord(`${ROOTS[(note.midi - degree + 120) % 12]}${suffix}`)
    return wrong.ok ? { music: withBar(scene, index, filling(bar, wrong.value)), at: [`bars/${index}`] } : undefined
  })

const VA12: readonly Shape[] = [
  ...['maj7', 'm7', '7', '', 'm7b5', 'm6'].map(lostOpening),
  lostEnding('the last note a ♭9 of the last chord', 'maj7', [1]),
  lostEnding('the last note between the thirds', 'm7', [4]),
  lostEnding('the last note the major seventh of a dominant', '7', [11]),
  lostEnding('the last note foreign to the last chord', '6', [1, 3, 8, 10]),
  shape('VA12', 'another last note', (scene, random) => {
    const index = scene.music.bars.length - 1
    const bar = scene.music.bars[index]
    const last = (bar?.melody.length ?? 0) - 1
    const note = bar?.melody[last]
    const own = bar?.chords.at(-1)?.chord
    const hard =
      own?.kind === 'major-sixth' || own?.kind === 'major-seventh' || own?.kind === 'major'
        ? [1, 3, 8, 10]
        : own?.kind === 'minor-sixth'
          ? [1, 4, 6, 8, 10]
          : []
    const degree = draw(hard, random)
    if (!bar || !note || !own || degree === undefined) return undefined
    const midi = 60 + ((pitchClass(own.root) + degree) % 12)
    const names = ['C', 'Db', 'D', 'Eb', 'E', 'F', 'F#', 'G', 'Ab', 'A', 'Bb', 'B']
    return {
      music: withBar(scene, index, {
        ...bar,
        melody: changed(bar.melody, last, { midi, name: `${names[midi % 12]}4` }),
      }),
      at: [`bars/${index}`],
    }
  }),
]

export const FORM_SHAPES: readonly Shape[] = [...VA4, ...VA5, ...VA11, ...VA12]
