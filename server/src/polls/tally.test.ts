import { describe, expect, it } from 'vitest'
import { countBallots, isOpenAt, mayseeTally, readChoices } from './tally.js'

const ballot = (choices: unknown, band = true, personal = false) => ({
  ballotId: 'b',
  voter: 'v',
  choices: JSON.stringify(choices),
  band,
  personal,
})

describe('[PO1] counting', () => {
  it('votes, approvals and scores', () => {
    expect(
      countBallots({ method: 'approval', byRole: false }, ['a', 'b'], [ballot(['a']), ballot(['a', 'b'])]),
    ).toEqual({ voters: 2, counts: { a: 2, b: 1 }, counted: 'browsers, not people' })
    expect(
      countBallots(
        { method: 'score', byRole: true },
        ['a', 'b'],
        [ballot({ a: 5 }, true, true), ballot({ a: 1, b: 2 }, false, true)],
      ),
    ).toEqual({
      voters: 2,
      counts: { a: 6, b: 2 },
      counted: 'people',
      byRole: { band: { a: 5, b: 0 }, listeners: { a: 1, b: 2 } },
    })
  })
  it('choices are read by the method', () => {
    expect(readChoices({ method: 'single' }, ['a', 'b'], ['b'])).toEqual(['b'])
    expect(readChoices({ method: 'approval' }, ['a', 'b'], [])).toEqual([])
    expect(readChoices({ method: 'score' }, ['a', 'b'], { a: 0, b: 5 })).toEqual({ a: 0, b: 5 })
    for (const [method, wrong] of [
      ['single', []],
      ['single', ['a', 'b']],
      ['approval', ['a', 'a']],
      ['score', { a: 6 }],
      ['score', { c: 1 }],
      ['score', ['a']],
      ['single', 'a'],
    ] as const) {
      expect(() => readChoices({ method }, ['a', 'b'], wrong), JSON.stringify(wrong)).toThrow()
    }
  })
})

describe('[PO2] sight', () => {
  it('the tally by its rule; everything after the end', () => {
    expect(mayseeTally({ tallyRule: 'always' }, true, false)).toBe(true)
    expect([false, true].map((hasVoted) => mayseeTally({ tallyRule: 'afterVote' }, true, hasVoted))).toEqual([
      false,
      true,
    ])
    expect([true, false].map((isOpen) => mayseeTally({ tallyRule: 'afterClose' }, isOpen, true))).toEqual([false, true])
    expect([999, 1000].map((now) => isOpenAt({ open: true, closesAt: 1000 }, now))).toEqual([true, false])
  })
})
