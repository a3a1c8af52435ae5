/** A stretch of an arrangement, to be heard by itself. */
import type { Arrangement } from '@chartloft/shared-theory'

/** Bars `from` to `to`, both of them, as a piece of their own: numbered anew, so that it plays like any arrangement. */
export function barsOf(arrangement: Arrangement, from: number, to: number): Arrangement {
  return {
    ...arrangement,
    bars: arrangement.bars.slice(Math.max(0, from), to + 1).map((bar, barIndex) => ({ ...bar, barIndex })),
  }
}
