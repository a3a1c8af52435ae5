/** Counting: ballots to a tally, and whether somebody may see it. */
import { BOARD_LIMITS, type BallotChoices, type PollTally } from '@chartloft/shared-theory/board'
import { Refusal } from '../errors.js'
import type { KeptTally } from '../store/kept-tally.js'
import type { PollRecord } from '../store/store.js'

/** Choices as the poll's method takes them; Refusal 'invalid' says which choice is wrong. */
export function readChoices(
  poll: Pick<PollRecord, 'method'>,
  optionIds: readonly string[],
  choices: unknown,
): BallotChoices {
  const known = (id: unknown): string => {
    const found = optionIds.find((option) => option === id)
    return found ?? refuse(`there is no option '${String(id).slice(0, 80)}'`)
  }
  if (poll.method === 'score') {
    if (typeof choices !== 'object' || choices === null || Array.isArray(choices))
      return refuse('a score for each option was expected')
    const { least, most } = BOARD_LIMITS.score
    return Object.fromEntries(
      Object.entries(choices).map(([id, score]) => {
        if (!Number.isInteger(score) || score < least || score > most)
          refuse(`a score is a whole number from ${least} to ${most}`)
        return [known(id), score as number]
      }),
    )
  }
  if (!Array.isArray(choices)) return refuse('a list of option ids was expected')
  if (choices.length > BOARD_LIMITS.pollOptions.most) return refuse('these are more choices than there are options')
  const ids = choices.map(known)
  if (new Set(ids).size !== ids.length) return refuse('an option is chosen twice')
  if (poll.method === 'single' && ids.length !== 1) return refuse('exactly one option can be chosen')
  return ids
}

/** Votes, approvals or summed scores an option; every option has a number. */
export function shownTally(poll: Pick<PollRecord, 'byRole'>, optionIds: readonly string[], kept: KeptTally): PollTally {
  const { voters, personal, band, listeners } = kept
  const of = (sum: (id: string) => number) => Object.fromEntries(optionIds.map((id) => [id, sum(id)]))
  const ofBand = (id: string) => band.get(id) ?? 0
  const ofListeners = (id: string) => listeners.get(id) ?? 0
  return {
    voters,
    counts: of((id) => ofBand(id) + ofListeners(id)),
    counted: personal === voters ? 'people' : 'browsers, not people',
    ...(poll.byRole ? { byRole: { band: of(ofBand), listeners: of(ofListeners) } } : {}),
  }
}

/** Whether the poll takes ballots at `now`. */
export const isOpenAt = (poll: Pick<PollRecord, 'open' | 'closesAt'>, now: number): boolean =>
  poll.open && (poll.closesAt === undefined || poll.closesAt > now)

export function mayseeTally(poll: Pick<PollRecord, 'tallyRule'>, isOpen: boolean, hasVoted: boolean): boolean {
  if (!isOpen) return true
  return poll.tallyRule === 'always' || (poll.tallyRule === 'afterVote' && hasVoted)
}

function refuse(message: string): never {
  throw new Refusal('invalid', `This ballot cannot be counted: ${message}.`, [
    { code: 'PO2', severity: 'error', path: 'choices', message },
  ])
}
