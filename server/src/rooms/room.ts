/** A room: one board's draft, presence and shared playback, and the sockets that are in it. Takes decoded frames, tells everybody, queues for disk. */
import { CLOSE, type TransportFrom } from '@chartloft/shared-theory/board'
import { LIMITS } from '../limits.js'
import type { Line } from '../relay/relay.js'
import {
  BadFrame,
  PING,
  awarenessFrame,
  decodeFrame,
  jsonFrame,
  syncFrame,
  wired,
  type Frame,
  wiredUpdate,
} from '../socket/frames.js'
import type { Peer } from '../socket/peer.js'
import type { Store } from '../store/store.js'
import { Authors } from './authors.js'
import { Draft } from './draft.js'
import { Elsewhere, type ElsewhereRoom } from './elsewhere.js'
import { isHeavy, weigh } from './heavy.js'
import { Intake } from './intake.js'
import { Outbox } from './outbox.js'
import { Presence, decodeAwareness, encodeAwareness } from './presence.js'
import type { RoomServices } from './room-services.js'
import { boundTransport } from './transport.js'
import { ownTurn } from './turns.js'

export type { RoomServices }

/** Where a change comes from that is in the store already, or that another process looks after. */
const STORED = Symbol('stored')
const ELSEWHERE = Symbol('elsewhere')

export class Room {
  readonly peers = new Set<Peer>()
  private readonly draft: Draft
  private readonly presence = new Presence()
  private readonly authors: Authors
  private readonly intake: Intake
  private readonly outbox: Outbox
  private transport: TransportFrom | undefined
  private presenceTimer: NodeJS.Timeout | undefined
  private presenceToldAt = -Infinity
  private lastSavedId: number
  /** Up to which id everything stored is in the draft, whichever process wrote it. */
  private seenId: number
  /** Rows beyond it that are in the draft too. */
  private readonly seenAhead = new Set<number>()
  private readonly elsewhere: Elsewhere | undefined
  private tail: { updates: number; bytes: number }
  /** Set while the draft is being read anew: frames wait. */
  private recovery: Promise<void> | undefined
  emptySince: number

  constructor(
    readonly boardId: string,
    stored: Awaited<ReturnType<Store['loadDraft']>>,
    private readonly services: RoomServices,
    line?: Line,
  ) {
    this.outbox = new Outbox(this.peers, services.clock, LIMITS.togetherMs, services.delivered)
    this.draft = new Draft(stored, (update, origin) => this.changed(update, origin))
    this.lastSavedId = stored.throughId
    this.seenId = stored.throughId
    this.tail = {
      updates: stored.updates.length,
      bytes: stored.updates.reduce((sum, update) => sum + update.length, 0),
    }
    this.authors = new Authors(
      boardId,
      stored.authors,
      (userId, clientId) => this.elsewhere?.isLive(userId, clientId) ?? false,
    )
    this.elsewhere = line && services.relay && new Elsewhere(this.forElsewhere(), line, services.relay, services.clock)
    this.intake = new Intake({
      draft: this.draft,
      authors: this.authors,
      peers: this.peers,
      saver: services.saver,
      tell: (frame) => this.tell(frame),
      ...(this.elsewhere ? { bound: (clientId) => this.bound(clientId), cover: () => this.elsewhere?.cover() } : {}),
      blame: (peer, error) => this.blame(peer, error),
    })
    this.emptySince = services.clock()
  }

  /** The draft whole, as one update. */
  exportDraft(): Uint8Array {
    return this.draft.since()
  }

  /** Hears the same room in other processes; resolves once they have told what they have. */
  async join(): Promise<void> {
    await this.elsewhere?.join()
  }

  enter(peer: Peer, snapshot: Uint8Array): void {
    this.peers.add(peer)
    this.elsewhere?.tellLive()
    peer.sendAlways(syncFrame('step1', this.draft.stateVector()))
    peer.sendAlways(awarenessFrame(this.presence.all()))
    peer.sendAlways(snapshot)
    // Even where there is none: what a client was told before a crash may hold no longer.
    peer.sendAlways(jsonFrame('authors', { clients: this.authors.names() }))
    if (this.transport) peer.sendAlways(jsonFrame('transport', this.transport))
  }

  leave(peer: Peer): void {
    this.peers.delete(peer)
    this.intake.leave(peer)
    this.elsewhere?.tellLive()
    if (this.presence.leave(peer)) this.tellPresenceSoon()
    if (this.peers.size === 0) this.emptySince = this.services.clock()
  }

  /** One frame from a socket. Whatever is wrong with it closes that socket and touches nobody else. */
  receive(peer: Peer, bytes: Uint8Array, receivedAt: number): void {
    try {
      const frame = decodeFrame(bytes)
      if (frame.type === 'clock') this.answerClock(peer, frame.json, receivedAt)
      else if (this.recovery || peer.weighing || isHeavy(frame, this.draft.size)) void this.takeInTime(peer, frame)
      else this.take(peer, frame)
    } catch (error) {
      this.blame(peer, error)
    }
  }

