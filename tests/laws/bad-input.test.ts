/** Bad input to everything that reads a tune, a plan, an arrangement or a folded score. LONG=1 for thousands; the bench prints the figures. */
import { describe, expect, it } from 'vitest'
import {
  type Arrangement,
  type Plan,
  type Tune,
  arrangementShape,
  compile,
  defaultPlan,
  fold,
  validate,
} from '@chartloft/shared-theory'
import { EDGE_TUNES, edgeFaults, measureBadInput } from './bad-input-laws.js'
import { writtenTunes } from './fold-laws.js'

const EACH = process.env['LONG'] === '1' ? 600 : 30

describe('[LW12] bad input', () => {
  it(`${EACH} broken values for each reader: none throws, nothing unusable comes out`, { timeout: 1_800_000 }, () => {
    const { tried, faults, slowestMs } = measureBadInput(EACH, 17)
    console.log(`${tried} broken values, slowest ${slowestMs.toFixed(0)} ms`)
    expect(faults.slice(0, 20)).toEqual([])
    expect(slowestMs).toBeLessThan(2000)
  })

  for (const [name, make] of Object.entries(EDGE_TUNES))
    it(`a tune of ${name}`, () => {
      expect(edgeFaults(make())).toEqual([])
    })

  it('what is wrong is said: by compile for a plan, by validate for an arrangement', () => {
    const empty = EDGE_TUNES['no bars']!()
    const { issues } = compile(defaultPlan(empty))
    expect(issues.map(({ message }) => message)).toContain(
      'The running order has no bars. Add a pass with at least one section.',
    )
    const { arrangement } = compile(defaultPlan(EDGE_TUNES['seven flats']!()))
    const bars = arrangement.bars.map((bar, index) =>
      index === 3 ? { ...bar, metre: { beats: 0, beatType: 4 } } : bar,
    )
    const broken = { ...arrangement, bars } as Arrangement
    expect(validate(broken).map(({ path }) => path)).toContain('bars/3/metre')
    expect(fold(broken).bars.length).toBeGreaterThan(0)
  })

  it('what is whole passes untouched', () => {
    for (const tune of writtenTunes()) {
      const { arrangement } = compile(defaultPlan(tune))
      expect(arrangementShape(arrangement)).toBe(arrangement)
    }
    for (const none of [null, 7, 'x', [], {}]) {
      expect(arrangementShape(none)).toEqual({ version: 1, title: '', lineup: [], groove: '', bars: [] })
      expect(defaultPlan(none as unknown as Tune).roadmap).toHaveLength(3)
      expect(compile(none as unknown as Plan).arrangement.bars).toEqual([])
    }
  })
})
