/** Faults inside a bar: sums (VA1), melody against chord (VA2), ranges (VA6), mud (VA7), minor ninths (VA8), ties (VA10). */
import {
  type ArrangedBar,
  type Chord,
  chord,
  findInstrument,
  fitOf,
  nameOfPitch,
  parseChord,
  pitchClass,
  pitchInKey,
} from '@chartloft/shared-theory'
import {
  type Shape,
  barShape,
  changed,
  draw,
  endOf,
  partNote,
  partsOf,
  shape,
  withChords,
  withMelody,
  withPart,
} from './fault.js'
import { type Random, type Scene, withBar } from './scene.js'

const EIGHTH = 2520
const QUARTER = 5040

/** A short bar at the start (a pickup) or at the end may be short. */
const isInner = ({ music }: Scene, index: number): boolean => index > 0 && index < music.bars.length - 1

const VA1: readonly Shape[] = [
  barShape('VA1', 'melody note past the bar line', (bar, random) => {
    const note = bar.melody[bar.melody.length - 1]
    return (
      note &&
      withMelody(bar, bar.melody.length - 1, {
        durationTicks: bar.lengthTicks - note.startTick + 315 * (1 + random(16)),
      })
    )
  }),
  barShape('VA1', 'part note past the bar line', (bar, random) => {
    const [id, notes] =
      draw(
        Object.entries(bar.parts).filter(([, list]) => list.length > 0),
        random,
      ) ?? []
    const last = notes?.at(-1)
    if (id === undefined || !notes || !last) return undefined
    return withPart(
      bar,
      id,
      changed(notes, notes.length - 1, { durationTicks: bar.lengthTicks - last.startTick + 315 * (1 + random(16)) }),
    )
  }),
  barShape('VA1', 'part note that begins after the bar', (bar, random, scene) => {
    const id = draw(partsOf(scene, 'lead', 'horn', 'chords', 'bass'), random)
    return id === undefined
      ? undefined
      : withPart(bar, id, [...(bar.parts[id] ?? []), partNote(bar, 60, bar.lengthTicks + 315 * random(8), QUARTER)])
  }),
  barShape('VA1', 'gap after the last chord', (bar, random) => {
    const last = bar.chords.length - 1
    const placed = bar.chords[last]
    return (
      placed &&
      withChords(bar, changed(bar.chords, last, { durationTicks: placed.durationTicks - 315 * (1 + random(4)) }))
    )
  }),
  barShape('VA1', 'first chord late', (bar, random) => {
    const first = bar.chords[0]
    const late = 315 * (1 + random(4))
    return (
      first && withChords(bar, changed(bar.chords, 0, { startTick: late, durationTicks: first.durationTicks - late }))
    )
  }),
  barShape('VA1', 'chords that overlap', (bar, random) => {
    if (bar.chords.length < 2) return undefined
    const place = random(bar.chords.length - 1)
    const placed = bar.chords[place]
    return (
      placed &&
      withChords(bar, changed(bar.chords, place, { durationTicks: placed.durationTicks + 315 * (1 + random(8)) }))
    )
  }),
  barShape('VA1', 'last chord past the bar line', (bar, random) => {
    const last = bar.chords.length - 1
    const placed = bar.chords[last]
    return (
      placed &&
      withChords(bar, changed(bar.chords, last, { durationTicks: placed.durationTicks + 315 * (1 + random(16)) }))
    )
  }),
  barShape('VA1', 'a chord missing in front', (bar) =>
    bar.chords.length > 1 ? withChords(bar, bar.chords.slice(1)) : undefined,
  ),
  barShape('VA1', 'no chord at all', (bar) => withChords(bar, [])),
  barShape('VA1', 'a chord without length', (bar, random) => {
    const place = random(bar.chords.length || 1)
    return bar.chords[place] && withChords(bar, changed(bar.chords, place, { durationTicks: 0 }))
  }),
  barShape('VA1', 'groups that do not sum', (bar, random) => ({ ...bar, groups: [...bar.groups, 1 + random(3)] })),
  barShape('VA1', 'groups of another metre', (bar) =>
    bar.groups.length > 1 ? { ...bar, groups: bar.groups.slice(1) } : undefined,
  ),
  barShape('VA1', 'bar too long', (bar, random, scene, index) => {
    return isInner(scene, index) ? { ...bar, lengthTicks: bar.lengthTicks + EIGHTH * (1 + random(4)) } : undefined
  }),
  barShape('VA1', 'bar too short', (bar, random, scene, index) => {
    return isInner(scene, index) ? { ...bar, lengthTicks: bar.lengthTicks - EIGHTH * (1 + random(2)) } : undefined
  }),
  barShape('VA1', 'another metre over the same bar', (bar, random, scene, index) => {
    if (!isInner(scene, index)) return undefined
    const beats = bar.metre.beats + (random(2) === 0 ? 1 : bar.metre.beats > 2 ? -1 : 2)
    return { ...bar, metre: { ...bar.metre, beats } }
  }),
  barShape('VA1', 'metre and groups right, music of the old length', (bar, _random, scene, index) => {
    if (!isInner(scene, index) || bar.metre.beats < 3) return undefined
    const beats = bar.metre.beats - 1
    const lengthTicks = (bar.lengthTicks / bar.metre.beats) * beats
    return { ...bar, metre: { ...bar.metre, beats }, groups: [beats], lengthTicks }
  }),
]