  private async takeInTime(peer: Peer, frame: Frame): Promise<void> {
    try {
      while (this.recovery ?? peer.weighing) await (this.recovery ?? peer.weighing)
      if (isHeavy(frame, this.draft.size)) await this.takeHeavy(peer, frame)
      else if (peer.isOpen) this.take(peer, frame)
    } catch (error) {
      this.blame(peer, error)
    }
  }

  /** What comes after it from the same socket waits until it is taken, or it would build on what is not there yet. */
  private async takeHeavy(peer: Peer, frame: Frame): Promise<void> {
    let done = (): void => undefined
    peer.weighing = new Promise((resolve) => {
      done = resolve
    })
    try {
      await weigh(peer, frame, this.services.countPieces)
      await ownTurn()
      while (this.recovery) await this.recovery
      if (peer.isOpen) this.take(peer, frame)
    } finally {
      peer.weighing = undefined
      done()
    }
  }

  /** Sends a frame to everybody here; a reader that is behind gets the state later instead. */
  tell(frame: Uint8Array, except?: Peer): void {
    this.outbox.tell(wired(frame), except)
  }

  /** A reader has caught up: it hears now what it has missed. */
  async refresh(peer: Peer): Promise<void> {
    peer.sendAlways(syncFrame('update', this.draft.since()))
    peer.sendAlways(awarenessFrame(this.presence.all()))
    peer.sendAlways(await this.services.snapshot(this.boardId))
    if (this.transport) peer.sendAlways(jsonFrame('transport', this.transport))
  }

  /** The store has what was queued: rows up to `lastId` are on disk. */
  stored(lastId: number): void {
    this.lastSavedId = lastId
    if (this.services.isShared) this.noteSeen(lastId)
  }

  /** Up to which id everything stored is here. */
  get throughId(): number {
    return this.seenId
  }

  /** All of a row is in the draft. In a shared store a board's ids are counted one by one, so that a gap shows. */
  private noteSeen(id: number): void {
    if (id <= this.seenId) return
    this.seenAhead.add(id)
    while (this.seenAhead.delete(this.seenId + 1)) this.seenId += 1
  }

  /** What waited long enough for another process to save it is saved here. */
  sweep(): void {
    this.elsewhere?.sweep()
  }

  get hasLongTail(): boolean {
    return this.tail.updates > LIMITS.compactAfterUpdates || this.tail.bytes > LIMITS.compactAfterBytes
  }

  /** Replaces a long tail of updates by one snapshot; `isIdle` does it for a short one too. */
  async compact(isIdle: boolean): Promise<void> {
    if (!this.hasLongTail && !(isIdle && this.tail.updates > 20)) return
    await this.services.saver.flush()
    if (this.services.saver.isFailing) return
    this.tail = { updates: 0, bytes: 0 }
    const throughId = this.services.isShared ? await this.catchUp() : this.lastSavedId
    await this.services.store.compactDraft(this.boardId, this.draft.since(), throughId)
  }

  /** Takes in what other processes have saved since; the id up to which everything stored is here. */
  async catchUp(): Promise<number> {
    const stored = await this.services.store.loadDraft(this.boardId, this.seenId)
    this.draft.takeStored(stored, STORED)
    if (this.authors.hear(stored.authors).length > 0) this.tell(jsonFrame('authors', { clients: this.authors.names() }))
    this.seenId = Math.max(this.seenId, stored.throughId)
    for (const id of this.seenAhead) if (id <= this.seenId) this.seenAhead.delete(id)
    this.noteSeen(this.seenId)
    this.intake.releaseHeld()
    return this.seenId
  }

  close(): void {
    clearTimeout(this.presenceTimer)
    this.elsewhere?.close()
    this.outbox.close()
    this.draft.destroy()
  }

  private take(peer: Peer, frame: Frame): void {
    switch (frame.type) {
      case 'step1':
        if (!peer.mayAsk(this.services.clock())) {
          peer.close(CLOSE.tooFast, 'too_fast', 'The whole draft was asked for too often.')
          return
        }
        peer.sendAlways(syncFrame('step2', this.draft.since(frame.stateVector)))
        break
      case 'step2':
      case 'update':
        peer.received += 1
        this.intake.take(peer, frame.update.slice(), frame.type === 'step2')
        break
      case 'awareness':
        this.takeAwareness(peer, frame.update)
        break
      case 'queryAwareness':
        peer.sendAlways(awarenessFrame(this.presence.all()))
        break
      case 'transport':
        this.takeTransport(peer, frame.json)
        break
      case 'clock':
        break
    }
  }

  private changed(update: Uint8Array, origin: unknown): void {
    this.tail.updates += 1
    this.tail.bytes += update.length
    const isOurs = origin !== STORED && origin !== ELSEWHERE
    if (isOurs) {
      this.services.saver.add({ boardId: this.boardId, bytes: update })
      this.elsewhere?.tellUpdate(update)
    }
    this.outbox.tell(wiredUpdate(update), isOurs ? (origin as Peer | undefined) : undefined)
  }

  private bound(clientId: number): void {
    const record = this.authors.recordOf(clientId)
    if (record) this.elsewhere?.tellAuthors([record])
    this.elsewhere?.tellLive()
  }

