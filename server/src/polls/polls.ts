/** Polls as the people of a board see them, and the ballots they give. */
import type { BallotChoices, PollSummary, PollTally } from '@chartloft/shared-theory/board'
import { Refusal } from '../errors.js'
import { KeptTally } from '../store/kept-tally.js'
import type { LiveSession, PollRecord, PollStanding, Store } from '../store/store.js'
import { BallotQueue } from './ballot-queue.js'
import { Counting } from './counting.js'
import { OptionsPage } from './options-page.js'
import { isOpenAt, mayseeTally, readChoices, shownTally } from './tally.js'

/** A poll as it was opened: all of it that never changes. */
export interface OpenedPoll extends Omit<PollRecord, 'open' | 'options'> {
  readonly page: OptionsPage
}
/** What a poll says to one session, but for its options. */
export interface ShownPoll extends PollSummary {
  /** Where the options are; the address changes with them. */
  readonly optionsPath: string
  readonly mine?: BallotChoices
  readonly tally?: PollTally
}

/** Polls kept as they were opened: with their excerpts they are large, and thousands ask for the same one. */
const MOST_HELD = 200
const GOOD_MS = 5000

export class Polls {
  private readonly counting: Counting
  private readonly ballots: BallotQueue
  private readonly opened = new Map<string, { readonly at: number; readonly poll: Promise<OpenedPoll | undefined> }>()

  constructor(
    private readonly store: Store,
    private readonly now: () => number,
  ) {
    this.counting = new Counting(now)
    this.ballots = new BallotQueue(store)
  }

  /** The polls a session may see, without their options. */
  async list(session: LiveSession): Promise<readonly ShownPoll[]> {
    const polls = await Promise.all((await this.store.pollIds(session.boardId)).map((pollId) => this.find(pollId)))
    const seen = polls.filter((poll) => poll !== undefined).filter((poll) => maySee(poll, session))
    const shown = await Promise.all(seen.map((poll) => this.show(poll, session)))
    return shown.filter((poll) => poll !== undefined)
  }

  /** The poll as opened, from memory for some seconds: after that it is read again, since another process may have deleted its board. */
  find(pollId: string): Promise<OpenedPoll | undefined> {
    const known = this.opened.get(pollId)
    if (known && this.now() - known.at < GOOD_MS) return known.poll
    const poll = this.read(pollId, known?.poll)
    this.opened.delete(pollId)
    this.opened.set(pollId, { at: this.now(), poll })
    const [oldest] = this.opened.keys()
    if (this.opened.size > MOST_HELD && oldest !== undefined) this.opened.delete(oldest)
    poll.then(
      (found) => found ?? this.opened.delete(pollId),
      () => this.opened.delete(pollId),
    )
    return poll
  }

  /** Nothing of a board that is no more is told from memory. */
  forget(): void {
    this.opened.clear()
  }

  private async read(pollId: string, before: Promise<OpenedPoll | undefined> | undefined) {
    const record = await this.store.poll(pollId)
    if (!record) return undefined
    const { open: _open, options, ...rest } = record
    const page = (await before)?.page
    return { ...rest, page: page?.options === options ? page : new OptionsPage(pollId, options) }
  }

  /** Question, one's own ballot, and the tally where it may be seen; undefined where the poll has gone. Refusal 'forbidden' where it is not for this
   *  session. */
  async show(poll: OpenedPoll, session: LiveSession): Promise<ShownPoll | undefined> {
    requireSight(poll, session)
    const standing = await this.store.pollStanding(poll.pollId, session.userId)
    if (!standing) return undefined
    const isOpen = isOpenAt({ ...poll, open: standing.open }, this.now())
    const { mine } = standing
    const tally = mayseeTally(poll, isOpen, mine !== undefined) ? await this.tally(poll, standing) : undefined
    return {
      pollId: poll.pollId,
      question: poll.question,
      method: poll.method,
      open: isOpen,
      ...(poll.closesAt === undefined ? {} : { closesAt: poll.closesAt }),
      optionsPath: `/api/polls/${poll.pollId}/options/${poll.page.hash}`,
      ...(mine ? { mine: JSON.parse(mine.choices) as BallotChoices } : {}),
      ...(tally ? { tally } : {}),
    }
  }

  /** Counts for one voter, whatever is retried or raced; Refusal 'closed' after the end. */
  async vote(poll: OpenedPoll, session: LiveSession, ballotId: string, given: unknown): Promise<void> {
    requireSight(poll, session)
    const at = this.now()
    const ballot = {
      ballotId,
      voter: session.userId,
      choices: JSON.stringify(readChoices(poll, poll.page.ids, given)),
      band: session.role !== 'listener',
      personal: session.personal,
    }
    if (!(await this.ballots.put({ pollId: poll.pollId, ballot, at })))
      throw new Refusal('closed', 'This poll is closed.')
  }

  async tally(poll: OpenedPoll, { open }: Pick<PollStanding, 'open'>): Promise<PollTally> {
    if (poll.broughtTally !== undefined) return JSON.parse(poll.broughtTally) as PollTally
    const read = async () => {
      const written = await this.store.tally(poll.pollId)
      return shownTally(poll, poll.page.ids, written === undefined ? new KeptTally() : KeptTally.read(written))
    }
    return this.counting.tally(poll.pollId, open, read)
  }
}

/** Whether a session may see the poll at all. */
function maySee(poll: OpenedPoll, session: LiveSession): boolean {
  if (poll.boardId !== session.boardId) return false
  if (session.role !== 'listener') return true
  return poll.audience === 'everyone' || (poll.audience === 'invited' && session.personal)
}

export function requireSight(poll: OpenedPoll, session: LiveSession): void {
  if (!maySee(poll, session)) throw new Refusal('forbidden', 'This poll is not open to you.')
}
