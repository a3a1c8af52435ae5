/** Tallies of polls under way. That of a small poll is read each time it is asked for. That of a large one, which everybody watches while hundreds
 *  vote, is good for a moment, so that looking costs the store no more the more people look. */
import type { PollTally } from '@chartloft/shared-theory/board'

/** Up to so many voters everybody sees each ballot at once. */
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

  /** The tally, read now or a moment ago. */
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
