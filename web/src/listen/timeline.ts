/** Places in a playable plan: ticks, milliseconds, bars and beats. */
import type { ArrangedBar } from '@chartloft/shared-theory'
import type { Playable } from '../state/theory-protocol.js'

export interface Place {
  readonly barIndex: number
  /** 0-based. */
  readonly beat: number
  /** 0…1 through the bar. */
  readonly through: number
}

/** The bar that begins at or before a value of an ascending list. */
function lastAtOrBefore(starts: readonly number[], value: number): number {
  let low = 0
  let high = starts.length - 1
  while (low < high) {
    const middle = (low + high + 1) >> 1
    if ((starts[middle] as number) <= value) low = middle
    else high = middle - 1
  }
  return low
}

/** Where a moment of the schedule is in the bars. */
export function placeAt(playable: Playable, bars: readonly ArrangedBar[], ms: number): Place {
  const barIndex = lastAtOrBefore(playable.barStartMs, ms)
  const start = playable.barStartMs[barIndex] ?? 0
  const end = playable.barStartMs[barIndex + 1] ?? playable.totalMs
  const through = end > start ? Math.min(0.9999, Math.max(0, (ms - start) / (end - start))) : 0
  const bar = bars[barIndex]
  const beats = bar ? (bar.lengthTicks * bar.metre.beatType) / (4 * 5040) : 4
  return { barIndex, beat: Math.floor(through * beats), through }
}

/** Milliseconds of a tick; inside a bar in proportion, on bar lines exact. */
export function msOfTick(playable: Playable, tick: number): number {
  const bar = lastAtOrBefore(playable.barStartTicks, tick)
  const startTick = playable.barStartTicks[bar] ?? 0
  const startMs = playable.barStartMs[bar] ?? 0
  const endTick = playable.barStartTicks[bar + 1]
  const endMs = playable.barStartMs[bar + 1]
  if (tick <= startTick || endTick === undefined || endMs === undefined) return startMs
  return startMs + ((tick - startTick) / (endTick - startTick)) * (endMs - startMs)
}

/** The same musical place in another version of the piece: same pass, section and bar within it, else as many bars in. */
export function samePlace(before: readonly ArrangedBar[], after: readonly ArrangedBar[], barIndex: number): number {
  const bar = before[barIndex]
  if (!bar) return 0
  const within = (bars: readonly ArrangedBar[], upTo: number) =>
    bars.slice(0, upTo).filter((other) => other.pass === bar.pass && other.sectionId === bar.sectionId).length
  const wanted = within(before, barIndex)
  let seen = 0
  for (const [index, other] of after.entries()) {
    if (other.pass !== bar.pass || other.sectionId !== bar.sectionId) continue
    if (seen === wanted) return index
    seen++
  }
  return Math.max(0, Math.min(after.length - 1, barIndex))
}
