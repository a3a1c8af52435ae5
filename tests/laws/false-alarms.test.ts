/** Right music raises next to nothing: hymns, strict four-part writing, and what our own band plays. */
import { describe, expect, it } from 'vitest'
import { DEMO_TUNES } from '@chartloft/demo'
import { compile, defaultPlan, fold, validate } from '@chartloft/shared-theory'
import { alarmLines, demoAlarms, fourPartAlarms } from './faults/false-alarms.js'
import { tuneOf } from './faults/scene.js'

describe('[VA0] clean music raises nothing', () => {
  it('every demo tune as it stands, with plan and fold: no error, no warning', () => {
    for (const { abc, title } of DEMO_TUNES) {
      const plan = defaultPlan(tuneOf(abc))
      const { arrangement } = compile(plan)
      const found = validate(arrangement, { plan, folded: fold(arrangement) })
      expect(
        found.filter(({ severity }) => severity !== 'note'),
        title,
      ).toEqual([])
    }
  })
})

describe('[VA16] false alarms', () => {
  it('hymns and strict four-part writing, as voices, as organ and as written parts: no error, at most 2 % of bars with a warning', () => {
    const all = fourPartAlarms()
    console.log(alarmLines(all))
    for (const { name, bars, alarmed, errors } of all) {
      expect(bars, name).toBeGreaterThan(40)
      expect(errors, name).toBe(0)
      expect(alarmed / bars, name).toBeLessThanOrEqual(0.02)
    }
  })
  it('the demo tunes with one option at a time, with plan and fold', () => {
    const demo = demoAlarms(process.env['LONG'] ? 50 : 5)
    console.log(alarmLines([demo]))
    expect(demo.errors).toBe(0)
    expect(demo.alarmed / demo.bars).toBeLessThanOrEqual(0.02)
  })
})
