import { describe, expect, it } from 'vitest'
import { bar, renumber } from '../state/test-bars.js'
import { barsOf } from './bars-of.js'

describe('[UI53] hearing a former state', () => {
  it('takes the bars asked for as a piece of their own, counted from 0, and stays inside the piece', () => {
    const arrangement = {
      version: 1 as const,
      title: '',
      lineup: [],
      groove: 'swing-medium',
      bars: renumber([bar(0, 'C'), bar(1, 'F'), bar(2, 'G7'), bar(3, 'C')]),
    }
    const heard = (from: number, to: number) =>
      barsOf(arrangement, from, to).bars.map(({ barIndex, chords }) => `${barIndex} ${chords[0]?.chord.symbol}`)
    expect(heard(1, 2)).toEqual(['0 F', '1 G7'])
    expect(heard(-1, 0)).toEqual(['0 C'])
    expect(heard(3, Infinity)).toEqual(['0 C'])
    expect(arrangement.bars[1]?.barIndex).toBe(1)
  })
})
