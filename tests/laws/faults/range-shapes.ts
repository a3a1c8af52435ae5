/** Parts beyond their range (VA6), mud (VA7), minor ninths (VA8). */
import { type ArrangedBar, findInstrument, pitchClass, pitchInKey } from '@chartloft/shared-theory'
import { type Shape, barShape, changed, draw, partNote, partsOf, withPart } from './fault.js'
import type { Random, Scene } from './scene.js'

const QUARTER = 5040

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
    if (!high || !low || isRootOf(bar, midi) || bar.lengthTicks < QUARTER) return undefined
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
    if (!high || !low || isRootOf(bar, midi) || bar.lengthTicks < QUARTER) return undefined
    return withPart(withPart({ ...bar, melody: [] }, low, [partNote(bar, midi)]), high, [partNote(bar, midi + 25)])
  }),
  barShape('VA8', 'inside a chord', (bar, random, scene) => {
    const id = draw(partsOf(scene, 'chords'), random)
    const midi = 54 + random(6)
    if (id === undefined || isRootOf(bar, midi) || bar.lengthTicks < QUARTER) return undefined
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

export const RANGE_SHAPES: readonly Shape[] = [...VA6, ...VA7, ...VA8]
