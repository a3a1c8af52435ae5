/** A poll with many ballots in a store of its own: what one more costs, what a look costs, and what counting all of them costs. */
import type { GivenBallot, Store } from '../../../server/src/store/store.js'
import { openSqlite } from '../../../server/src/store/sqlite.js'

const TOGETHER = 500

export const given = (voter: string, choice: number): GivenBallot => ({
  pollId: 'p',
  at: 1,
  ballot: { ballotId: voter, voter, choices: JSON.stringify([`option-${choice}`]), band: false, personal: false },
})

export async function pollWith(dataDir: string, voters: number): Promise<Store> {
  const store = await openSqlite({ dataDir, maxDataMb: 1024 })
  const poll = {
    pollId: 'p',
    boardId: 'board',
    question: 'q',
    method: 'single',
    audience: 'everyone',
    tallyRule: 'always',
    byRole: false,
    open: true,
    options: '[]',
  } as const
  await store.createBoard({ boardId: 'board', title: 'Pier', createdAt: 1 }, [], [{ kind: 'addPoll', poll }])
  for (let from = 0; from < voters; from += TOGETHER)
    await store.putBallots(
      Array.from({ length: Math.min(TOGETHER, voters - from) }, (_, index) =>
        given(`voter-${from + index}`, index % 12),
      ),
    )
  return store
}

/** Processor milliseconds of asynchronous work, the least of some runs. */
export async function leastMs(runs: number, work: (run: number) => Promise<unknown>): Promise<number> {
  let least = Infinity
  for (let run = 0; run < runs; run++) {
    const start = process.cpuUsage()
    await work(run)
    const { user, system } = process.cpuUsage(start)
    least = Math.min(least, (user + system) / 1000)
  }
  return least
}

export const COSTS_OF_A_POLL: { readonly [what: string]: (store: Store) => Promise<number> } = {
  'a hundred ballots more': (store) =>
    leastMs(3, (run) =>
      store.putBallots(Array.from({ length: 100 }, (_, index) => given(`voter-${index}`, (index + run) % 12))),
    ),
  'a hundred looks at the tally': (store) =>
    leastMs(3, async () => {
      for (let look = 0; look < 100; look++) await store.tally('p')
    }),
  'a recount of all ballots': (store) => leastMs(3, () => store.recount('p', false)),
}
