/** One open socket of a board: what it may still send, what it still has to hear, and how it is told to go. */
import { CLOSE, type CloseCode, type NoticeCode } from '@chartloft/shared-theory/board'
import type { Duplex } from 'node:stream'
import type { WebSocket } from 'ws'
import { Bucket } from '../access/rate.js'
import { LIMITS } from '../limits.js'
import type { Waiting } from '../rooms/saver.js'
import type { LiveSession } from '../store/store.js'
import { PING, jsonFrame, wired, wiredSaved } from './frames.js'

/** What a client sees of a connection cut without a word (RFC 6455 7.4.1). */
const CUT = 1006

export interface PeerHooks {
  /** A reader that fell behind has caught up: it needs the whole state. */
  readonly caughtUp: (peer: Peer) => void
  readonly refused: (reason: string) => void
  /** Its edits are on disk, after so long. */
  readonly acknowledged?: (ms: number) => void
  /** It was ended by this server. */
  readonly closed: (code: number) => void
}

export class Peer {
  /** Yjs client ids this socket brought in itself. */
  readonly ids = new Set<number>()
  /** Step-2 and update messages received, and how many of them are wholly in the draft. */
  received = 0
  processed = 0
  /** Presence ids it brought in that nobody had before. */
  introduced = 0
  /** Whether its first step 2 has come: from then on it has nothing of its own left to tell. */
  hasSynced = false
  /** Set while a large update of it is weighed: what comes after waits. */
  weighing: Promise<void> | undefined
  /** Updates whose dependencies are missing, waiting for the client's step 2. */
  readonly parked: Uint8Array[] = []
  private readonly messages: Bucket
  private readonly bytes: Bucket
  private readonly asks: Bucket
  private readonly waiting: Waiting = { mark: () => this.mark() }
  private stateVector: () => Buffer = () => Buffer.of(0)
  private savedNext: { readonly sv: Buffer; readonly n: number } | undefined
  private savedToldAt = -Infinity
  /** When the oldest edit came that no commit has taken yet. */
  private unsavedSince: number | undefined
  private isClosing = false
  private behindSince: number | undefined
  private isAlive = true

  constructor(
    readonly session: LiveSession,
    private readonly socket: WebSocket,
    /** What the WebSocket runs over: nothing is compressed or masked here, so a whole frame may be written to it as it is. */
    private readonly wire: Pick<Duplex, 'write' | 'writableLength'>,
    private readonly hooks: PeerHooks,
    messagesPerSecond: number,
    now: number,
  ) {
    this.messages = new Bucket(messagesPerSecond, messagesPerSecond * LIMITS.burst, now)
    this.bytes = new Bucket(LIMITS.socketBytesPerSecond, LIMITS.socketBytesBurst, now)
    this.asks = new Bucket(LIMITS.asksPerSecond, LIMITS.asksBurst, now)
    socket.on('pong', () => {
      this.isAlive = true
    })
  }

  get isOpen(): boolean {
    return !this.isClosing && this.socket.readyState === this.socket.OPEN
  }

  get isBehind(): boolean {
    return this.behindSince !== undefined
  }

  /** Whether it may ask for the draft now: a client does so once when it comes, and seldom after. */
  mayAsk(now: number): boolean {
    return this.asks.take(now)
  }

  /** Whether a message of this size may come now. */
  mayReceive(size: number, now: number): boolean {
    return this.messages.take(now) && this.bytes.take(now, size)
  }

  /** Sends a wired frame the reader can do without while it is behind: it will get the whole state instead. */
  send(frame: Buffer, now: number): void {
    if (!this.isOpen || this.isBehind) return
    if (this.wire.writableLength > LIMITS.softBufferBytes) {
      this.behindSince = now
      return
    }
    this.wire.write(frame)
  }

  /** Sends a frame that must arrive in its place; a reader that cannot take it is closed. */
  sendAlways(frame: Uint8Array): void {
    if (this.mayWrite()) this.wire.write(wired(frame))
  }

  private mayWrite(): boolean {
    if (!this.isOpen) return false
    if (this.wire.writableLength <= LIMITS.hardBufferBytes) return true
    this.close(CLOSE.tooSlow, 'too_slow', 'This connection is too slow to follow the board.')
    return false
  }

  /** Looks after a reader that is behind: caught up, still too slow, or to be waited for. */
  tend(now: number): void {
    if (this.behindSince === undefined || !this.isOpen) return
    if (this.wire.writableLength < LIMITS.softBufferBytes / 16) {
      this.behindSince = undefined
      this.hooks.caughtUp(this)
    } else if (now - this.behindSince > LIMITS.behindMs) {
      this.close(CLOSE.tooSlow, 'too_slow', 'This connection is too slow to follow the board.')
    }
  }

  /** Ends a connection whose other end no longer answers; asks the others. */
  keepAlive(pingAndFrame: Buffer): void {
    if (!this.isAlive) {
      this.hooks.refused('half_open')
      this.hooks.closed(CUT)
      this.socket.terminate()
      return
    }
    this.isAlive = false
    if (this.socket.readyState !== this.socket.OPEN) return
    this.wire.write(this.isOpen && this.wire.writableLength === 0 ? pingAndFrame : PING)
  }

  /** For the saver: what this peer may be told once everything up to now is on disk. It waits once, with the last that was given. */
  acknowledging(stateVector: () => Buffer): Waiting {
    this.unsavedSince ??= performance.now()
    this.stateVector = stateVector
    return this.waiting
  }

  private mark(): () => void {
    const n = this.processed
    const sv = this.stateVector()
    const since = this.unsavedSince ?? performance.now()
    this.unsavedSince = undefined
    return () => {
      const now = performance.now()
      this.hooks.acknowledged?.(now - since)
      this.tellSaved(sv, n, now)
    }
  }

  /** At most once in a few milliseconds, the latest only. */
  private tellSaved(sv: Buffer, n: number, now: number): void {
    const isTimed = this.savedNext !== undefined
    const wait = this.savedToldAt + LIMITS.savedEveryMs - now
    if (!isTimed && wait <= 0) return this.saySaved(sv, n, now)
    this.savedNext = { sv, n }
    if (isTimed) return
    setTimeout(() => {
      const next = this.savedNext
      this.savedNext = undefined
      if (next) this.saySaved(next.sv, next.n, performance.now())
    }, wait)
  }

  private saySaved(sv: Buffer, n: number, now: number): void {
    this.savedToldAt = now
    if (this.mayWrite()) this.wire.write(wiredSaved(sv, n))
  }

  notice(code: NoticeCode, message: string): void {
    if (this.isOpen) this.socket.send(jsonFrame('notice', { code, message }))
  }

  /** Says why, closes, and makes sure it ends. A 44xx code tells clients not to come back on their own. */
  close(code: CloseCode, notice: NoticeCode, message: string): void {
    if (this.isClosing) return
    this.notice(notice, message)
    this.isClosing = true
    this.hooks.refused(notice)
    this.hooks.closed(code)
    this.socket.close(code, notice)
    setTimeout(() => this.socket.terminate(), LIMITS.closeGraceMs).unref()
  }
}
