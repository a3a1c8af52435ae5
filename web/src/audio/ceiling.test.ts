import { describe, expect, it } from 'vitest'
import { limit } from './ceiling.js'
import { AUDIO } from './limits.js'

const CEILING = 10 ** (AUDIO.ceilingDb / 20)
const RATE = 44_100
/** A seeded crowd of peaks up to four times full scale. */
function peaks(): Float32Array {
  let state = 7
  return Float32Array.from({ length: RATE }, (_, index) => {
    state = (Math.imul(state, 1_664_525) + 1_013_904_223) >>> 0
    return Math.sin(index / 9) * (state % 997 === 0 ? 4 : 0.4)
  })
}

describe('[AU9] the limiter of a bounce', () => {
  it('lets nothing pass the ceiling, in any channel, and leaves what is below it alone', () => {
    const loud = [peaks(), peaks().map((sample) => -sample / 2)]
    limit(loud, RATE)
    const loudest = Math.max(
      ...loud.map((channel) => channel.reduce((peak, sample) => Math.max(peak, Math.abs(sample)), 0)),
    )
    expect(loudest).toBeLessThanOrEqual(CEILING + 1e-6)
    expect(loudest).toBeGreaterThan(CEILING - 0.01)
    const soft = Float32Array.from({ length: RATE }, (_, index) => 0.8 * Math.sin(index / 20))
    const before = soft.slice()
    limit([soft], RATE)
    expect(soft.every((sample, index) => sample === before[index])).toBe(true)
  })
  it('turns both channels down alike and comes up again', () => {
    const left = new Float32Array(RATE).fill(0.5)
    const right = new Float32Array(RATE).fill(0.25)
    left[10_000] = 2
    limit([left, right], RATE)
    for (const at of [9900, 10_000, 10_500])
      if (at !== 10_000) expect((left[at] as number) / (right[at] as number)).toBeCloseTo(2, 5)
    expect(left[RATE - 1]).toBeGreaterThan(0.49)
    expect(left[9000]).toBe(0.5)
  })
})
