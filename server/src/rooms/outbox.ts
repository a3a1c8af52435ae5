/** What a room tells everybody, gathered: while edits stream, those of one turn of the loop go to each socket in one write. */
import type { Peer } from '../socket/peer.js'

interface Told {
  readonly frame: Buffer
  readonly except: Peer | undefined
}

export class Outbox {
  private told: Told[] = []
  private timer: NodeJS.Immediate | undefined
  private sentAt = -Infinity

  constructor(
    private readonly peers: ReadonlySet<Peer>,
    private readonly clock: () => number,
    /** The first frame after this long a silence goes at once; what comes sooner waits for the turn's end. */
    private readonly togetherMs: number,
    private readonly delivered: (frames: number) => void = () => undefined,
  ) {}

  /** Queues a wired frame for everybody but one. */
  tell(frame: Buffer, except?: Peer): void {
    this.told.push({ frame, except })
    if (this.timer) return
    const now = this.clock()
    if (now - this.sentAt >= this.togetherMs) this.send(now)
    else this.timer = setImmediate(() => this.send(this.clock()))
  }

  close(): void {
    clearImmediate(this.timer)
  }

  private send(now: number): void {
    const { told } = this
    this.told = []
    clearImmediate(this.timer)
    this.timer = undefined
    this.sentAt = now
    const [first] = told
    if (told.length === 1 && first) {
      for (const peer of this.peers) if (peer !== first.except) peer.send(first.frame, now)
      this.delivered(this.peers.size - Number(first.except !== undefined && this.peers.has(first.except)))
      return
    }
    const all = Buffer.concat(told.map(({ frame }) => frame))
    let frames = 0
    const makers = new Set(told.map(({ except }) => except))
    for (const peer of this.peers) {
      if (!makers.has(peer)) {
        peer.send(all, now)
        frames += told.length
        continue
      }
      const others = told.filter(({ except }) => except !== peer)
      frames += others.length
      if (others.length > 0) peer.send(Buffer.concat(others.map(({ frame }) => frame)), now)
    }
    this.delivered(frames)
  }
}
