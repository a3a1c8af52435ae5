/** Where a bar's notes stand in tuplets: found from the ticks alone, so that every source of notes prints alike. */
import { SHORTEST_TICKS, noteValue } from './note-values.js'
import type { BarGrid } from './bar-grid.js'

export interface TupletSpan {
  readonly startTick: number
  readonly endTick: number
  /** `actual` notes in the time of `normal`. */
  readonly actual: number
  readonly normal: number
  /** Written ticks of one note of the tuplet. */
  readonly unitTicks: number
}

interface Span {
  readonly startTick: number
  readonly endTick: number
}

/** Tuplet spans for the onsets and ends of a voice, ascending. Ticks that fit no tuplet stay outside. */
export function findTuplets(grid: BarGrid, ticks: readonly number[]): TupletSpan[] {
  if (ticks.every((tick) => tick % SHORTEST_TICKS === 0)) return []
  const places = [...new Set(ticks)].sort((a, b) => a - b)
  const found: TupletSpan[] = []
  let done = 0
  for (const [index, beat] of grid.beats.entries()) {
    if (beat.startTick < done || !hasOffPlace(places, beat)) continue
    const next = grid.beats[index + 1]
    const spans = tupletsAt(places, beat, next)
    found.push(...spans)
    done = spans.at(-1)?.endTick ?? beat.endTick
  }
  return found
}

/** Two beats as one tuplet where no note begins between them; then the beat in three; its halves; then denser tuplets. */
function tupletsAt(places: readonly number[], beat: Span, next: Span | undefined): TupletSpan[] {
  if (next && !places.includes(beat.endTick)) {
    const pair = { startTick: beat.startTick, endTick: next.endTick }
    const spanned = fit(places, pair, [3, 6, 5, 7, 9])
    if (spanned) return [spanned]
  }
  const triplet = fit(places, beat, [3])
  if (triplet) return [triplet]
  const middle = (beat.startTick + beat.endTick) / 2
  if (places.includes(middle)) {
    const halves = [
      { startTick: beat.startTick, endTick: middle },
      { startTick: middle, endTick: beat.endTick },
    ].filter((half) => hasOffPlace(places, half))
    const spans = halves.flatMap((half) => fit(places, half, [3, 5, 6, 7]) ?? [])
    if (spans.length === halves.length) return spans
  }
  const dense = fit(places, beat, [6, 5, 7, 9, 10, 12])
  return dense ? [dense] : []
}

function hasOffPlace(places: readonly number[], span: Span): boolean {
  return places.some((tick) => tick > span.startTick && tick < span.endTick && tick % SHORTEST_TICKS !== 0)
}

function fit(places: readonly number[], span: Span, counts: readonly number[]): TupletSpan | undefined {
  const length = span.endTick - span.startTick
  for (const actual of counts) {
    const step = length / actual
    const inside = places.filter((tick) => tick > span.startTick && tick < span.endTick)
    if (!Number.isInteger(step) || inside.some((tick) => (tick - span.startTick) % step !== 0)) continue
    for (let normal = actual - 1; normal >= 1; normal--) {
      const value = Number.isInteger(length / normal) ? noteValue(length / normal) : undefined
      if (value && value.dots === 0) return { ...span, actual, normal, unitTicks: length / normal }
    }
  }
  return undefined
}
