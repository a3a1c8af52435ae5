/** Tallies of polls under way. A small poll is counted anew each time it is asked for. Of a large one, which everybody watches while hundreds vote, a
 *  count is good for a moment, so that looking costs no more the more people look. What is told of a closed poll is always a full count. */
import type { PollTally } from '@chartloft/shared-theory/board'

/** Up to so many voters a count takes no time worth saving. */
const SMALL = 200
const GOOD_MS = 1000
const MOST_HELD = 1000

interface Count {
  readonly at: number
  readonly tally: Promise<PollTally>
}

export class Counting {
  private readonly held = new Map<string, Count>()

  constructor(private readonly now: () => number) {}

  /** The tally, counted now or a moment ago. */
  async tally(pollId: string, isOpen: boolean, count: () => Promise<PollTally>): Promise<PollTally> {
    const known = this.held.get(pollId)
    if (isOpen && known && this.now() - known.at < GOOD_MS) return known.tally
    const tally = count()
    this.hold(pollId, { at: this.now(), tally })
    try {
      const counted = await tally
      if (!isOpen || counted.voters <= SMALL) this.forget(pollId, tally)
      return counted
    } catch (error) {
      this.forget(pollId, tally)
      throw error
    }
  }

  private hold(pollId: string, count: Count): void {
    this.held.delete(pollId)
    this.held.set(pollId, count)
    const [oldest] = this.held.keys()
    if (this.held.size > MOST_HELD && oldest !== undefined) this.held.delete(oldest)
  }

  private forget(pollId: string, tally: Promise<PollTally>): void {
    if (this.held.get(pollId)?.tally === tally) this.held.delete(pollId)
  }
}
