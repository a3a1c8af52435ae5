import { describe, expect, it } from 'vitest'
import { LIMITS } from '../limits.js'
import type { GivenBallot } from '../store/store.js'
import { BallotQueue } from './ballot-queue.js'

const given = (voter: string): GivenBallot => ({
  pollId: 'p',
  ballot: { ballotId: voter, voter, choices: '["a"]', band: true, personal: false },
  at: 1,
})

/** A store that writes when told to. */
function slowStore() {
  const writes: { voters: string[]; end: (result: Error | undefined) => void }[] = []
  return {
    writes,
    putBallots: (ballots: readonly GivenBallot[]) =>
      new Promise<readonly boolean[]>((resolve, reject) => {
        const voters = ballots.map(({ ballot }) => ballot.voter)
        const taken = voters.map((voter) => voter !== 'late')
        writes.push({ voters, end: (error) => (error ? reject(error) : resolve(taken)) })
      }),
  }
}
const settled = () => new Promise((resolve) => setImmediate(resolve))

describe('[PO4] ballots on their way', () => {
  it('go at once where none is written, and together where one is; each hears of its own', async () => {
    const store = slowStore()
    const queue = new BallotQueue(store)
    const answers: string[] = []
    for (const voter of ['a', 'b', 'late', 'c'])
      void queue.put(given(voter)).then((isTaken) => answers.push(`${voter} ${isTaken}`))
    expect(store.writes.map(({ voters }) => voters)).toEqual([['a']])
    await settled()
    expect(answers).toEqual([])
    store.writes[0]?.end(undefined)
    await settled()
    expect(answers).toEqual(['a true'])
    expect(store.writes[1]?.voters).toEqual(['b', 'late', 'c'])
    store.writes[1]?.end(undefined)
    await settled()
    expect(answers.slice(1)).toEqual(['b true', 'late false', 'c true'])
    void queue.put(given('d'))
    expect(store.writes[2]?.voters).toEqual(['d'])
  })
  it('whose transaction fails are all refused, and the next are tried', async () => {
    const store = slowStore()
    const queue = new BallotQueue(store)
    const heard: string[] = []
    for (const voter of ['a', 'b'])
      queue.put(given(voter)).then(
        () => heard.push(`${voter} taken`),
        (error: Error) => heard.push(`${voter} ${error.message}`),
      )
    store.writes[0]?.end(new Error('disk'))
    await settled()
    store.writes[1]?.end(undefined)
    await settled()
    expect(heard).toEqual(['a disk', 'b taken'])
  })
  it('are no more in one transaction than its limit', async () => {
    const store = slowStore()
    const queue = new BallotQueue(store)
    for (let voter = 0; voter <= LIMITS.ballotsAtOnce + 1; voter++) void queue.put(given(String(voter)))
    for (let write = 0; write < 3; write++) {
      store.writes[write]?.end(undefined)
      await settled()
    }
    expect(store.writes.map(({ voters }) => voters.length)).toEqual([1, LIMITS.ballotsAtOnce, 1])
  })
})
