/** A room: one board's draft, presence and shared playback, and the sockets that are in it. Takes decoded frames, tells everybody, queues for disk. */
import { CLOSE, type TransportFrom } from '@chartloft/shared-theory/board'
import { mergeUpdates } from 'yjs'
import { LIMITS } from '../limits.js'
import { BadFrame, awarenessFrame, decodeFrame, jsonFrame, syncFrame, type Frame } from '../socket/frames.js'
import type { Peer } from '../socket/peer.js'
import type { Store } from '../store/store.js'
import { Authors } from './authors.js'
import { Draft } from './draft.js'
import { HeldBack } from './held-back.js'
import { Loose } from './loose.js'
import { Outbox } from './outbox.js'
import { Presence, decodeAwareness, encodeAwareness } from './presence.js'
import type { Saver } from './saver.js'
import { boundTransport } from './transport.js'
import { ownTurn } from './turns.js'

export interface RoomServices {
  readonly store: Store
  readonly saver: Saver
  /** Server monotonic clock, ms: the one clients' clocks are measured against. */
  readonly clock: () => number
  readonly refused: (reason: string) => void
  readonly fault: (error: unknown) => void
  /** How many pieces an update has, counted elsewhere; undefined where it does not decode. Rejects where nobody can count now. */
  readonly countPieces: (update: Uint8Array) => Promise<number | undefined>
  /** Frame of the ledger's state, for whoever comes in or has caught up. */
  readonly snapshot: (boardId: string) => Promise<Uint8Array>
}

const isLarge = (frame: Frame): frame is Frame & { readonly update: Uint8Array } =>
  (frame.type === 'update' || frame.type === 'step2') && frame.update.length > LIMITS.weighedFromBytes

export class Room {
  readonly peers = new Set<Peer>()
  private readonly draft: Draft
  private readonly presence = new Presence()
  private readonly authors: Authors
  private readonly heldBack = new HeldBack()
  private readonly loose = new Loose()
  private readonly outbox: Outbox
  private transport: TransportFrom | undefined
  private presenceTimer: NodeJS.Timeout | undefined
  private presenceToldAt = -Infinity
  private lastSavedId: number
  private tail: { updates: number; bytes: number }
  /** Set while the draft is being read anew: frames wait. */
  private recovery: Promise<void> | undefined
  private isNearLimit = false
  emptySince: number

  constructor(
    readonly boardId: string,
    stored: Awaited<ReturnType<Store['loadDraft']>>,
    private readonly services: RoomServices,
  ) {
    this.outbox = new Outbox(this.peers, services.clock, LIMITS.togetherMs)
    this.draft = new Draft(stored, (update, origin) => this.changed(update, origin))
    this.lastSavedId = stored.throughId
    this.tail = {
      updates: stored.updates.length,
      bytes: stored.updates.reduce((sum, update) => sum + update.length, 0),
    }
    this.authors = new Authors(boardId, stored.authors)
    this.emptySince = services.clock()
  }

  /** The draft whole, as one update. */
  exportDraft(): Uint8Array {
    return this.draft.since()
  }

  enter(peer: Peer, snapshot: Uint8Array): void {
    this.peers.add(peer)
    peer.sendAlways(syncFrame('step1', this.draft.stateVector()))
    peer.sendAlways(awarenessFrame(this.presence.all()))
    peer.sendAlways(snapshot)
    // Even where there is none: what a client was told before a crash may hold no longer.
    peer.sendAlways(jsonFrame('authors', { clients: this.authors.names() }))
    if (this.transport) peer.sendAlways(jsonFrame('transport', this.transport))
  }

  leave(peer: Peer): void {
    this.peers.delete(peer)
    this.heldBack.take(peer)
    this.loose.leave(peer)
    this.releaseHeld()
    if (this.presence.leave(peer)) this.tellPresenceSoon()
    if (this.peers.size === 0) this.emptySince = this.services.clock()
  }

  /** One frame from a socket. Whatever is wrong with it closes that socket and touches nobody else. */
  receive(peer: Peer, bytes: Uint8Array, receivedAt: number): void {
    try {
      const frame = decodeFrame(bytes)
      if (frame.type === 'clock') this.answerClock(peer, frame.json, receivedAt)
      else if (this.recovery || peer.weighing || this.isHeavy(frame)) void this.takeInTime(peer, frame)
      else this.take(peer, frame)
    } catch (error) {
      this.blame(peer, error)
    }
  }

  private async takeInTime(peer: Peer, frame: Frame): Promise<void> {
    try {
      while (this.recovery ?? peer.weighing) await (this.recovery ?? peer.weighing)
      if (this.isHeavy(frame)) await this.takeHeavy(peer, frame)
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
      if (isLarge(frame)) await this.weigh(peer, frame.update)
      await ownTurn()
      while (this.recovery) await this.recovery
      if (peer.isOpen) this.take(peer, frame)
    } finally {
      peer.weighing = undefined
      done()
    }
  }

