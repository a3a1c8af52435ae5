/** Records the conformance suites put into a store. */
import type { Accepted, BallotRecord, PollRecord, Store } from '../../server/src/store/store.js'

export const POLL: PollRecord = {
  pollId: 'p',
  boardId: 'board',
  question: 'q',
  method: 'single',
  audience: 'band',
  tallyRule: 'always',
  byRole: false,
  closesAt: 100,
  open: true,
  options: '[]',
}

export const rowOf = (seq: number, commandId = `command-${seq}`, name = 'x'): Accepted => ({
  entry: {
    seq,
    at: seq,
    by: { userId: 'u', name: 'n', role: 'leader' },
    command: { commandId, kind: 'nameVersion', name },
  },
  requestHash: `hash of ${commandId}`,
  answer: JSON.stringify({ seq }),
})

/** One ballot by itself. */
export const put = async (
  store: Store,
  pollId: string,
  ballot: BallotRecord,
  at: number,
): Promise<boolean | undefined> => (await store.putBallots([{ pollId, ballot, at }]))[0]
export const ballotOf = (voter: string, choice: string): BallotRecord => ({
  ballotId: `${voter}-${choice}`,
  voter,
  choices: JSON.stringify([choice]),
  band: true,
  personal: false,
})
