import { describe, expect, it } from 'vitest'
import { loopOfBars } from './loop-bars.js'

describe('[AU31] a loop of bars', () => {
  const starts = [0, 100, 200, 300, 400]
  it('goes from the first bar named to the end of the last', () => {
    expect(loopOfBars(starts, 2, 3)).toMatchObject({ fromTick: 100, toTick: 300 })
    expect(loopOfBars(starts, 4, 4)).toMatchObject({ fromTick: 300, toTick: 400 })
  })
  it('stays inside the piece, and the whole piece is no loop', () => {
    expect(loopOfBars(starts, -3, 2)).toMatchObject({ fromTick: 0, toTick: 200 })
    expect(loopOfBars(starts, 3, 99)).toMatchObject({ fromTick: 200, toTick: 400 })
    expect(loopOfBars(starts, 1, 4)).toBeUndefined()
    expect(loopOfBars(starts, Number.NaN, 2)).toMatchObject({ fromTick: 0, toTick: 200 })
    expect(loopOfBars([0], 1, 1)).toBeUndefined()
  })
})
