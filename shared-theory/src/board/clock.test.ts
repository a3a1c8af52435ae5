import { describe, expect, it } from 'vitest'
import { estimateOffset } from './clock.js'

/** An exchange with a server `offset` ms ahead, `out` ms there, `back` ms back, `busy` ms in between. */
const exchange = (t0: number, offset: number, out: number, back: number, busy = 1) => {
  const t1 = t0 + out + offset
  return { t0, t1, t2: t1 + busy, t3: t0 + out + busy + back }
}

describe('[BD3] the clock estimate', () => {
  it('is exact where both ways take the same time', () => {
    expect(estimateOffset([exchange(100, 5000, 20, 20)])).toEqual({ offset: 5000, error: 20 })
  })
  it('takes the exchange with the least round trip, and the truth lies within its error', () => {
    const samples = [exchange(0, -250, 90, 10), exchange(10, -250, 4, 12), exchange(20, -250, 300, 30)]
    const { offset, error } = estimateOffset(samples)
    expect(error).toBe(8)
    expect(Math.abs(offset - -250)).toBeLessThanOrEqual(error)
  })
  it('nothing measured is nothing known; broken samples are left out', () => {
    expect(estimateOffset([])).toEqual({ offset: 0, error: Infinity })
    expect(estimateOffset([{ t0: Number.NaN, t1: 0, t2: 0, t3: 0 }, exchange(0, 7, 2, 2)])).toEqual({
      offset: 7,
      error: 2,
    })
  })
})
