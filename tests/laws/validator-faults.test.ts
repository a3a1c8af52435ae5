/** Faults put at random into clean compiled music: each is found in its own bar and family. Prints its seed and figures. */
import { describe, expect, it } from 'vitest'
import { FAMILIES, SHAPES, familyLines, injectFaults } from './faults/inject.js'

const SEED = Number(process.env['SEED'] ?? 20)
const COUNT = process.env['LONG'] ? 3000 : 600
const SCENES = process.env['LONG'] ? 48 : 11

describe('[VA15] faults put in at random', () => {
  it(`${COUNT} faults, every family about equally, each found in its own bar and family (seed ${SEED})`, () => {
    const report = injectFaults(COUNT, SEED, SCENES)
    console.log(`seed ${SEED}, ${SCENES} arrangements, ${SHAPES.length} shapes of fault\n${familyLines(report)}`)
    expect(report.missed).toEqual([])
    for (const family of FAMILIES) {
      expect(report.byFamily.get(family)?.put, family).toBe(COUNT / FAMILIES.length)
      const shapes = [...report.byShape].filter(([name, { put }]) => put > 0 && name.startsWith(`${family} `))
      expect(shapes.length, `${family} goes wrong in many ways`).toBeGreaterThanOrEqual(4)
    }
    // What left the music right is not counted, and must stay rare or the figure says little.
    const left = [...report.byFamily.values()].reduce((sum, { same }) => sum + same, 0)
    expect(left).toBeLessThan(COUNT / 10)
  }, 600_000)
})
