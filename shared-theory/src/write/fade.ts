/** A fade as it sounds: from the bar marked so to the end every stroke is softer than those before, evenly in decibels. */
import type { ArrangedBar } from '../contract/index.js'

/** Share of the velocity left at the very end: some 34 dB less on the pages, 48 on players that square it. Source: from memory. */
const LEFT = 1 / 16

/** Share of the velocity at a tick; 1 where nothing fades. */
export function fadeOf(
  bars: readonly ArrangedBar[],
  barStartTicks: readonly number[],
  totalTicks: number,
): (tick: number) => number {
  const first = bars.findIndex(({ mark }) => mark === 'fade')
  const from = barStartTicks[first]
  if (from === undefined || totalTicks <= from) return () => 1
  return (tick) => (tick <= from ? 1 : LEFT ** Math.min(1, (tick - from) / (totalTicks - from)))
}
