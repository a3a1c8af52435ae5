/** Bars that do not sum (VA1). */
import { type Shape, barShape, changed, draw, partNote, partsOf, withChords, withMelody, withPart } from './fault.js'
import type { Scene } from './scene.js'

const EIGHTH = 2520
const QUARTER = 5040

/** A short bar at the start (a pickup) or at the end may be short. */
const isInner = ({ music }: Scene, index: number): boolean => index > 0 && index < music.bars.length - 1

export const SUM_SHAPES: readonly Shape[] = [
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
