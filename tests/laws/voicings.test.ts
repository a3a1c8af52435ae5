/** Voice leading against trying everything, in a small sample; `npm run bench -- theory` has the whole. */
import { describe, expect, it } from 'vitest'
import { processorMs } from '../bench/figure.js'
import { chartVoiced, leadingFigures, optimumFigures } from './voicing-figures.js'

describe('voice leading', () => {
  it('[VO5] 300 short progressions move as little as any path through their candidates', () => {
    expect(optimumFigures(1, 300).beaten).toEqual([])
  })

  it('[VO1] pairs of three and four notes move as little as any pairing', () => {
    const { pairs, wrong } = leadingFigures(53)
    expect(pairs).toBeGreaterThan(2500)
    expect(wrong).toEqual([])
  })

  it('[VO8] 32 bars in four parts take a few milliseconds of processor time', () => {
    for (let warm = 0; warm < 20; warm++) chartVoiced()
    expect(processorMs(chartVoiced, 9)).toBeLessThan(15)
  })
})
