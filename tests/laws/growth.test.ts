/** How costs grow: the fit itself, and the guard on what is done with a song. */
import { describe, expect, it } from 'vitest'
import { keepsInProportion } from '../bench/growth/guard.js'
import { cpuMs, fitOf, grows } from '../bench/growth/growth.js'
import { DONE_WITH_A_SONG, longTune, songOf } from '../bench/growth/long-tunes.js'

describe('[GR1] an exponent', () => {
  const points = (cost: (size: number) => number) => [1, 2, 4, 8].map((size) => ({ size, cost: cost(size) }))
  it('is that of the curve the points lie on, and near it where they scatter', () => {
    for (const exponent of [0, 0.5, 1, 2]) {
      const fit = fitOf(points((size) => 3 * size ** exponent))
      expect(fit.exponent).toBeCloseTo(exponent, 10)
      expect(fit.r2).toBeCloseTo(1, 10)
    }
    const scattered = fitOf(points((size) => size * (size % 4 === 0 ? 1.1 : 0.9)))
    expect(Math.abs(scattered.exponent - 1)).toBeLessThan(0.15)
    expect(scattered.r2).toBeLessThan(1)
  })
  it('needs points that can be fitted, and a reason where it is above 1', () => {
    expect(() => fitOf(points(() => 0))).toThrow(RangeError)
    expect(() => fitOf([{ size: 1, cost: 1 }])).toThrow(RangeError)
    expect(() => fitOf(Array.from({ length: 3 }, () => ({ size: 2, cost: 1 })))).toThrow(RangeError)
    const growth = { what: 'x', by: 'bars', unit: 'ms', points: points((size) => size ** 2), atMost: 3 }
    expect(() => grows(growth)).toThrow('nobody says why')
  })
})

describe('[GR2] a longer song costs in proportion', () => {
  it('is really longer, with the same music', () => {
    const [one, four] = [longTune(1), longTune(4)]
    expect(four.bars).toHaveLength(4 * one.bars.length)
    expect(new Set(four.sections.map(({ id }) => id)).size).toBe(4 * one.sections.length)
    expect(songOf(4).arrangement.bars.length).toBe(4 * songOf(1).arrangement.bars.length)
  })
  const songs = new Map([1, 4].map((times) => [times, songOf(times)]))
  it.each(Object.entries(DONE_WITH_A_SONG))('%s', async (what, act) => {
    await keepsInProportion(what, [1, 4], (times) => {
      const song = songs.get(times)
      return song ? cpuMs(() => act(song), 10) : NaN
    })
  })
  it('the guard fails what goes by the square', async () => {
    const square = (size: number) => size ** 2
    await expect(keepsInProportion('a square', [1, 4], square)).rejects.toThrow('a square')
  })
})
