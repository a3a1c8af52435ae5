/** Clients that hold pieces of other people's edits without what those build on: broadcast before a crash, their maker's device gone with the
 *  rest. Such a piece is in nobody's draft, its holder's neither; nothing of it is kept here. Should the ground come after all, its holder is
 *  asked for the piece again. */
import type { Peer } from '../socket/peer.js'

/** What an update would need to go in: for some ids the clock that must have been passed. */
export type Ground = ReadonlyMap<number, number>

export class Loose {
  private readonly waiting = new Map<Peer, Ground>()

  wait(peer: Peer, ground: Ground): void {
    this.waiting.set(peer, ground)
  }

  leave(peer: Peer): void {
    this.waiting.delete(peer)
  }

  /** Those for whom some of the ground has come; they wait no longer. */
  takeReady(clockOf: (clientId: number) => number): readonly Peer[] {
    if (this.waiting.size === 0) return []
    const ready = [...this.waiting]
      .filter(([, ground]) => [...ground].some(([clientId, clock]) => clockOf(clientId) > clock))
      .map(([peer]) => peer)
    for (const peer of ready) this.waiting.delete(peer)
    return ready
  }
}
