/** Step 2 messages with somebody else's unsaved edits in them, while that somebody is just syncing here or connected elsewhere: whoever made an edit
 *  speaks for it first. */
import { BadFrame } from '../socket/frames.js'
import type { Peer } from '../socket/peer.js'

const MOST_HELD = 8

/** An owner who is connected to another process: what it made is on its way here, or its process has died and will be found dead. */
export const ABROAD = Symbol('abroad')

/** Who speaks before. */
export type Earlier = Peer | typeof ABROAD

export class HeldBack {
  private readonly updates = new Map<Peer, Uint8Array[]>()

  get isEmpty(): boolean {
    return this.updates.size === 0
  }

  has(peer: Peer): boolean {
    return this.updates.has(peer)
  }

  hold(peer: Peer, update: Uint8Array): void {
    const held = this.updates.get(peer) ?? []
    held.push(update)
    if (held.length > MOST_HELD) throw new BadFrame('too many updates with other people’s edits')
    this.updates.set(peer, held)
  }

  take(peer: Peer): readonly Uint8Array[] {
    const held = this.updates.get(peer) ?? []
    this.updates.delete(peer)
    return held
  }

  /** Those whose turn it is: one nobody has to speak before, or several that wait for each other and for nobody else. */
  next(waitsFor: (peer: Peer, update: Uint8Array) => readonly Earlier[]): readonly Peer[] {
    const waits = new Map(
      [...this.updates].map(([peer, held]) => [peer, held.flatMap((update) => waitsFor(peer, update))] as const),
    )
    for (const [peer, before] of waits) if (before.length === 0) return [peer]
    let circle: readonly Peer[] = [...waits.keys()]
    for (;;) {
      const inside = new Set<Earlier>(circle)
      const closed = circle.filter((peer) => waits.get(peer)?.every((other) => inside.has(other)))
      if (closed.length === circle.length) return closed
      circle = closed
    }
  }
}
