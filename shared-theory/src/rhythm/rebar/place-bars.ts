/** One step of re-barring: the bars a map joins, its notes and chords laid into the new bars, and what that costs. */
import type { ArrangedBar, ArrangedNote, PlacedChord } from '../../contract/index.js'
import { TICKS_PER_QUARTER } from '../../contract/index.js'
import { barTicks, groupStarts, unitTicks } from '../../units/index.js'
import type { BarMap, MapPoints } from './maps.js'
import { throughMap } from './maps.js'

/** No note becomes shorter than a triplet sixteenth. */
export const SHORTEST_TICKS = TICKS_PER_QUARTER / 6
const EIGHTH_TICKS = TICKS_PER_QUARTER / 2
/** Shortest plain value a chart prints: multiples of a sixty-fourth need no tuplet sign. */
const PLAIN_UNIT_TICKS = TICKS_PER_QUARTER / 16
const TUPLETS: readonly (readonly [actual: number, normal: number])[] = [
  [3, 2],
  [5, 4],
  [7, 4],
  [9, 8],
]

const COSTS = {
  shorterThanEighth: 2,
  quarterToDottedEighth: 3,
  chordOffBeat: 4,
  longNoteBelowBeat: 1,
  downbeatOffGroup: 4,
} as const

/** The input of one step: bars, and where their first tick stands in the map (a pickup is the end of a full bar). */
export interface Span {
  readonly bars: readonly ArrangedBar[]
  readonly offsetTicks: number
}

/** `inBar` counts the span's own bars. */
export type Judged =
  | { readonly cost: number }
  | { readonly cost?: undefined; readonly why: string; readonly inBar: number }

/** What a map would cost on these bars, or why it cannot be used. */
export function judgeSpan(span: Span, map: BarMap, groups: readonly number[]): Judged {
  let cost = 0
  const strong = new Set(groupStarts(map.to, groups).concat(halfOfFour(map)))
  const toLength = barTicks(map.to)
  for (const { note, startTick, isDownbeat, inBar } of joinedNotes(span)) {
    const start = throughMap(map.points, startTick)
    const end = throughMap(map.points, startTick + note.durationTicks)
    if (start === undefined || end === undefined) return { why: 'a note would fall between the ticks', inBar }
    const length = end - start
    if (length < SHORTEST_TICKS && length < note.durationTicks)
      return { why: 'a note would become shorter than a triplet sixteenth', inBar }
    if (length < EIGHTH_TICKS) cost += COSTS.shorterThanEighth
    if (note.durationTicks === TICKS_PER_QUARTER && length === (TICKS_PER_QUARTER * 3) / 4)
      cost += COSTS.quarterToDottedEighth
    if (note.durationTicks >= 2 * TICKS_PER_QUARTER && length < TICKS_PER_QUARTER) cost += COSTS.longNoteBelowBeat
    if (isDownbeat && !strong.has(start % toLength)) cost += COSTS.downbeatOffGroup
  }
  const beat = map.to.beatType === 8 ? 3 * unitTicks(map.to) : unitTicks(map.to)
  for (const { startTick } of joinedChords(span)) {
    const start = throughMap(map.points, startTick)
    if (start === undefined) return { why: 'a chord would fall between the ticks', inBar: 0 }
    const opensPickup = span.offsetTicks > 0 && startTick === span.offsetTicks
    if (start % beat !== 0 && !opensPickup) cost += COSTS.chordOffBeat
  }
  return { cost }
}

/** The new bars of one step; `barIndex` is set by the caller. */
export function placeSpan(span: Span, map: BarMap, groups: readonly number[]): readonly ArrangedBar[] {
  const first = span.bars[0] as ArrangedBar
  const inLength = span.bars.reduce((sum, bar) => sum + bar.lengthTicks, 0)
  const fullLength = barTicks(map.to)
  const from = exact(map.points, span.offsetTicks)
  const to = exact(map.points, span.offsetTicks + inLength)
  const notes = placedNotes(span, map)
  const chords = joinedChords(span).map((event) => ({ ...event, startTick: exact(map.points, event.startTick) }))
  const bars: ArrangedBar[] = []
  for (let start = Math.floor(from / fullLength) * fullLength; start < to; start += fullLength) {
    const low = Math.max(start, from)
    const high = Math.min(start + fullLength, to)
    bars.push({
      ...carried(span.bars, bars.length === 0, high === to),
      barIndex: first.barIndex,
      sectionId: first.sectionId,
      pass: first.pass,
      metre: map.to,
      groups: splitHalf(map, groups),
      lengthTicks: high - low,
      key: first.key,
      tempoBpm: first.tempoBpm,
      feel: first.feel,
      chords: cutChords(chords, low, high),
      melody: cutNotes(notes, low, high),
      parts: {},
      ...cutFermata(span, map, low, high),
      provenance: first.provenance,
    })
  }
  return bars
}

/** Beat three of a joined 4/4 bar is a bar start of the tune: a strong place, and said so in the groups. */
const joinsAtHalf = (map: BarMap) =>
  map.to.beats === 4 && map.to.beatType === 4 && map.fromBars === 2 && map.toBars === 1
const halfOfFour = (map: BarMap): readonly number[] => (joinsAtHalf(map) ? [barTicks(map.to) / 2] : [])
const splitHalf = (map: BarMap, groups: readonly number[]): readonly number[] =>
  joinsAtHalf(map) && groups.length === 1 ? [2, 2] : groups