/** Hard degrees above the root. Source: the fit table of the rules, typed again so that the table itself is under test. */
const HARD: { readonly [suffix: string]: readonly number[] } = {
  maj7: [1, 3, 8, 10],
  '6': [1, 3, 8, 10],
  m7: [1, 4, 6, 8, 11],
  m6: [1, 4, 6, 8, 10],
  '7': [11],
  '7sus': [3, 4, 6, 11],
  m7b5: [4, 7, 9, 11],
  dim7: [1, 4, 7, 10],
}
const ROOTS = ['C', 'Db', 'D', 'Eb', 'E', 'F', 'F#', 'G', 'Ab', 'A', 'Bb', 'B']

const beatOf = ({ metre }: ArrangedBar): number => {
  const unit = (QUARTER * 4) / metre.beatType
  return metre.beatType >= 8 && metre.beats % 3 === 0 && metre.beats > 3 ? 3 * unit : unit
}

/** A note that cannot pass: a beat or longer, or the bar's first. */
function standing(bar: ArrangedBar, random: Random): number | undefined {
  const places = bar.melody.flatMap((note, place) =>
    note.startTick === 0 || note.durationTicks >= beatOf(bar) ? [place] : [],
  )
  return draw(places, random)
}

function clashing(pc: number, suffix: string, random: Random): Chord | undefined {
  const degree = draw(HARD[suffix] ?? [], random)
  return degree === undefined ? undefined : chord(`${ROOTS[(pc - degree + 12) % 12]}${suffix}`)
}

const chordAgainst = (suffix: string): Shape =>
  barShape('VA2', `a chord the melody refuses: ${suffix}`, (bar, random) => {
    const place = standing(bar, random)
    const note = place === undefined ? undefined : bar.melody[place]
    const wrong = note && clashing(note.midi % 12, suffix, random)
    return wrong && withChords(bar, [{ startTick: 0, durationTicks: bar.lengthTicks, chord: wrong }])
  })

const SUFFIX_OF: { readonly [kind: string]: string } = {
  'major-seventh': 'maj7',
  'major-sixth': '6',
  'minor-seventh': 'm7',
  'minor-sixth': 'm6',
  dominant: '7',
  'half-diminished': 'm7b5',
  'diminished-seventh': 'dim7',
}

/** A pitch that clashes with a chord, near the melody's place. */
function wrongPitch({ root, kind, degrees, bass }: Chord, random: Random): number | undefined {
  const degree =
    degrees.length === 0 && bass === undefined ? draw(HARD[SUFFIX_OF[kind] ?? ''] ?? [], random) : undefined
  return degree === undefined ? undefined : 60 + ((pitchClass(root) + degree) % 12)
}

