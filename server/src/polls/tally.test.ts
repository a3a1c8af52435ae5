import { describe, expect, it } from 'vitest'
import { type CountedBallot, KeptTally } from '../store/kept-tally.js'
import { isOpenAt, mayseeTally, readChoices, shownTally } from './tally.js'

const ballot = (choices: unknown, band = true, personal = false) => ({
  choices: JSON.stringify(choices),
  band,
  personal,
})

function countBallots(poll: { readonly byRole: boolean }, ids: readonly string[], ballots: readonly CountedBallot[]) {
  const kept = new KeptTally()
  for (const one of ballots) kept.add(one)
  return shownTally(poll, ids, KeptTally.read(kept.written()))
}

describe('[PO1] counting', () => {
  it('votes, approvals and scores', () => {
    expect(countBallots({ byRole: false }, ['a', 'b'], [ballot(['a']), ballot(['a', 'b'])])).toEqual({
      voters: 2,
      counts: { a: 2, b: 1 },
      counted: 'browsers, not people',
    })
    expect(
      countBallots({ byRole: true }, ['a', 'b'], [ballot({ a: 5 }, true, true), ballot({ a: 1, b: 2 }, false, true)]),
    ).toEqual({
      voters: 2,
      counts: { a: 6, b: 2 },
      counted: 'people',
      byRole: { band: { a: 5, b: 0 }, listeners: { a: 1, b: 2 } },
    })
  })
  it('the four-city example of the voting literature: a plurality, approval of two, and ranks as scores elect differently', () => {
    // A hundred voters in four cities rank them by distance, 42, 26, 15 and 17 of them. Published counts: plurality 42 26 15 17; approval of
    // the nearest two 42 68 58 32; Borda's points (3, 2, 1, 0) 126 194 173 107. From memory.
    const voters = [
      [42, 'abcd'],
      [26, 'bcda'],
      [15, 'cdba'],
      [17, 'dcba'],
    ] as const
    const cast = (choices: (ranking: string) => unknown) =>
      voters.flatMap(([count, ranking]) => Array.from({ length: count }, () => ballot(choices(ranking))))
    const counted = (choices: (ranking: string) => unknown) =>
      countBallots({ byRole: false }, ['a', 'b', 'c', 'd'], cast(choices)).counts
    expect(counted(([first]) => [first])).toEqual({ a: 42, b: 26, c: 15, d: 17 })
    expect(counted(([first, second]) => [first, second])).toEqual({ a: 42, b: 68, c: 58, d: 32 })
    const points = (ranking: string) => Object.fromEntries(Array.from(ranking, (city, place) => [city, 3 - place]))
    expect(counted(points)).toEqual({ a: 126, b: 194, c: 173, d: 107 })
  })
  it('a tally that moves with ballots given, changed and taken back is the count of those that are left', () => {
    let state = 5
    const draw = (below: number) => {
      state = (Math.imul(state, 1664525) + 1013904223) >>> 0
      return Math.floor((state / 2 ** 32) * below)
    }
    for (let round = 0; round < 40; round++) {
      const moved = new KeptTally()
      const standing = new Map<number, CountedBallot>()
      for (let given = 0; given < 300; given++) {
        const voter = draw(60)
        const before = standing.get(voter)
        if (before) moved.remove(before)
        standing.delete(voter)
        if (draw(4) === 0) continue
        const choices =
          draw(2) === 0 ? { a: draw(6), b: draw(6), __proto__: null } : ['a', 'b', 'toString'].slice(draw(3))
        const next = ballot(choices, draw(2) === 0, draw(2) === 0)
        moved.add(next)
        standing.set(voter, next)
      }
      const counted = new KeptTally()
      for (const one of standing.values()) counted.add(one)
      expect(KeptTally.read(moved.written()).written()).toBe(counted.written())
    }
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
