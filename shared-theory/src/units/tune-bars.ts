/** Which bars of the tune an arranged bar holds: one, or more where a groove has joined them. */
import type { ArrangedBar, Metre } from '../contract/index.js'

type Placed = Pick<ArrangedBar, 'pass' | 'sectionId' | 'metre' | 'provenance' | 'melody'>

/**
 * How many tune bars each bar holds, from `provenance.tuneBar` on; 0 for a bar that comes from none. Within a section that is the way to
 * the next tune bar; a section's last bar holds as many as most others in its metre do, and those whose notes it plays.
 */
export function tuneBarsHeld(bars: readonly Placed[]): readonly number[] {
  const known = bars.map((bar, index) => stepFrom(bars, bar, index))
  const usual = new Map<string, Map<number, number>>()
  for (const [index, held] of known.entries()) {
    if (held === undefined || held === 0) continue
    const metre = nameOf((bars[index] as Placed).metre)
    const counts = usual.get(metre) ?? new Map<number, number>()
    counts.set(held, (counts.get(held) ?? 0) + 1)
    usual.set(metre, counts)
  }
  return known.map((held, index) => {
    if (held !== undefined) return held
    const bar = bars[index] as Placed
    const counts = [...(usual.get(nameOf(bar.metre)) ?? [])]
    const most = counts.sort((a, b) => b[1] - a[1])[0]?.[0] ?? 1
    return Math.max(most, playedFrom(bar))
  })
}

/** Most tune bars any map joins. */
const MOST_JOINED = 4

/** Tune bars in a row, from the bar's own on, that it plays notes of. */
function playedFrom({ provenance: { tuneBar = 0 }, melody }: Placed): number {
  const sources = new Set(melody.flatMap(({ source }) => source?.bar ?? []))
  let held = 1
  for (let step = 1; step < MOST_JOINED; step++) if (sources.has(tuneBar + step)) held = step + 1
  return held
}

const nameOf = ({ beats, beatType }: Metre): string => `${beats}/${beatType}`

/** Undefined where the section ends, or starts over, before another tune bar comes. */
function stepFrom(bars: readonly Placed[], { pass, sectionId, provenance }: Placed, index: number): number | undefined {
  const { tuneBar } = provenance
  if (tuneBar === undefined) return 0
  for (let at = index + 1; at < bars.length; at++) {
    const next = bars[at] as Placed
    if (next.pass !== pass || next.sectionId !== sectionId) return undefined
    const other = next.provenance.tuneBar
    if (other === undefined || other === tuneBar) continue
    return other > tuneBar ? other - tuneBar : undefined
  }
  return undefined
}
