/** Seeded choice with integers only: the same seed gives the same performance on every machine. */

/** A generator of integers 0 ≤ n < bound (mulberry32, public domain algorithm). */
export function seeded(seed: number): (bound: number) => number {
  let state = seed >>> 0
  return (bound) => {
    state = (state + 0x6d2b79f5) >>> 0
    let mixed = state
    mixed = Math.imul(mixed ^ (mixed >>> 15), mixed | 1)
    mixed ^= mixed + Math.imul(mixed ^ (mixed >>> 7), mixed | 61)
    return ((mixed ^ (mixed >>> 14)) >>> 0) % bound
  }
}
