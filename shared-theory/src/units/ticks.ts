/** Time in integer ticks, 5040 to the quarter note. */
import type { Metre } from '../contract/index.js'
import { TICKS_PER_QUARTER } from '../contract/index.js'

/** Ticks of one unit of the metre's lower figure: 4/4 → 5040, 6/8 → 2520. */
export function unitTicks(metre: Metre): number {
  return (4 * TICKS_PER_QUARTER) / metre.beatType
}

/** Ticks of a full bar: beats · 4 · 5040 / beatType. */
export function barTicks(metre: Metre): number {
  return metre.beats * unitTicks(metre)
}

/** Start ticks of the beat groups: 7/4 as [4,3] → [0, 20160]. */
export function groupStarts(metre: Metre, groups: readonly number[]): readonly number[] {
  const starts: number[] = []
  let at = 0
  for (const group of groups) {
    starts.push(at)
    at += group * unitTicks(metre)
  }
  return starts
}

/** The usual grouping of a metre where nothing else is said: 6/8 → [3,3], 5/4 → [3,2], 7/4 → [4,3], 4/4 → [4]. */
export function defaultGroups(metre: Metre): readonly number[] {
  const { beats, beatType } = metre
  if (beatType >= 8 && beats % 3 === 0 && beats > 3) return Array.from({ length: beats / 3 }, () => 3)
  if (beats === 5) return [3, 2]
  if (beats === 7) return [4, 3]
  if (beats === 6) return [3, 3]
  if (beats <= 4) return [beats]
  const groups: number[] = []
  let rest = beats
  while (rest > 4) {
    groups.push(3)
    rest -= 3
  }
  groups.push(rest)
  return groups
}

export function sameMetre(a: Metre, b: Metre): boolean {
  return a.beats === b.beats && a.beatType === b.beatType
}

export function formatMetre(metre: Metre): string {
  return `${metre.beats}/${metre.beatType}`
}
