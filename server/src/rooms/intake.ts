/** How updates of a draft get in: whose edits they bring, what waits for its owner or for missing pieces, and who may be told that it is on disk. */
import { CLOSE } from '@chartloft/shared-theory/board'
import { mergeUpdates } from 'yjs'
import { LIMITS } from '../limits.js'
import { BadFrame, jsonFrame, syncFrame } from '../socket/frames.js'
import type { Peer } from '../socket/peer.js'
import type { Authors } from './authors.js'
import type { Draft } from './draft.js'
import { HeldBack } from './held-back.js'
import { Loose } from './loose.js'
import type { Saver } from './saver.js'

/** What it needs of its room. */
export interface IntakeRoom {
  readonly draft: Draft
  readonly authors: Authors
  readonly peers: ReadonlySet<Peer>
  readonly saver: Saver
  readonly tell: (frame: Uint8Array) => void
  /** An id has its owner, or more of it was brought in by others. */
  readonly bound?: (clientId: number) => void
  /** Makes whatever is about to be called saved stand on what is stored. */
  readonly cover?: () => void
  /** Ends the sender of what is wrong. */
  readonly blame: (peer: Peer, error: unknown) => void
}

export class Intake {
  private readonly heldBack = new HeldBack()
  private readonly loose = new Loose()
  private isNearLimit = false

  constructor(private readonly room: IntakeRoom) {}

  /** Somebody has gone: what waited for them need not any more. */
  leave(peer: Peer): void {
    this.heldBack.take(peer)
    this.loose.leave(peer)
    this.releaseHeld()
  }

  take(peer: Peer, update: Uint8Array, isStep2: boolean, mayWait = true): void {
    const advanced = this.room.draft.advancedBy(update)
    if (isStep2 && mayWait && this.room.authors.waitsFor(peer, advanced, this.room.peers).length > 0) {
      this.holdBack(peer, update)
      return
    }
    const own = this.room.authors.ownIds(peer, advanced, isStep2, this.room.peers)
    if (advanced.length > 0 || update.length > 2) {
      if (this.room.saver.isFailing && advanced.length > 0) {
        peer.close(
          CLOSE.tryLater,
          'disk',
          'The server cannot save at the moment; your edits stay on this device and are sent again.',
        )
        return
      }
      if (!this.room.draft.fits(update.length, LIMITS.documentBytes)) {
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

  /** An id a peer edits or is present with, which nobody else has. */
  bind(peer: Peer, clientId: number, isEditing: boolean): void {
    const isNewHere = !peer.ids.has(clientId)
    if (!isNewHere && this.room.authors.isSettled(clientId)) return
    peer.ids.add(clientId)
    const { isNew, toStore } = this.room.authors.bind(
      peer.session,
      clientId,
      isEditing,
      this.room.draft.clockOf(clientId),
    )
    if (isNew) this.room.tell(jsonFrame('authors', { clients: this.room.authors.names([clientId]) }))
    if (isNew || isNewHere) this.room.bound?.(clientId)
    if (toStore) this.room.saver.addAuthor(toStore)
  }

  /** Takes an update in; what it brings of other people's stays marked as brought by this one, who answers for it. */
  private apply(
    peer: Peer,
    update: Uint8Array,
    advanced: readonly number[],
    own: readonly number[],
  ): 'applied' | 'missing' {
    if (own.length === advanced.length) return this.room.draft.apply(update, peer)
    const others = advanced.filter((clientId) => !own.includes(clientId))
    const before = others.map((clientId) => [clientId, this.room.draft.clockOf(clientId)] as const)
    const done = this.room.draft.apply(update, peer)
    for (const [clientId, from] of before) {
      const to = this.room.draft.clockOf(clientId)
      const carried = to > from ? this.room.authors.carry(peer.session, clientId, from, to) : undefined
      if (!carried) continue
      this.room.tell(jsonFrame('authors', { clients: this.room.authors.names([clientId]) }))
      this.room.saver.addAuthor(carried)
      this.room.bound?.(clientId)
    }
    return done
  }

  /** Whether what stayed outside of a step 2 is other people's alone: its sender could not take it in either, and is not to blame. */
  private isOnlyOthers(peer: Peer): boolean {
    const { ids, ground } = this.room.draft.lacking()
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
          'Somebody whose edits you carry has not sent them yet; you will be reconnected.',
        )
    })
    this.releaseHeld()
  }

