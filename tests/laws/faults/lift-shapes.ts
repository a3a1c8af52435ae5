/** Lifts not prepared (VA4) or not followed (VA5). */
import { type ArrangedBar, type PartNote, chord, pitchClass, scaleOf, transposeChord } from '@chartloft/shared-theory'
import { type Shape, changed, draw, filling, partsOf, shape, withChords } from './fault.js'
import { type Random, type Scene, withBar } from './scene.js'

/** A bar's chords by what sounds, and where. */
const rowOf = ({ chords }: ArrangedBar): string =>
  JSON.stringify(
    chords.map(({ startTick, chord: { root, notes, bass } }) => [
      startTick,
      root === '' ? -1 : pitchClass(bass ?? root),
      [...new Set(notes.map(pitchClass))].sort((a, b) => a - b),
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

/** No stroke that the right music has not: a diminished seventh moved by a minor third is the chord it was, and who rests is in no key. */
const sameNotes = (old: readonly PartNote[], right: readonly PartNote[]): boolean => {
  const strokes = (notes: readonly PartNote[]) =>
    new Set(notes.map(({ startTick, midi }) => `${startTick} ${midi % 12}`))
  const known = strokes(right)
  return [...strokes(old)].every((stroke) => known.has(stroke))
}

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
    const bar = music.bars[start]
    if (sameNotes(old(start), bar?.parts[id] ?? [])) return 'same'
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

export const LIFT_SHAPES: readonly Shape[] = [...VA4, ...VA5]
