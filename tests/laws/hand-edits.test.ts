/** Hand edits and whatever changes after them: seen or named, never lost. LONG=1 for many; the bench prints the figures. */
import { describe, expect, it } from 'vitest'
import { measureEdits } from './hand-edit-laws.js'

const PLANS = process.env['LONG'] === '1' ? 3000 : 100
const TUNES = PLANS > 1000 ? 40 : 3

describe('[LW10] hand edits', () => {
  it(
    `${PLANS} seeded plans with edits, before and after a change: each edit is seen or named`,
    { timeout: 3_600_000 },
    () => {
      const { faults, edits, seen, named, byChange } = measureEdits(PLANS, 71, TUNES)
      console.log(
        `${edits} edits: ${seen} seen, ${named} named; ${Object.entries(byChange)
          .map(([what, [one, other]]) => `${what} ${one}+${other}`)
          .join(', ')}`,
      )
      if (process.env['ODD_PRINT']) console.log(faults.join('\n'))
      expect(faults.slice(0, 20)).toEqual([])
      expect(seen).toBeGreaterThan(named)
      expect(named).toBeGreaterThan(0)
    },
  )
})
