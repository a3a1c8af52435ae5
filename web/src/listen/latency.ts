/** How much later than it should this device lets sound out, from taps along with clicks: wireless speakers and headphones add what the browser does not know. */

export const LATENCY = { leastMs: -100, mostMs: 450, stepMs: 5, clicks: 14, beatMs: 1000 } as const
/** A tap further from every click than this belongs to none. */
const FAR_MS = LATENCY.beatMs / 2
/** Taps before one has found the beat. */
const FINDING = 3
const LEAST_TAPS = 6
/** Taps that scatter more than this say nothing. */
const MOST_SPREAD_MS = 60

export type Measured = { readonly kind: 'measured'; readonly ms: number } | { readonly kind: 'too-few' | 'uneven' }

export function inSteps(ms: number): number {
  const bounded = Math.min(LATENCY.mostMs, Math.max(LATENCY.leastMs, ms))
  return Math.round(bounded / LATENCY.stepMs) * LATENCY.stepMs
}

/**
 * The middle of how far taps came after their clicks. Times in ms of one clock; `known` is what was already made up for while the clicks
 * sounded. A device later than half a beat is heard as early for the next click: whole beats cannot be told apart, so the span is half a
 * beat either way of what is known.
 */
export function latencyOf(clicksMs: readonly number[], tapsMs: readonly number[], known = 0): Measured {
  const away = tapsMs.slice(FINDING).flatMap((tap) => {
    const nearest = clicksMs.reduce(
      (best, click) => (Math.abs(tap - click) < Math.abs(tap - best) ? click : best),
      -Infinity,
    )
    return Math.abs(tap - nearest) <= FAR_MS ? [tap - nearest] : []
  })
  if (away.length < LEAST_TAPS) return { kind: 'too-few' }
  const sorted = away.toSorted((a, b) => a - b)
  const middle = quantile(sorted, 0.5)
  if (quantile(sorted, 0.75) - quantile(sorted, 0.25) > MOST_SPREAD_MS) return { kind: 'uneven' }
  return { kind: 'measured', ms: inSteps(known + middle) }
}

function quantile(sorted: readonly number[], share: number): number {
  const at = (sorted.length - 1) * share
  const [low, high] = [sorted[Math.floor(at)] ?? 0, sorted[Math.ceil(at)] ?? 0]
  return low + (high - low) * (at - Math.floor(at))
}
