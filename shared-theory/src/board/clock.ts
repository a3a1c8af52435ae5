/** How far the server's clock is ahead of ours, from exchanged time stamps. */

/**
 * Offset (server = client + offset) and its error, both in ms, from the exchange with the least round trip.
 * The error is half that round trip: with any split of the delay the true offset lies within ± error. No exchange: 0 ± Infinity.
 * Source: the offset formula of the Network Time Protocol, RFC 5905 section 8.
 */
export function estimateOffset(samples: readonly { t0: number; t1: number; t2: number; t3: number }[]): {
  offset: number
  error: number
} {
  let best = { offset: 0, error: Infinity }
  for (const { t0, t1, t2, t3 } of samples) {
    const roundTrip = t3 - t0 - (t2 - t1)
    if (!Number.isFinite(roundTrip)) continue
    const error = Math.max(0, roundTrip / 2)
    if (error < best.error) best = { offset: (t1 - t0 + (t2 - t3)) / 2, error }
  }
  return best
}
