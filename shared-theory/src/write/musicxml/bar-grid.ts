/** How strongly each place of a bar is felt: what decides where long notes are split and tied, so that 7/4 shows its 4+3. */
import type { ArrangedBar } from '../../contract/index.js'
import { TICKS_PER_QUARTER } from '../../contract/index.js'
import { barTicks, groupStarts, unitTicks } from '../../units/index.js'
import { SHORTEST_TICKS } from './note-values.js'

/** Bar line. */
export const EDGE = 9
const HALF_OF_GROUPS = 4
const GROUP = 3
const MIDDLE = 2
const BEAT = 1

export interface BarGrid {
  readonly lengthTicks: number
  /** Start ticks of the beats as people count them: quarters in 4/4, dotted quarters in 6/8. */
  readonly beats: readonly { readonly startTick: number; readonly endTick: number }[]
  /** Stretches a beam may run through: half bars of 4/4, the groups of 7/8. */
  readonly beamSpans: readonly { readonly startTick: number; readonly endTick: number }[]
  readonly isCompound: boolean
  /** EDGE at the bar lines, then groups, the middle of four, beats, and falling below zero for parts of a beat. */
  readonly strengthAt: (tick: number) => number
}

type GridBar = Pick<ArrangedBar, 'metre' | 'groups' | 'lengthTicks' | 'barIndex'>

/** The grid of one bar. A short first bar (a pickup) is the end of a full one. */
export function barGrid(bar: GridBar): BarGrid {
  const { metre, lengthTicks } = bar
  const groups = usualGroups(bar)
  const shift = bar.barIndex === 0 && lengthTicks < barTicks(metre) ? barTicks(metre) - lengthTicks : 0
  const unit = unitTicks(metre)
  const isCompound = metre.beatType >= 8 && groups.every((size) => size === 3)
  const starts = groupStarts(metre, groups)
  const strengthAt = (tick: number): number => {
    if (tick <= 0 || tick >= lengthTicks) return EDGE
    const place = tick + shift
    let group = starts.length - 1
    while (group > 0 && (starts[group] as number) > place) group--
    const offset = place - (starts[group] as number)
    if (offset === 0) return group * 2 === groups.length && groups.length >= 4 ? HALF_OF_GROUPS : GROUP
    if (offset === 2 * unit && groups[group] === 4) return MIDDLE
    if (metre.beatType === 2 && offset % unit === 0) return MIDDLE
    return strengthInside(offset, metre.beatType <= 4 ? TICKS_PER_QUARTER : unit)
  }
  const clip = (spans: readonly (readonly [number, number])[]): { startTick: number; endTick: number }[] =>
    spans
      .map(([from, to]) => ({ startTick: Math.max(0, from - shift), endTick: Math.min(lengthTicks, to - shift) }))
      .filter(({ startTick, endTick }) => endTick > startTick)
  return {
    lengthTicks,
    beats: clip(beatSpans(bar, groups)),
    beamSpans: clip(beamSpansOf(bar, groups)),
    isCompound,
    strengthAt,
  }
}

/** 4/4 written as 2+2 is read like any 4/4. */
function usualGroups({ metre, groups }: GridBar): readonly number[] {
  return metre.beats === 4 && metre.beatType === 4 ? [4] : groups
}

/** BEAT on the units, 0 halfway, −1 at quarters of it …; off every sign −9. */
function strengthInside(offset: number, unit: number): number {
  let strength = BEAT
  for (let step = unit; step >= SHORTEST_TICKS / 2; step /= 2) {
    if (offset % step === 0) return strength
    strength--
  }
  return -EDGE
}

function beatSpans({ metre }: GridBar, groups: readonly number[]): [number, number][] {
  const starts = groupStarts(metre, groups)
  const unit = unitTicks(metre)
  return groups.flatMap((size, index): [number, number][] => {
    const from = starts[index] as number
    if (metre.beatType >= 8) return [[from, from + size * unit]]
    const quarters = (size * unit) / TICKS_PER_QUARTER
    return Array.from({ length: quarters }, (_, beat): [number, number] => [
      from + beat * TICKS_PER_QUARTER,
      from + (beat + 1) * TICKS_PER_QUARTER,
    ])
  })
}

function beamSpansOf({ metre }: GridBar, groups: readonly number[]): [number, number][] {
  const starts = groupStarts(metre, groups)
  const unit = unitTicks(metre)
  return groups.flatMap((size, index): [number, number][] => {
    const from = starts[index] as number
    const to = from + size * unit
    if (metre.beatType >= 8 || size < 4) return [[from, to]]
    const spans: [number, number][] = []
    for (let at = from; at < to; at += 2 * unit) spans.push([at, Math.min(to, at + 2 * unit)])
    return spans
  })
}

/** The strongest place strictly inside a stretch, of equals the first or the last, and how many are stronger than a bound. */
export function strongestInside(
  grid: BarGrid,
  from: number,
  to: number,
  bound: number,
  takesLast: boolean,
): { readonly tick: number; readonly strength: number; readonly above: number } | undefined {
  let best: { tick: number; strength: number } | undefined
  let above = 0
  for (let tick = from - (from % SHORTEST_TICKS) + SHORTEST_TICKS; tick < to; tick += SHORTEST_TICKS) {
    const strength = grid.strengthAt(tick)
    if (strength > bound) above++
    if (!best || strength > best.strength || (takesLast && strength === best.strength)) best = { tick, strength }
  }
  return best && { ...best, above }
}