  private isHeavy(frame: Frame): boolean {
    return isLarge(frame) || (frame.type === 'step1' && this.draft.size > LIMITS.easyDraftBytes)
  }

  /** An update of very many pieces would keep every room waiting while it is applied: it is counted elsewhere, and refused. */
  private async weigh(peer: Peer, update: Uint8Array): Promise<void> {
    try {
      const pieces = await this.services.countPieces(update)
      if (pieces === undefined) throw new BadFrame('an update does not decode')
      if (pieces > LIMITS.piecesAtOnce)
        peer.close(CLOSE.tooLarge, 'too_large', 'That was more in one message than the board takes at once.')
    } catch (error) {
      if (error instanceof BadFrame) throw error
      peer.close(CLOSE.tryLater, 'draining', 'The server is busy; you will be reconnected.')
    }
  }

  /** Sends a frame to everybody here; a reader that is behind gets the state later instead. */
  tell(frame: Uint8Array, except?: Peer): void {
    this.outbox.tell(frame, except)
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
    await this.services.store.compactDraft(this.boardId, this.draft.since(), this.lastSavedId)
  }

  close(): void {
    clearTimeout(this.presenceTimer)
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
        this.takeUpdate(peer, frame.update.slice(), frame.type === 'step2')
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

  private takeUpdate(peer: Peer, update: Uint8Array, isStep2: boolean, mayWait = true): void {
    const advanced = this.draft.advancedBy(update)
    if (isStep2 && mayWait && this.authors.waitsFor(peer, advanced, this.peers).length > 0) {
      this.holdBack(peer, update)
      return
    }
    const own = this.authors.ownIds(peer, advanced, isStep2, this.peers)
    if (advanced.length > 0 || update.length > 2) {
      if (this.services.saver.isFailing && advanced.length > 0) {
        peer.close(
          CLOSE.tryLater,
          'disk',
          'The server cannot save at the moment; your edits stay on this device and are sent again.',
        )
        return
      }
      if (!this.draft.fits(update.length, LIMITS.documentBytes)) {
        peer.close(CLOSE.tooLarge, 'too_large', 'This board’s draft is full (8 MiB). Start a new board from an export.')
        return
      }
      this.warnNearLimit(update.length)
    }
    for (const clientId of own) this.bind(peer, clientId, true)
    if (this.apply(peer, update, advanced, own) === 'missing' && !(isStep2 && this.isOnlyOthers(peer)))
      this.park(peer, update, isStep2)
    else if (isStep2) this.retryParked(peer)
    if (isStep2) peer.hasSynced = true
    this.settle(peer)
    if (isStep2 && mayWait) this.releaseHeld()
  }

  /** Takes an update in; what it brings of other people's stays marked as brought by this one, who answers for it. */
  private apply(
    peer: Peer,
    update: Uint8Array,
    advanced: readonly number[],
    own: readonly number[],
  ): 'applied' | 'missing' {
    if (own.length === advanced.length) return this.draft.apply(update, peer)
    const others = advanced.filter((clientId) => !own.includes(clientId))
    const before = others.map((clientId) => [clientId, this.draft.clockOf(clientId)] as const)
    const done = this.draft.apply(update, peer)
    for (const [clientId, from] of before) {
      const to = this.draft.clockOf(clientId)
      const carried = to > from ? this.authors.carry(peer.session, clientId, from, to) : undefined
      if (!carried) continue
      this.tell(jsonFrame('authors', { clients: this.authors.names([clientId]) }))
      this.services.saver.addAuthor(carried)
    }
    return done
  }

  /** Whether what stayed outside of a step 2 is other people's alone: its sender could not take it in either, and is not to blame. */
  private isOnlyOthers(peer: Peer): boolean {
    const { ids, ground } = this.draft.lacking()
    if (ids.some((clientId) => peer.ids.has(clientId))) return false
    this.loose.wait(peer, ground)
    return true
  }

  private holdBack(peer: Peer, update: Uint8Array): void {
    this.heldBack.hold(peer, update)
    this.later(peer, LIMITS.ownersFirstMs, () => {
      if (this.heldBack.has(peer))
        peer.close(
          CLOSE.tryLater,
          'draining',
          'Somebody whose edits you carry is still connecting; you will be reconnected.',
        )
    })
    this.releaseHeld()
  }

  /** Takes what was held back for as long as somebody's turn has come. Where owners wait for each other, what each made goes in first and
   *  together; what they carry of one another then says nothing new, or it was not theirs. */
  private releaseHeld(): void {
    for (;;) {
      const ready = this.heldBack.next((peer, update) =>
        this.authors.waitsFor(peer, this.draft.advancedBy(update), this.peers),
      )
      if (ready.length === 0) return
      const taken = ready.map((peer) => ({ peer, updates: this.heldBack.take(peer) }))
      if (taken.length > 1) this.takeTogether(taken)
      for (const { peer, updates } of taken) {
        for (const update of updates) {
          try {
            if (peer.isOpen) this.takeUpdate(peer, update, true, false)
          } catch (error) {
            this.blame(peer, error)
          }
        }
      }
    }
  }

  private takeTogether(taken: readonly { readonly peer: Peer; readonly updates: readonly Uint8Array[] }[]): void {
    const parts: Uint8Array[] = []
    for (const { peer, updates } of taken) {
      const own = this.authors.idsOf(peer.session.userId)
      for (const update of updates) {
        const advanced = this.draft.advancedBy(update).filter((clientId) => own.includes(clientId))
        parts.push(this.draft.partOf(update, advanced))
        for (const clientId of advanced) this.bind(peer, clientId, true)
      }
    }
    this.draft.apply(mergeUpdates(parts), undefined)
  }

  /** Something to be done for a peer in a while, if it is still there; what is wrong with it then ends the peer as if it had come then. */
  private later(peer: Peer, ms: number, act: () => void): void {
    setTimeout(() => {
      if (!peer.isOpen) return
      try {
        act()
      } catch (error) {
        this.blame(peer, error)
      }
    }, ms)
  }

  /** An update that builds on missing pieces waits beside the document; its sender is asked once for the rest. */
  private park(peer: Peer, update: Uint8Array, isAnswer: boolean): void {
    peer.parked.push(update)
    if (peer.parked.length > LIMITS.parkedUpdates) throw new BadFrame('too many updates build on missing ones')
    if (peer.parked.length > 1) return
    if (!isAnswer) peer.sendAlways(syncFrame('step1', this.draft.stateVector()))
    this.later(peer, LIMITS.missingDependencyMs, () => this.mustBeWhole(peer))
  }

  /** Parked updates whose pieces have not come by now end their sender, unless the pieces may lie in what is held back. */
  private mustBeWhole(peer: Peer): void {
    if (!this.heldBack.isEmpty) {
      this.later(peer, LIMITS.missingDependencyMs, () => this.mustBeWhole(peer))
      return
    }
    this.retryParked(peer)
    if (peer.parked.length > 0) throw new BadFrame('an update builds on edits this server has never seen')
    this.settle(peer)
  }

  private retryParked(peer: Peer): void {
    const parked = peer.parked.splice(0)
    for (const update of parked) {
      const advanced = this.draft.advancedBy(update)
      const own = advanced.filter((clientId) => peer.ids.has(clientId))
      if (this.apply(peer, update, advanced, own) === 'missing') peer.parked.push(update)
    }
  }

  /** Where nothing waits, everything received is in the draft: tell the peer once it is on disk. */
  private settle(peer: Peer): void {
    if (peer.parked.length === 0 && !this.heldBack.has(peer)) peer.processed = peer.received
    for (const holder of this.loose.takeReady((clientId) => this.draft.clockOf(clientId)))
      holder.sendAlways(syncFrame('step1', this.draft.stateVector()))
    this.services.saver.tellWhenSaved(
      peer.acknowledging(() => this.draft.stateVectorOf(this.authors.idsOf(peer.session.userId))),
    )
  }

  private changed(update: Uint8Array, origin: unknown): void {
    this.tail.updates += 1
    this.tail.bytes += update.length
    this.services.saver.add({ boardId: this.boardId, bytes: update })
    this.tell(syncFrame('update', update), origin as Peer | undefined)
  }

  private warnNearLimit(more: number): void {
    if (this.isNearLimit || this.draft.fits(more, LIMITS.nearDocumentBytes)) return
    this.isNearLimit = true
    this.tell(
      jsonFrame('notice', {
        code: 'near_limit',
        message: 'This board’s draft is nearly full: export it, or take old options and comments away.',
      }),
    )
  }

  private bind(peer: Peer, clientId: number, isEditing: boolean): void {
    peer.ids.add(clientId)
    const { isNew, toStore } = this.authors.bind(peer.session, clientId, isEditing, this.draft.clockOf(clientId))
    if (isNew) this.tell(jsonFrame('authors', { clients: this.authors.names([clientId]) }))
    if (toStore) this.services.saver.addAuthor(toStore)
  }

  private takeAwareness(peer: Peer, bytes: Uint8Array): void {
    const entries = decodeAwareness(bytes)
    let introduced = 0
    const mayIntroduce = (clientId: number): boolean => {
      if (this.authors.isAnothers(clientId, peer.session.userId)) return false
      introduced += 1
      if (peer.introduced + introduced > LIMITS.awarenessIdsPerSocket)
        throw new BadFrame('one connection speaks for too many people')
      this.bind(peer, clientId, false)
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
      const update = this.presence.takeChanges()
      if (update) this.tell(awarenessFrame(update))
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

  /** An empty presence update: says nothing, and tells clients that watch for silence that we are here. */
  static readonly KEEP_ALIVE = awarenessFrame(encodeAwareness([]))
}
