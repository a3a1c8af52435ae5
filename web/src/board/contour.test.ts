import { keySignatureOf } from '@chartloft/shared-theory'
import { describe, expect, it } from 'vitest'
import { bar, renumber } from '../state/test-bars.js'
import { contour, contourPath, remaining, stretchPath } from './contour.js'

const roadmap = [
  { id: 'chorus-1', kind: 'chorus', sections: ['A1'], energy: 0.3 },
  { id: 'chorus-last', kind: 'chorus', sections: ['A1'], energy: 0.8 },
] as const
const chorus = (pass: string, changes = {}) =>
  Array.from({ length: 8 }, (_, index) => bar(index, 'C', { pass, ...changes }))

describe('[UI11] the contour strip', () => {
  it('has one point a bar, to scale of time', () => {
    const bars = renumber([bar(0, 'C'), bar(1, 'C', { tempoBpm: 60 })])
    expect(contour(bars, []).map(({ at }) => Math.round(at * 600))).toEqual([100, 400])
  })

  it('rises where the plan says so, and more with a lift', () => {
    const flat = contour(renumber([...chorus('chorus-1'), ...chorus('chorus-last')]), roadmap)
    expect(flat[12]?.energy).toBeGreaterThan((flat[2]?.energy ?? 1) + 0.3)
    const lifted = contour(
      renumber([...chorus('chorus-1'), ...chorus('chorus-last', { key: keySignatureOf('D major') })]),
      roadmap,
    )
    expect(lifted[12]?.energy).toBeGreaterThan(flat[12]?.energy ?? 1)
  })

  it('leaves out undecided stretches without a gap', () => {
    expect(
      remaining(32, [
        [8, 16],
        [30, 32],
      ]),
    ).toEqual([
      [0, 9],
      [15, 31],
    ])
    expect(remaining(4, [[0, 4]])).toEqual([])
    expect(remaining(4, [])).toEqual([[0, 4]])
    const points = contour(renumber(chorus('chorus-1')), roadmap)
    expect(stretchPath(points, [0, 3], 1000, 120).split('L')).toHaveLength(3)
    expect(stretchPath(points, [7, 8], 1000, 120)).toBe('')
  })

  it('draws from edge to edge inside its box', () => {
    const path = contourPath(contour(renumber(chorus('chorus-1')), roadmap), 1000, 120)
    expect(path.startsWith('M0 ')).toBe(true)
    expect(path.split('L').at(-1)).toMatch(/^1000 /)
    const heights = path
      .slice(1)
      .split('L')
      .map((point) => Number(point.split(' ')[1]))
    expect(Math.min(...heights)).toBeGreaterThanOrEqual(10)
    expect(Math.max(...heights)).toBeLessThanOrEqual(116)
    expect(contourPath([], 10, 10)).toBe('')
  })
})
