/** Polls as the people of a board see them, and the ballots they give. */
import type { Arrangement } from '@chartloft/shared-theory'
import type { BallotChoices, PollSummary, PollTally } from '@chartloft/shared-theory/board'
import { Refusal } from '../errors.js'
import type { LiveSession, PollRecord, Store } from '../store/store.js'
import { countBallots, isOpenAt, mayseeTally, readChoices } from './tally.js'

export interface ShownOption {
  readonly id: string
  readonly title: string
  /** Why it works, in one sentence; absent for choices made up by hand. */
  readonly summary?: string
  readonly fromBar?: number
  readonly arrangement?: Arrangement
}
export interface ShownPoll extends PollSummary {
  readonly options: readonly ShownOption[]
  readonly mine?: BallotChoices
  readonly tally?: PollTally
}

export class Polls {
  constructor(
    private readonly store: Store,
    private readonly now: () => number,
  ) {}

  /** The polls a session may see, without their arrangements. */
  async list(session: LiveSession): Promise<readonly Omit<ShownPoll, 'options'>[]> {
    const polls = await this.store.polls(session.boardId)
    const shown = await Promise.all(
      polls.filter((poll) => maySee(poll, session)).map((poll) => this.show(poll, session)),
    )
    return shown.map(({ options: _options, ...rest }) => rest)
  }

  async find(pollId: string): Promise<PollRecord | undefined> {
    return this.store.poll(pollId)
  }

  /** Question, options with their excerpts, one's own ballot, and the tally where it may be seen. Refusal 'forbidden' where the poll is not for this session. */
  async show(poll: PollRecord, session: LiveSession): Promise<ShownPoll> {
    requireSight(poll, session)
    const isOpen = isOpenAt(poll, this.now())
    const mine = await this.store.ballot(poll.pollId, session.userId)
    const tally = mayseeTally(poll, isOpen, mine !== undefined) ? await this.tally(poll) : undefined
    return {
      pollId: poll.pollId,
      question: poll.question,
      method: poll.method,
      open: isOpen,
      ...(poll.closesAt === undefined ? {} : { closesAt: poll.closesAt }),
      options: optionsOf(poll),
      ...(mine ? { mine: JSON.parse(mine.choices) as BallotChoices } : {}),
      ...(tally ? { tally } : {}),
    }
  }

  /** Counts for one voter, whatever is retried or raced; Refusal 'closed' after the end. */
  async vote(poll: PollRecord, session: LiveSession, ballotId: string, given: unknown): Promise<void> {
    requireSight(poll, session)
    const now = this.now()
    if (!isOpenAt(poll, now)) throw new Refusal('closed', 'This poll is closed.')
    const choices = readChoices(
      poll,
      optionsOf(poll).map((option) => option.id),
      given,
    )
    const ballot = {
      ballotId,
      voter: session.userId,
      choices: JSON.stringify(choices),
      band: session.role !== 'listener',
      personal: session.personal,
    }
    if (!(await this.store.putBallot(poll.pollId, ballot, now))) throw new Refusal('closed', 'This poll is closed.')
  }

  async tally(poll: PollRecord): Promise<PollTally> {
    if (poll.broughtTally !== undefined) return JSON.parse(poll.broughtTally) as PollTally
    return countBallots(
      poll,
      optionsOf(poll).map((option) => option.id),
      await this.store.ballots(poll.pollId),
    )
  }
}

const optionsOf = (poll: PollRecord): readonly ShownOption[] => JSON.parse(poll.options) as readonly ShownOption[]

function maySee(poll: PollRecord, session: LiveSession): boolean {
  if (poll.boardId !== session.boardId) return false
  if (session.role !== 'listener') return true
  return poll.audience === 'everyone' || (poll.audience === 'invited' && session.personal)
}

function requireSight(poll: PollRecord, session: LiveSession): void {
  if (!maySee(poll, session)) throw new Refusal('forbidden', 'This poll is not open to you.')
}