  /** Takes what was held back for as long as somebody's turn has come. Where owners wait for each other, what each made goes in first and
   *  together; what they carry of one another then says nothing new, or it was not theirs. */
  releaseHeld(): void {
    if (this.heldBack.isEmpty) return
    for (;;) {
      const ready = this.heldBack.next((peer, update) =>
        this.room.authors.waitsFor(peer, this.room.draft.advancedBy(update), this.room.peers),
      )
      if (ready.length === 0) return
      const taken = ready.map((peer) => ({ peer, updates: this.heldBack.take(peer) }))
      if (taken.length > 1) this.takeTogether(taken)
      for (const { peer, updates } of taken) {
        for (const update of updates) {
          try {
            if (peer.isOpen) this.take(peer, update, true, false)
          } catch (error) {
            this.room.blame(peer, error)
          }
        }
      }
    }
  }

  private takeTogether(taken: readonly { readonly peer: Peer; readonly updates: readonly Uint8Array[] }[]): void {
    const parts: Uint8Array[] = []
    for (const { peer, updates } of taken) {
      const own = this.room.authors.idsOf(peer.session.userId)
      for (const update of updates) {
        const advanced = this.room.draft.advancedBy(update).filter((clientId) => own.includes(clientId))
        parts.push(this.room.draft.partOf(update, advanced))
        for (const clientId of advanced) this.bind(peer, clientId, true)
      }
    }
    this.room.draft.apply(mergeUpdates(parts), undefined)
  }

  /** Something to be done for a peer in a while, if it is still there; what is wrong with it then ends the peer as if it had come then. */
  private later(peer: Peer, ms: number, act: () => void): void {
    setTimeout(() => {
      if (!peer.isOpen) return
      try {
        act()
      } catch (error) {
        this.room.blame(peer, error)
      }
    }, ms)
  }

  /** An update that builds on missing pieces waits beside the document; its sender is asked once for the rest. */
  private park(peer: Peer, update: Uint8Array, isAnswer: boolean): void {
    peer.parked.push(update)
    if (peer.parked.length > LIMITS.parkedUpdates) throw new BadFrame('too many updates build on missing ones')
    if (peer.parked.length > 1) return
    if (!isAnswer) peer.sendAlways(syncFrame('step1', this.room.draft.stateVector()))
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
      const advanced = this.room.draft.advancedBy(update)
      const own = advanced.filter((clientId) => peer.ids.has(clientId))
      if (this.apply(peer, update, advanced, own) === 'missing') peer.parked.push(update)
    }
  }

  /** Where nothing waits, everything received is in the draft: tell the peer once it is on disk. */
  private settle(peer: Peer): void {
    if (peer.parked.length === 0 && !this.heldBack.has(peer)) peer.processed = peer.received
    for (const holder of this.loose.takeReady((clientId) => this.room.draft.clockOf(clientId)))
      holder.sendAlways(syncFrame('step1', this.room.draft.stateVector()))
    this.room.saver.tellWhenSaved(
      peer.acknowledging(() => {
        this.room.cover?.()
        return this.room.draft.stateVectorOf(this.room.authors.idsOf(peer.session.userId))
      }),
    )
  }

  private warnNearLimit(more: number): void {
    if (this.isNearLimit || this.room.draft.fits(more, LIMITS.nearDocumentBytes)) return
    this.isNearLimit = true
    this.room.tell(
      jsonFrame('notice', {
        code: 'near_limit',
        message: 'This board’s draft is nearly full: export it, or take old options and comments away.',
      }),
    )
  }
}
