/** Folding, on tunes and plans nobody chose. LONG=1 for many; the bench prints the figures. */
import { describe, expect, it } from 'vitest'
import { compile, defaultPlan, fold } from '@chartloft/shared-theory'
import { madeTune } from '../fixtures/made-tunes.js'
import { measureFold, shareOfThree, writtenTunes } from './fold-laws.js'

const PLANS = process.env['LONG'] === '1' ? 1500 : 60

describe('[LW9] folding', () => {
  it(`${PLANS} seeded plans unfold to what they were, sign by sign`, { timeout: 1_800_000 }, () => {
    const { faults, plans, played, written, withEndings, withJump } = measureFold(PLANS, 411)
    console.log(
      `${plans} plans: ${played} bars played are ${written} written (${((100 * written) / played).toFixed(0)} %), ${withEndings} with endings, ${withJump} with D.S. or D.C.`,
    )
    expect(faults.slice(0, 20)).toEqual([])
    expect(withEndings).toBeGreaterThan(0)
    expect(withJump).toBeGreaterThan(0)
  })

  it('three equal choruses need less than 70 % of their bars', () => {
    const tunes = [...writtenTunes(), ...Array.from({ length: 12 }, (_, seed) => madeTune(seed))]
    for (const tune of tunes) expect(shareOfThree(tune), tune.title).toBeLessThan(0.7)
  })

  it('as a small band plays them too, its last hit written as an ending', () => {
    for (const tune of writtenTunes()) {
      const base = defaultPlan(tune)
      const { arrangement } = compile({ ...base, roadmap: [{ ...base.roadmap[0]!, times: 3 }] })
      expect(fold(arrangement).bars.length / arrangement.bars.length, tune.title).toBeLessThan(0.7)
    }
  })
})