const VA2: readonly Shape[] = [
  ...Object.keys(HARD).map(chordAgainst),
  barShape('VA2', 'a wrong melody note held through the bar', (bar, random) => {
    const only = bar.chords.length === 1 ? bar.chords[0] : undefined
    const midi = only && wrongPitch(only.chord, random)
    return midi === undefined
      ? undefined
      : { ...bar, melody: [{ startTick: 0, durationTicks: bar.lengthTicks, midi, name: pitchInKey(midi, bar.key) }] }
  }),
  barShape('VA2', 'one melody note of a bar wrong', (bar, random) => {
    const place = standing(bar, random)
    const note = place === undefined ? undefined : bar.melody[place]
    const over =
      note && bar.chords.find((placed) => placed.startTick <= note.startTick && endOf(placed) > note.startTick)
    const midi = over && wrongPitch(over.chord, random)
    if (place === undefined || midi === undefined) return undefined
    return withMelody(bar, place, { midi, name: pitchInKey(midi, bar.key) })
  }),
  barShape('VA2', 'the second chord of a bar wrong', (bar, random) => {
    const place = bar.chords.length - 1
    const placed = bar.chords[place]
    const note =
      placed &&
      bar.melody.find(({ startTick, durationTicks }) => startTick === placed.startTick && durationTicks >= beatOf(bar))
    const wrong =
      note && place > 0 ? clashing(note.midi % 12, draw(Object.keys(HARD), random) as string, random) : undefined
    return wrong && withChords(bar, changed(bar.chords, place, { chord: wrong }))
  }),
  barShape('VA2', 'minor for major, major for minor', (bar, random) => {
    const place = standing(bar, random)
    const note = place === undefined ? undefined : bar.melody[place]
    const at = bar.chords.findIndex(
      (placed) => note !== undefined && placed.startTick <= note.startTick && endOf(placed) > note.startTick,
    )
    const own = bar.chords[at]?.chord
    if (!note || !own || own.bass !== undefined || own.root === '') return undefined
    const other = parseChord(
      `${own.root}${own.kind === 'major-seventh' || own.kind === 'major-sixth' ? 'm7' : own.kind === 'minor-seventh' ? 'maj7' : ''}`,
    )
    const suffix = own.kind === 'minor-seventh' ? 'maj7' : 'm7'
    const degree = (note.midi - pitchClass(own.root) + 24) % 12
    const isHard = own.kind.startsWith('m') && (HARD[suffix] ?? []).includes(degree)
    return other.ok && isHard ? withChords(bar, changed(bar.chords, at, { chord: other.value })) : undefined
  }),
]

const rangeOf = (scene: Scene, id: string): readonly [number, number] | undefined =>
  findInstrument(scene.music.lineup.find((part) => part.id === id)?.instrument ?? '')?.range

const outside = (name: string, roles: readonly string[], far: (random: Random) => number): Shape =>
  barShape('VA6', name, (bar, random, scene) => {
    const id = draw(partsOf(scene, ...roles), random)
    const range = id === undefined ? undefined : rangeOf(scene, id)
    if (id === undefined || !range) return undefined
    const midi = random(2) === 0 ? range[1] + far(random) : range[0] - far(random)
    const notes = bar.parts[id] ?? []
    const place = random(notes.length || 1)
    if (notes.some((note) => note.midi < range[0] || note.midi > range[1])) return undefined
    return midi < 0 || midi > 127
      ? undefined
      : withPart(
          bar,
          id,
          notes.length === 0 ? [partNote(bar, midi)] : changed(notes, place, { midi, name: pitchInKey(midi, bar.key) }),
        )
  })

