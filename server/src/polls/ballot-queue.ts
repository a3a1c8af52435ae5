/** Ballots on their way to the store. Those that come while others are written go together in the next transaction: one wait for the disk for all of
 *  them, and none for a clock. */
import { LIMITS } from '../limits.js'
import type { GivenBallot, Store } from '../store/store.js'

interface Waiting extends GivenBallot {
  readonly resolve: (isTaken: boolean) => void
  readonly reject: (error: unknown) => void
}

export class BallotQueue {
  private waiting: Waiting[] = []
  private isWriting = false

  constructor(private readonly store: Pick<Store, 'putBallots'>) {}

  /** Resolves once it is on disk; false where the poll is closed. */
  put(given: GivenBallot): Promise<boolean> {
    return new Promise((resolve, reject) => {
      this.waiting.push({ ...given, resolve, reject })
      if (!this.isWriting) void this.write()
    })
  }

  private async write(): Promise<void> {
    this.isWriting = true
    while (this.waiting.length > 0) {
      const batch = this.waiting.splice(0, LIMITS.ballotsAtOnce)
      try {
        const taken = await this.store.putBallots(batch.map(({ pollId, ballot, at }) => ({ pollId, ballot, at })))
        for (const [index, { resolve }] of batch.entries()) resolve(taken[index] === true)
      } catch (error) {
        for (const { reject } of batch) reject(error)
      }
    }
    this.isWriting = false
  }
}
