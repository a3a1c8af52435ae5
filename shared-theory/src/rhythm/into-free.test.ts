/** From time into a free section. */
import { describe, expect, it } from 'vitest'
import { passesOf } from '../../../tests/fixtures/rows.js'
import { lanternSlip } from '../../../tests/fixtures/worked-rows.js'
import { slowedIntoFree } from './index.js'

describe('[GR8] into a free section', () => {
  const bars = passesOf(lanternSlip(), 'chorus-1').map((bar, index) => ({
    ...bar,
    tempoBpm: index < 16 ? 120 : 58,
    feel: index < 16 ? 'swing' : 'rubato',
  }))

  it('the last bar in time slows to 70 %, and the first free chord has a fermata', () => {
    const made = slowedIntoFree(bars)
    expect(made[15]?.tempoEndBpm).toBe(84)
    expect(made[16]?.fermataTick).toBe(0)
    expect(made.filter(({ tempoEndBpm }) => tempoEndBpm !== undefined)).toHaveLength(1)
    expect(made.filter(({ fermataTick }) => fermataTick !== undefined)).toHaveLength(1)
  })

  it('what has its own slowing or fermata keeps it; a tune free from its first bar, and one in time, stay as they are', () => {
    const own = bars.map((bar, index) =>
      index === 15 ? { ...bar, tempoEndBpm: 100 } : index === 16 ? { ...bar, fermataTick: 5040 } : bar,
    )
    expect(slowedIntoFree(own)).toEqual(own)
    for (const feel of ['swing', 'rubato']) {
      const one = bars.map((bar) => ({ ...bar, feel }))
      expect(slowedIntoFree(one)).toEqual(one)
    }
  })
})