const VA6: readonly Shape[] = [
  outside('a line a half step beyond', ['lead', 'horn', 'voice'], () => 1),
  outside('a line far beyond', ['lead', 'horn', 'voice'], (random) => 2 + random(12)),
  outside('the bass beyond', ['bass'], (random) => 1 + random(5)),
  outside('a chord player beyond', ['chords'], (random) => 1 + random(6)),
  barShape('VA6', 'a whole bar an octave away', (bar, random, scene) => {
    const id = draw(partsOf(scene, 'lead', 'horn', 'voice', 'bass'), random)
    const range = id === undefined ? undefined : rangeOf(scene, id)
    const by = random(2) === 0 ? 12 : -12
    const moved = (id === undefined ? [] : (bar.parts[id] ?? [])).map((note) => {
      return { ...note, midi: note.midi + by, name: pitchInKey(note.midi + by, bar.key) }
    })
    const wasIn =
      range !== undefined &&
      id !== undefined &&
      (bar.parts[id] ?? []).every(({ midi }) => midi >= range[0] && midi <= range[1])
    const isOut = range !== undefined && wasIn && moved.some(({ midi }) => midi < range[0] || midi > range[1])
    return id !== undefined && isOut ? withPart(bar, id, moved) : undefined
  }),
]

/** Lowest lower note by interval, in semitones. Source: Lowell & Pullig 2003, typed again. */
const LOW: readonly (readonly [semitones: number, lowest: number])[] = [
  [1, 52],
  [2, 51],
  [3, 48],
  [4, 46],
  [5, 46],
  [6, 46],
  [7, 34],
  [8, 43],
  [9, 41],
  [10, 41],
  [11, 41],
  [13, 40],
  [14, 39],
  [15, 36],
  [16, 34],
]

const muddy = (
  name: string,
  place: (bar: ArrangedBar, low: number, up: number, random: Random) => readonly ReturnType<typeof partNote>[],
): Shape =>
  barShape('VA7', name, (bar, random, scene) => {
    const id = draw(
      partsOf(scene, 'chords').filter((part) => part !== 'guitar'),
      random,
    )
    const [up, lowest] = draw(LOW, random) as readonly [number, number]
    const low = lowest - 1 - random(6)
    if (id === undefined || low < 21) return undefined
    return withPart(bar, id, place(bar, low, up, random))
  })

const VA7: readonly Shape[] = [
  muddy('two low notes, held', (bar, low, up) => [partNote(bar, low), partNote(bar, low + up)]),
  muddy('two low notes under a chord', (bar, low, up) => [
    partNote(bar, low),
    partNote(bar, low + up),
    partNote(bar, low + up + 19),
    partNote(bar, low + up + 26),
  ]),
  muddy('a low note that joins a held one', (bar, low, up) => {
    const half = Math.floor(bar.lengthTicks / 2)
    return [partNote(bar, low), partNote(bar, low + up, half, bar.lengthTicks - half)]
  }),
  muddy('one low stroke of a beat', (bar, low, up) => [
    partNote(bar, low, 0, Math.min(QUARTER, bar.lengthTicks)),
    partNote(bar, low + up, 0, Math.min(QUARTER, bar.lengthTicks)),
  ]),
]

const isRootOf = (bar: ArrangedBar, midi: number): boolean =>
  bar.chords.some(({ chord: { root, bass, over } }) =>
    [root, bass, over?.root].some((name) => name !== undefined && name !== '' && pitchClass(name) === midi % 12),
  )