  private takeAwareness(peer: Peer, bytes: Uint8Array): void {
    const entries = decodeAwareness(bytes)
    let introduced = 0
    const mayIntroduce = (clientId: number): boolean => {
      if (this.authors.isAnothers(clientId, peer.session.userId)) return false
      introduced += 1
      if (peer.introduced + introduced > LIMITS.awarenessIdsPerSocket)
        throw new BadFrame('one connection speaks for too many people')
      this.intake.bind(peer, clientId, false)
      return true
    }
    if (this.presence.receive(peer, entries, mayIntroduce)) this.tellPresenceSoon()
    peer.introduced += introduced
  }

  /** At once where nothing was told lately, else with everything of the same tenth of a second. The sender hears it too: that keeps stock clients' watchdogs quiet. */
  private tellPresenceSoon(): void {
    if (this.presenceTimer) return
    const wait = Math.max(0, this.presenceToldAt + LIMITS.presenceEveryMs - this.services.clock())
    this.presenceTimer = setTimeout(() => {
      this.presenceTimer = undefined
      this.presenceToldAt = this.services.clock()
      const changes = this.presence.takeChanges()
      if (!changes) return
      this.tell(awarenessFrame(changes.update))
      this.elsewhere?.tellPresence(changes.here)
    }, wait)
  }

  private answerClock(peer: Peer, json: unknown, receivedAt: number): void {
    const t0 = (json as { t0?: unknown } | null)?.t0
    if (typeof t0 !== 'number' || !Number.isFinite(t0)) throw new BadFrame('a clock message has no time')
    peer.sendAlways(jsonFrame('clock', { t0, t1: receivedAt, t2: this.services.clock() }))
  }

  private takeTransport(peer: Peer, json: unknown): void {
    const { userId, name } = peer.session
    this.transport = { ...boundTransport(json, this.services.clock()), by: { userId, name } }
    this.tell(jsonFrame('transport', this.transport))
    this.elsewhere?.tellTransport(this.transport)
  }

  private forElsewhere(): ElsewhereRoom {
    return {
      boardId: this.boardId,
      saver: this.services.saver,
      takeUpdate: (bytes) => this.takeFromElsewhere(bytes),
      takeAuthors: (authors) => {
        const news = this.authors.hear(authors)
        if (news.length > 0) this.tell(jsonFrame('authors', { clients: this.authors.names(news) }))
      },
      takePresence: (from, entries) => {
        if (this.presence.hear(from, entries)) this.tellPresenceSoon()
      },
      losePresence: (from) => {
        if (this.presence.lose(from)) this.tellPresenceSoon()
      },
      livesMoved: () => this.intake.releaseHeld(),
      takeTransport: (transport) => {
        if (JSON.stringify(transport) === JSON.stringify(this.transport)) return
        this.transport = transport
        this.tell(jsonFrame('transport', transport))
      },
      catchUp: () => this.catchUp(),
      noteSeen: (id) => this.noteSeen(id),
      lastSavedId: () => this.lastSavedId,
      ledgerMoved: (seq) => this.services.ledgerMoved?.(this.boardId, seq),
      ended: () => this.services.ended?.(this.boardId),
      fault: this.services.fault,
      live: () => this.live(),
      authors: () => this.authors.all(),
      presence: () => this.presence.ofHere(),
      transport: () => this.transport,
    }
  }

  /** Who is here through this process, and the ids they brought in. */
  private live(): { readonly [userId: string]: readonly number[] } {
    const live = new Map<string, number[]>()
    for (const { session, ids } of this.peers) live.set(session.userId, [...(live.get(session.userId) ?? []), ...ids])
    return Object.fromEntries(live)
  }

  private takeFromElsewhere(bytes: Uint8Array): boolean {
    try {
      const isWhole = this.draft.apply(bytes, ELSEWHERE) === 'applied'
      this.intake.releaseHeld()
      return isWhole
    } catch (error) {
      this.services.fault(error)
      return false
    }
  }

  /** A frame that is wrong ends its sender. Where Yjs failed in the middle of an update, the draft is also read anew from disk, where only whole changes are. */
  private blame(peer: Peer, error: unknown): void {
    const isBadFrame = error instanceof BadFrame
    const why = isBadFrame ? error.message : 'an update breaks the document'
    peer.close(CLOSE.badMessage, 'bad_message', `A message could not be taken: ${why}.`)
    if (isBadFrame) return
    this.services.fault(error)
    this.recovery ??= this.recover().finally(() => {
      this.recovery = undefined
    })
  }

  private async recover(): Promise<void> {
    try {
      await this.services.saver.flush()
      this.draft.reload(await this.services.store.loadDraft(this.boardId))
    } catch (error) {
      this.services.fault(error)
      for (const peer of this.peers)
        peer.close(CLOSE.tryLater, 'disk', 'This board cannot be read at the moment; try again later.')
    }
  }

  /** A ping, and an empty presence update: that one says nothing, and tells clients that watch for silence that we are here. */
  static readonly KEEP_ALIVE = Buffer.concat([PING, wired(awarenessFrame(encodeAwareness([])))])
}
