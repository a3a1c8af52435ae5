/** Ties and voices (VA10). */
import { type ArrangedBar, pitchInKey } from '@chartloft/shared-theory'
import { type Shape, barShape, changed, draw, endOf, partNote, partsOf, shape, withMelody, withPart } from './fault.js'
import { withBar } from './scene.js'

const QUARTER = 5040

const melodyEnd = (bar: ArrangedBar, place: number): number =>
  endOf(bar.melody[place] ?? { startTick: 0, durationTicks: 0 })

export const TIE_SHAPES: readonly Shape[] = [
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