const VA8: readonly Shape[] = [
  barShape('VA8', 'two horns', (bar, random, scene) => {
    const [high, low] = partsOf(scene, 'lead', 'horn')
    const midi = 55 + random(6)
    if (!high || !low || isRootOf(bar, midi)) return undefined
    return withPart(withPart({ ...bar, melody: [] }, low, [partNote(bar, midi)]), high, [partNote(bar, midi + 13)])
  }),
  barShape('VA8', 'a horn under the held melody', (bar, random, scene) => {
    const lead = scene.music.lineup.find(
      ({ id }) =>
        bar.melody.length > 0 &&
        (bar.parts[id] ?? []).some(
          ({ startTick, midi }) => startTick === bar.melody[0]?.startTick && midi === bar.melody[0].midi,
        ),
    )
    const low = draw(
      partsOf(scene, 'horn').filter((id) => id !== lead?.id),
      random,
    )
    const note = lead?.role !== 'lead' ? undefined : bar.melody.find(({ durationTicks }) => durationTicks > QUARTER)
    if (!note || low === undefined || isRootOf(bar, note.midi - 13)) return undefined
    return withPart(bar, low, [partNote(bar, note.midi - 13, note.startTick, note.durationTicks)])
  }),
  barShape('VA8', 'two horns, an octave farther', (bar, random, scene) => {
    const [high, low] = partsOf(scene, 'lead', 'horn')
    const midi = 50 + random(5)
    if (!high || !low || isRootOf(bar, midi)) return undefined
    return withPart(withPart({ ...bar, melody: [] }, low, [partNote(bar, midi)]), high, [partNote(bar, midi + 25)])
  }),
  barShape('VA8', 'inside a chord', (bar, random, scene) => {
    const id = draw(partsOf(scene, 'chords'), random)
    const midi = 54 + random(6)
    if (id === undefined || isRootOf(bar, midi)) return undefined
    return withPart(bar, id, [partNote(bar, midi), partNote(bar, midi + 7), partNote(bar, midi + 13)])
  }),
  barShape('VA8', 'for half a bar', (bar, random, scene) => {
    const [high, low] = partsOf(scene, 'lead', 'horn')
    const midi = 55 + random(6)
    const half = Math.floor(bar.lengthTicks / 2)
    if (!high || !low || isRootOf(bar, midi) || half < QUARTER) return undefined
    return withPart(withPart({ ...bar, melody: [] }, low, [partNote(bar, midi)]), high, [
      partNote(bar, midi + 13, half, half),
    ])
  }),
]

const melodyEnd = (bar: ArrangedBar, place: number): number =>
  endOf(bar.melody[place] ?? { startTick: 0, durationTicks: 0 })

