/** What every store must hold of polls, ballots and the tally beside them. */
import { beforeEach, describe, expect, it } from 'vitest'
import type { PollRecord, Store } from '../../server/src/store/store.js'
import { drawFrom } from './harness.js'
import type { Engine } from './store-conformance.js'
import { POLL, ballotOf, put, rowOf } from './store-records.js'

/** `stores`: two on one database, where it may be shared; a board is in it, with one row. */
export function pollsConformance(engine: Engine, stores: () => readonly [Store, Store]): void {
  let [store, other] = [] as unknown as [Store, Store]
  beforeEach(() => {
    ;[store, other] = stores()
  })

  describe('[ST4] [PO1] polls and ballots', () => {
    const addPoll = (poll: PollRecord, seq: number) =>
      store.appendEntry('board', rowOf(seq), [{ kind: 'addPoll', poll }])
    it('polls come back whole and in the order they were made', async () => {
      const { closesAt: _closesAt, ...endless } = POLL
      const full: PollRecord = {
        ...endless,
        pollId: 'a',
        byRole: true,
        open: false,
        method: 'score',
        broughtTally: '{"voters":1}',
      }
      await addPoll({ ...POLL, pollId: 'z' }, 2)
      await addPoll(full, 3)
      await addPoll({ ...POLL, pollId: 'm' }, 4)
      expect(await other.polls('board')).toEqual([{ ...POLL, pollId: 'z' }, full, { ...POLL, pollId: 'm' }])
      expect(await other.poll('a')).toEqual(full)
      expect(await other.poll('none')).toBeUndefined()
      expect(await other.polls('none')).toEqual([])
    })
    it('one ballot a voter, a later one in its place, and none after the end', async () => {
      await addPoll(POLL, 2)
      const raced = Array.from({ length: 24 }, (_, index) =>
        put(index % 2 === 0 ? store : other, 'p', ballotOf('v', `c${index}`), 1),
      )
      expect(await Promise.all(raced)).toEqual(raced.map(() => true))
      expect(await store.ballots('p')).toHaveLength(1)
      expect(await put(store, 'p', ballotOf('v', 'last'), 99.5)).toBe(true)
      expect((await other.ballot('p', 'v'))?.choices).toBe('["last"]')
      expect(await other.ballot('p', 'none')).toBeUndefined()
      expect(await put(store, 'p', ballotOf('w', 'a'), 100)).toBe(false)
      expect(await put(store, 'none', ballotOf('w', 'a'), 1)).toBe(false)
      expect(await store.duePolls(99)).toEqual([])
      expect(await store.duePolls(100)).toEqual([{ pollId: 'p', boardId: 'board' }])
      await store.appendEntry('board', rowOf(3), [{ kind: 'closePoll', pollId: 'p' }])
      expect(await store.duePolls(100)).toEqual([])
      expect(await put(other, 'p', ballotOf('v', 'b'), 1)).toBe(false)
      expect(await store.ballots('p')).toEqual([ballotOf('v', 'last')])
    })
    it('what was taken before the closing counts, what comes with it is taken or refused, and nothing comes in later', async () => {
      await addPoll(POLL, 2)
      const given: Promise<boolean | undefined>[] = []
      let closing: Promise<void> | undefined
      for (let voter = 0; voter < 60; voter++) {
        given.push(put([store, other][voter % 2] as Store, 'p', ballotOf(`v${voter}`, 'a'), 1))
        if (voter === 30) closing = other.appendEntry('board', rowOf(3), [{ kind: 'closePoll', pollId: 'p' }])
      }
      await closing
      const atClose = (await store.ballots('p')).length
      const taken = (await Promise.all(given)).filter(Boolean).length
      expect([taken, (await other.ballots('p')).length]).toEqual([atClose, atClose])
    })
  })

  describe('[ST6] [PO4] the tally beside the ballots', () => {
    const tallyOf = async (one: Store) => JSON.parse((await one.tally('p')) ?? 'null') as object
    const isRecount = async (one: Store) => {
      const { kept, counted } = (await one.recount('p', false)) ?? {}
      expect(kept).toBe(counted)
      expect(await one.tally('p')).toBe(counted)
    }
    beforeEach(() => store.appendEntry('board', rowOf(2), [{ kind: 'addPoll', poll: POLL }]))

    it('is nothing at first, moves with every ballot, and is none where there is no poll', async () => {
      expect(await tallyOf(store)).toEqual({ voters: 0, personal: 0, band: {}, listeners: {} })
      const given = [
        ballotOf('v', 'a'),
        ballotOf('w', 'b'),
        { ...ballotOf('x', 'b'), band: false, personal: true },
        ballotOf('v', 'b'),
      ]
      expect(await store.putBallots(given.map((ballot) => ({ pollId: 'p', ballot, at: 1 })))).toEqual(
        given.map(() => true),
      )
      expect(await tallyOf(other)).toEqual({ voters: 3, personal: 1, band: { b: 2 }, listeners: { b: 1 } })
      await put(other, 'p', { ...ballotOf('x', 'a'), choices: '{"a":5,"b":0}' }, 1)
      expect(await tallyOf(store)).toEqual({ voters: 3, personal: 0, band: { a: 5, b: 2 }, listeners: {} })
      expect([await store.tally('none'), await store.recount('none', true)]).toEqual([undefined, undefined])
    })
    it('of ballots given together each is answered by its own poll and time', async () => {
      await store.appendEntry('board', rowOf(3), [{ kind: 'addPoll', poll: { ...POLL, pollId: 'q', open: false } }])
      const given = [
        { pollId: 'p', ballot: ballotOf('v', 'a'), at: 99 },
        { pollId: 'q', ballot: ballotOf('v', 'a'), at: 1 },
        { pollId: 'none', ballot: ballotOf('v', 'a'), at: 1 },
        { pollId: 'p', ballot: ballotOf('v', 'late'), at: 100 },
        { pollId: 'p', ballot: ballotOf('w', 'a'), at: 99 },
      ]
      expect(await store.putBallots(given)).toEqual([true, false, false, false, true])
      expect(await tallyOf(store)).toMatchObject({ voters: 2, band: { a: 2 } })
      expect(await store.putBallots([])).toEqual([])
    })
    it('is the recount, whoever raced whom: new voters, changed minds, two processes', async () => {
      const seed = Number(process.env['SEED'] ?? 11)
      const draw = drawFrom(seed)
      const rounds = Array.from({ length: 40 }, (_, round) => {
        const batch = Array.from({ length: 1 + Math.floor(draw() * 12) }, () => ({
          pollId: 'p',
          ballot: ballotOf(`v${Math.floor(draw() * 25)}`, `c${Math.floor(draw() * 4)}`),
          at: 1,
        }))
        return (round % 2 === 0 ? store : other).putBallots(batch)
      })
      const taken = (await Promise.all(rounds)).flat()
      expect(taken.every(Boolean), `seed ${seed}`).toBe(true)
      await isRecount(store)
      expect(await tallyOf(other)).toMatchObject({ voters: (await store.ballots('p')).length })
    })
    it('a poll of a version that kept none is counted once; one that went wrong is told, mended, and right at the closing', async () => {
      await put(store, 'p', ballotOf('v', 'a'), 1)
      await put(store, 'p', ballotOf('w', 'b'), 1)
      await engine.spoilTally('p', undefined)
      expect(await tallyOf(other)).toMatchObject({ voters: 2, band: { a: 1, b: 1 } })
      const wrong = '{"voters":7,"personal":0,"band":{"a":7},"listeners":{}}'
      await engine.spoilTally('p', wrong)
      const told = await store.recount('p', false)
      expect(told?.kept).toBe(wrong)
      expect(JSON.parse(told?.counted ?? '')).toMatchObject({ voters: 2 })
      await store.recount('p', true)
      await isRecount(other)
      await engine.spoilTally('p', wrong)
      await store.appendEntry('board', rowOf(3), [{ kind: 'closePoll', pollId: 'p' }])
      await isRecount(other)
    })
    it('a look tells whether it is open and what one has given', async () => {
      expect(await store.pollStanding('p', 'v')).toEqual({ open: true })
      await put(other, 'p', ballotOf('v', 'a'), 1)
      expect(await store.pollStanding('p', 'v')).toEqual({ open: true, mine: ballotOf('v', 'a') })
      await store.appendEntry('board', rowOf(3), [{ kind: 'closePoll', pollId: 'p' }])
      expect(await other.pollStanding('p', 'w')).toEqual({ open: false })
      expect(await store.pollStanding('none', 'v')).toBeUndefined()
      await store.appendEntry('board', rowOf(4), [{ kind: 'addPoll', poll: { ...POLL, pollId: 'a' } }])
      expect([await other.pollIds('board'), await other.pollIds('none')]).toEqual([['p', 'a'], []])
    })
  })
}
