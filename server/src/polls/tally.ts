/** Counting: ballots to a tally, and whether somebody may see it. */
import { BOARD_LIMITS, type BallotChoices, type PollTally } from '@chartloft/shared-theory/board'
import { Refusal } from '../errors.js'
import type { BallotRecord, PollRecord } from '../store/store.js'

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
export function countBallots(
  poll: Pick<PollRecord, 'method' | 'byRole'>,
  optionIds: readonly string[],
  ballots: readonly BallotRecord[],
): PollTally {
  const counts = countOf(optionIds, ballots)
  const isCountable = ballots.every((ballot) => ballot.personal)
  return {
    voters: ballots.length,
    counts,
    counted: isCountable ? 'people' : 'browsers, not people',
    ...(poll.byRole
      ? {
          byRole: {
            band: countOf(
              optionIds,
              ballots.filter((ballot) => ballot.band),
            ),
            listeners: countOf(
              optionIds,
              ballots.filter((ballot) => !ballot.band),
            ),
          },
        }
      : {}),
  }
}

function countOf(
  optionIds: readonly string[],
  ballots: readonly BallotRecord[],
): { readonly [optionId: string]: number } {
  const counts = new Map(optionIds.map((id) => [id, 0]))
  for (const ballot of ballots) {
    const choices = JSON.parse(ballot.choices) as BallotChoices
    const marks: readonly (readonly [string, number])[] = Array.isArray(choices)
      ? choices.map((id: string) => [id, 1] as const)
      : Object.entries(choices)
    for (const [id, mark] of marks) counts.set(id, (counts.get(id) ?? 0) + mark)
  }
  return Object.fromEntries(counts)
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
