import { describe, expect, it } from 'vitest'
import { inSteps, LATENCY, latencyOf } from './latency.js'

const clicks = Array.from({ length: LATENCY.clicks }, (_, index) => 1000 + index * LATENCY.beatMs)
/** Taps so late after each click, each a little off in turn. */
const taps = (lateMs: number, offMs: readonly number[] = [0]) =>
  clicks.map((click, index) => click + lateMs + (offMs[index % offMs.length] ?? 0))

describe('[AU5] how late a device sounds', () => {
  it.each([0, 40, 180, 410, -60])(
    'is found from taps %i ms after the clicks, among the unsteadiness of a hand',
    (late) => {
      expect(latencyOf(clicks, taps(late, [-20, 5, 0, -10, 10]))).toEqual({ kind: 'measured', ms: inSteps(late) })
    },
  )

  it('adds what was already made up for', () => {
    expect(latencyOf(clicks, taps(-30), 200)).toEqual({ kind: 'measured', ms: 170 })
  })

  it('is not believed from too few or uneven taps, and one slip does not matter', () => {
    expect(latencyOf(clicks, taps(80).slice(0, 8))).toEqual({ kind: 'too-few' })
    expect(latencyOf(clicks, taps(0, [-120, 130, 20, -80, 90]))).toEqual({ kind: 'uneven' })
    const slipped = taps(80).map((tap, index) => (index === 9 ? tap + 190 : tap))
    expect(latencyOf(clicks, slipped)).toEqual({ kind: 'measured', ms: 80 })
  })

  it('stays within what a player may set', () => {
    expect(inSteps(9999)).toBe(LATENCY.mostMs)
    expect(inSteps(-9999)).toBe(LATENCY.leastMs)
    expect(inSteps(83)).toBe(85)
  })
})
