/** Right music raises next to nothing: hymns, strict four-part writing, and what our own band plays. */
import { describe, expect, it } from 'vitest'
import { alarmLines, demoAlarms, fourPartAlarms } from './faults/false-alarms.js'

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