function exact(points: MapPoints, tick: number): number {
  const mapped = throughMap(points, tick)
  if (mapped === undefined) throw new Error(`broken promise: ${tick} was judged to map to a whole tick`)
  return mapped
}

interface JoinedNote {
  readonly note: ArrangedNote
  readonly startTick: number
  readonly isDownbeat: boolean
  readonly inBar: number
}

function joinedNotes(span: Span): readonly JoinedNote[] {
  const joined: JoinedNote[] = []
  let at = span.offsetTicks
  span.bars.forEach((bar, inBar) => {
    for (const note of bar.melody) {
      const isDownbeat = span.offsetTicks === 0 && note.startTick === 0
      joined.push({ note, startTick: at + note.startTick, isDownbeat, inBar })
    }
    at += bar.lengthTicks
  })
  return joined
}

function joinedChords(span: Span): readonly PlacedChord[] {
  const joined: PlacedChord[] = []
  let at = span.offsetTicks
  for (const bar of span.bars) {
    for (const chord of bar.chords) joined.push({ ...chord, startTick: at + chord.startTick })
    at += bar.lengthTicks
  }
  return joined
}

function placedNotes(span: Span, map: BarMap): readonly ArrangedNote[] {
  return joinedNotes(span).map(({ note, startTick }) => {
    const start = exact(map.points, startTick)
    const durationTicks = exact(map.points, startTick + note.durationTicks) - start
    const { tuplet: before, ...rest } = note
    const tuplet = tupletFor(durationTicks, note.durationTicks, before)
    return { ...rest, startTick: start, durationTicks, ...(tuplet ? { tuplet } : {}) }
  })
}

/** The tuplet sign a length needs: kept where the map only doubled or halved, else the simplest that makes the length plain. */
export function tupletFor(
  durationTicks: number,
  durationBefore: number,
  before: ArrangedNote['tuplet'],
): ArrangedNote['tuplet'] | undefined {
  const isDoubling = [1 / 4, 1 / 2, 1, 2, 4].includes(durationTicks / durationBefore)
  if (isDoubling) return before
  if (durationTicks % PLAIN_UNIT_TICKS === 0) return undefined
  const found = TUPLETS.find(([actual, normal]) => ((durationTicks * actual) / normal) % PLAIN_UNIT_TICKS === 0)
  return found && { actual: found[0], normal: found[1] }
}

/** The notes of one new bar; a note over its end is split there and tied. */
function cutNotes(notes: readonly ArrangedNote[], low: number, high: number): readonly ArrangedNote[] {
  const inside: ArrangedNote[] = []
  for (const note of notes) {
    const start = Math.max(note.startTick, low)
    const end = Math.min(note.startTick + note.durationTicks, high)
    if (end <= start) continue
    const isHead = start === note.startTick
    const goesOn = note.startTick + note.durationTicks > high
    const { lyric, grace, tiedToNext, ...rest } = note
    inside.push({
      ...rest,
      startTick: start - low,
      durationTicks: end - start,
      ...(goesOn || tiedToNext ? { tiedToNext: true as const } : {}),
      ...(isHead && lyric !== undefined ? { lyric } : {}),
      ...(isHead && grace !== undefined ? { grace } : {}),
    })
  }
  return inside
}

/** The chords of one new bar, equal neighbours merged, tiling it from its first tick on. */
function cutChords(events: readonly PlacedChord[], low: number, high: number): readonly PlacedChord[] {
  const inside: { startTick: number; event: PlacedChord }[] = []
  for (const event of events) {
    if (event.startTick >= high) break
    const startTick = Math.max(event.startTick, low) - low
    if (inside.at(-1)?.startTick === startTick) inside.pop()
    if (inside.at(-1)?.event.chord.symbol !== event.chord.symbol) inside.push({ startTick, event })
  }
  return inside.map(({ startTick, event }, index) => ({
    startTick,
    durationTicks: (inside[index + 1]?.startTick ?? high - low) - startTick,
    chord: event.chord,
    ...(event.inferred ? { inferred: true as const } : {}),
  }))
}

/** Marks and tempo changes of the joined bars: the first bar's at the start, the last bar's at the end. */
function carried(bars: readonly ArrangedBar[], isFirst: boolean, isLast: boolean): Partial<ArrangedBar> {
  const dynamic = isFirst ? bars.find((bar) => bar.dynamic)?.dynamic : undefined
  const mark = isFirst ? bars.find((bar) => bar.mark !== undefined)?.mark : undefined
  const tempoEndBpm = isLast ? bars.at(-1)?.tempoEndBpm : undefined
  return {
    ...(dynamic ? { dynamic } : {}),
    ...(mark === undefined ? {} : { mark }),
    ...(tempoEndBpm === undefined ? {} : { tempoEndBpm }),
  }
}

function cutFermata(span: Span, map: BarMap, low: number, high: number): { fermataTick?: number } {
  let at = span.offsetTicks
  for (const bar of span.bars) {
    if (bar.fermataTick !== undefined) {
      const tick = throughMap(map.points, at + bar.fermataTick)
      if (tick !== undefined && low <= tick && tick < high) return { fermataTick: tick - low }
    }
    at += bar.lengthTicks
  }
  return {}
}