const VA10: readonly Shape[] = [
  barShape('VA10', 'a tie to nothing or to another pitch', (bar, random, { music }, index) => {
    const place = random(bar.melody.length || 1)
    const note = bar.melody[place]
    const end = melodyEnd(bar, place)
    const next =
      end === bar.lengthTicks
        ? music.bars[index + 1]?.melody.find(({ startTick }) => startTick === 0)
        : bar.melody.find(({ startTick }) => startTick === end)
    return !note || note.tiedToNext || next?.midi === note.midi
      ? undefined
      : withMelody(bar, place, { tiedToNext: true })
  }),
  shape('VA10', 'the note a tie leads to taken away', (scene, random) => {
    const ties = scene.music.bars.flatMap((bar, index) =>
      bar.melody.at(-1)?.tiedToNext && scene.music.bars[index + 1] ? [index] : [],
    )
    const index = draw(ties, random)
    const next = index === undefined ? undefined : scene.music.bars[index + 1]
    if (index === undefined || !next) return undefined
    const parts = Object.fromEntries(
      Object.entries(next.parts).map(([id, notes]) => [
        id,
        notes.filter(({ startTick, midi }) => startTick > 0 || midi !== next.melody[0]?.midi),
      ]),
    )
    return { music: withBar(scene, index + 1, { ...next, melody: next.melody.slice(1), parts }), at: [`bars/${index}`] }
  }),
  shape('VA10', 'the note a tie leads to comes late', (scene, random) => {
    const ties = scene.music.bars.flatMap((bar, index) =>
      bar.melody.at(-1)?.tiedToNext && scene.music.bars[index + 1]?.melody[0] ? [index] : [],
    )
    const index = draw(ties, random)
    const next = index === undefined ? undefined : scene.music.bars[index + 1]
    const first = next?.melody[0]
    if (index === undefined || !next || !first || first.durationTicks <= 1260) return undefined
    return {
      music: withBar(
        scene,
        index + 1,
        withMelody(next, 0, { startTick: 1260, durationTicks: first.durationTicks - 1260 }),
      ),
      at: [`bars/${index}`],
    }
  }),
  shape('VA10', 'the note a tie leads to is another', (scene, random) => {
    const ties = scene.music.bars.flatMap((bar, index) =>
      bar.melody.at(-1)?.tiedToNext && scene.music.bars[index + 1]?.melody[0] ? [index] : [],
    )
    const index = draw(ties, random)
    const next = index === undefined ? undefined : scene.music.bars[index + 1]
    const first = next?.melody[0]
    if (index === undefined || !next || !first) return undefined
    const midi = first.midi + (random(2) === 0 ? 2 : -2)
    return {
      music: withBar(scene, index + 1, withMelody(next, 0, { midi, name: pitchInKey(midi, next.key) })),
      at: [`bars/${index}`],
    }
  }),
  barShape('VA10', 'a gap inside a tied pair', (bar, random) => {
    const place = random(bar.melody.length || 1)
    const note = bar.melody[place]
    if (!note || note.durationTicks < QUARTER) return undefined
    const third = Math.floor(note.durationTicks / 3 / 315) * 315
    const head = { ...note, durationTicks: third, tiedToNext: true as const }
    const tail = { ...note, startTick: note.startTick + 2 * third, durationTicks: note.durationTicks - 2 * third }
    return { ...bar, melody: [...bar.melody.slice(0, place), head, tail, ...bar.melody.slice(place + 1)] }
  }),
  barShape('VA10', 'melody notes that overlap', (bar, random) => {
    if (bar.melody.length < 2) return undefined
    const place = random(bar.melody.length - 1)
    const note = bar.melody[place]
    const next = bar.melody[place + 1]
    const end = next && next.startTick + 315
    return note && next && end !== undefined && end < bar.lengthTicks
      ? withMelody(bar, place, { durationTicks: end - note.startTick })
      : undefined
  }),
  barShape('VA10', 'two notes of a melody at once', (bar, random) => {
    const place = random(bar.melody.length || 1)
    const note = bar.melody[place]
    if (!note) return undefined
    const midi = note.midi - 3 - random(3)
    return {
      ...bar,
      melody: [
        ...bar.melody.slice(0, place),
        { ...note, midi, name: pitchInKey(midi, bar.key) },
        ...bar.melody.slice(place),
      ],
    }
  }),
  barShape('VA10', "a horn's notes overlap", (bar, random, scene) => {
    const id = draw(
      partsOf(scene, 'horn', 'lead').filter((part) => (bar.parts[part] ?? []).length > 0),
      random,
    )
    const notes = id === undefined ? undefined : bar.parts[id]
    const first = notes?.[0]
    if (id === undefined || !first || first.durationTicks <= 2520) return undefined
    const extra = partNote(bar, first.midi - 2, first.startTick + 1260, first.durationTicks - 1260)
    return withPart(bar, id, [first, extra])
  }),
  barShape('VA10', "a horn's tie to nothing", (bar, random, scene, index) => {
    const id = draw(
      partsOf(scene, 'horn', 'lead').filter((part) => (bar.parts[part] ?? []).length > 0),
      random,
    )
    const notes = id === undefined ? undefined : bar.parts[id]
    const last = notes?.at(-1)
    const next = id === undefined ? undefined : scene.music.bars[index + 1]?.parts[id]?.[0]
    if (id === undefined || !notes || !last || last.tiedToNext || next?.midi === last.midi) return undefined
    return withPart(bar, id, changed(notes, notes.length - 1, { tiedToNext: true }))
  }),
  barShape('VA10', 'one pitch struck while it sounds', (bar, random, scene) => {
    const id = draw(partsOf(scene, 'chords'), random)
    if (id === undefined || bar.lengthTicks < 2 * QUARTER) return undefined
    return withPart(bar, id, [partNote(bar, 64), partNote(bar, 67), partNote(bar, 64, QUARTER, QUARTER)])
  }),
]

/** Whether a pitch fits a chord by our own table: for shapes that must not clash. */
export const fits = (over: Chord, pitch: string): boolean => fitOf(over, nameOfPitch(pitch)) !== 'hard'

export const BAR_SHAPES: readonly Shape[] = [...VA1, ...VA2, ...VA6, ...VA7, ...VA8, ...VA10]
