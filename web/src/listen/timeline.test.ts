import { describe, expect, it } from 'vitest'
import type { ArrangedBar } from '@chartloft/shared-theory'
import type { Playable } from '../state/theory-protocol.js'
import { msOfTick, placeAt, samePlace } from './timeline.js'

const bar = (pass: string, sectionId: string): ArrangedBar =>
  ({ pass, sectionId, lengthTicks: 20160, metre: { beats: 4, beatType: 4 } }) as ArrangedBar
const bars = [bar('opening', 'opening'), bar('a', 'A1'), bar('a', 'A1'), bar('a', 'B1')]
const playable: Playable = {
  planHash: 'x',
  events: [],
  barStartTicks: [0, 20160, 40320, 60480],
  barStartMs: [0, 2000, 4000, 6000],
  totalMs: 8000,
}

describe('[AU4] places in time', () => {
  it('milliseconds to bar and beat', () => {
    expect(placeAt(playable, bars, 0)).toEqual({ barIndex: 0, beat: 0, through: 0 })
    expect(placeAt(playable, bars, 4600)).toMatchObject({ barIndex: 2, beat: 1 })
    expect(placeAt(playable, bars, 99_999)).toMatchObject({ barIndex: 3, beat: 3 })
  })
  it('ticks to milliseconds, exact on bar lines', () => {
    expect(playable.barStartTicks.map((tick) => msOfTick(playable, tick))).toEqual(playable.barStartMs)
    expect(msOfTick(playable, 30240)).toBe(3000)
  })
  it('the same music in another version', () => {
    const longer = [bar('opening', 'opening'), bar('opening', 'opening'), ...bars]
    expect(samePlace(bars, longer, 2)).toBe(4)
    expect(samePlace(longer, bars, 1)).toBe(1)
    expect(samePlace(bars, bars.slice(1), 0)).toBe(0)
  })
})
