import { describe, expect, it } from 'vitest'
import { bar, renumber } from '../state/test-bars.js'
import { lengthMs } from './clip.js'

describe('[UI15] clips on the poll page', () => {
  it('say how long they last, a slowing bar by the mean of its tempos', () => {
    const arrangement = (bars: Parameters<typeof renumber>[0]) => ({
      version: 1 as const,
      title: '',
      lineup: [],
      groove: 'swing-medium',
      bars: renumber(bars),
    })
    expect(lengthMs(arrangement([bar(0, 'C'), bar(1, 'C')]))).toBe(4000)
    expect(lengthMs(arrangement([bar(0, 'C', { tempoBpm: 120, tempoEndBpm: 40 })]))).toBe(3000)
  })
})
