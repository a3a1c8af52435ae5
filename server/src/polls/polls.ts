/** Polls as the people of a board see them, and the ballots they give. */
import type { Arrangement } from '@chartloft/shared-theory'
import type { BallotChoices, PollSummary, PollTally } from '@chartloft/shared-theory/board'
import { Refusal } from '../errors.js'
import type { LiveSession, PollRecord, Store } from '../store/store.js'
import { Counting } from './counting.js'
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

/** Polls whose options are kept read: they never change, and with their excerpts they are large. */
const MOST_READ = 100

export class Polls {
  private readonly counting: Counting
  private readonly read = new Map<string, readonly ShownOption[]>()

  constructor(
    private readonly store: Store,
    private readonly now: () => number,
  ) {
    this.counting = new Counting(now)
  }

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
      options: this.optionsOf(poll),
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
      this.optionsOf(poll).map((option) => option.id),
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
    const ids = this.optionsOf(poll).map((option) => option.id)
    const count = async () => countBallots(poll, ids, await this.store.ballots(poll.pollId))
    return this.counting.tally(poll.pollId, isOpenAt(poll, this.now()), count)
  }

  private optionsOf(poll: PollRecord): readonly ShownOption[] {
    const known = this.read.get(poll.pollId)
    if (known) return known
    const options = JSON.parse(poll.options) as readonly ShownOption[]
    this.read.set(poll.pollId, options)
    const [oldest] = this.read.keys()
    if (this.read.size > MOST_READ && oldest !== undefined) this.read.delete(oldest)
    return options
  }
}

function maySee(poll: PollRecord, session: LiveSession): boolean {
  if (poll.boardId !== session.boardId) return false
  if (session.role !== 'listener') return true
  return poll.audience === 'everyone' || (poll.audience === 'invited' && session.personal)
}

function requireSight(poll: PollRecord, session: LiveSession): void {
  if (!maySee(poll, session)) throw new Refusal('forbidden', 'This poll is not open to you.')
}
