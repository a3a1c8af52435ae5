import { describe, expect, it } from 'vitest'
import { compileForm, defaultPlan } from '../compile/index.js'
import { readTune } from '../read/index.js'
import { validate } from './validate.js'

describe('[VA2] a clash the tune has over a chord carried on', () => {
  const findings = (symbol: string) => {
    const read = readTune('abc', `X:1\nT:Test\nM:4/4\nL:1/4\nK:A mix\n"A"e2 c2 | d2 c2 | ${symbol}e2 d2 | "A"c4 |]\n`)
    if (!read.ok) throw new Error(read.issues[0]?.message)
    const plan = defaultPlan(read.value)
    const { bars, groove } = compileForm(plan)
    return validate({ version: 1, title: 'Test', lineup: plan.lineup, groove, bars }, { plan }).filter(
      ({ path }) => path === 'bars/1/chords/0',
    )
  }
  it("is the tune's own, as over one written in its bar", () => {
    for (const symbol of ['', '"E7"']) {
      const found = findings(symbol)
      expect(found.map(({ code, severity }) => [code, severity])).toEqual([['VA2', 'warning']])
      expect(found[0]?.message).toContain('The tune itself has it so.')
    }
  })
})
