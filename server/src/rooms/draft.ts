/** The draft document and its guard: which updates are whole, whose they are, and what they would do, before they go in. */
import * as Y from 'yjs'
import { Bucket } from '../access/rate.js'
import { LIMITS } from '../limits.js'
import { BadFrame, putVarUint, varUintBytes } from '../socket/frames.js'
import type { StoredDraft } from '../store/store.js'
import type { Ground } from './loose.js'
import { toilOf } from './toil.js'

/** Clocks beyond this are nobody's typing; letting them in would break every reader's arithmetic. */
const MOST_CLOCK = 2 ** 31

/** Why an update did not go in whole. */
export interface Lacking {
  /** Whose pieces stayed outside. */
  readonly ids: readonly number[]
  readonly ground: Ground
}

type Outside = Pick<Y.Doc['store'], 'pendingStructs' | 'pendingDs'>

export class Draft {
  private doc: Y.Doc
  /** Bytes of what is stored: the snapshot and what came since. An upper estimate of the document's size. */
  private storedBytes = 0
  private readonly toil = new Bucket(LIMITS.toilPerSecond, LIMITS.toilBurst, performance.now())
  /** What of the last update that was 'missing' something stayed outside. */
  private outside: Outside = { pendingStructs: null, pendingDs: null }
  /** A large draft told whole, until its next change. */
  private told: Uint8Array | undefined

  /** `onUpdate` hears every change that went in, as one whole update. */
  constructor(
    stored: StoredDraft,
    private readonly onUpdate: (update: Uint8Array, origin: unknown) => void,
  ) {
    this.doc = this.open(stored)
  }

  /** About how many bytes it is. */
  get size(): number {
    return this.storedBytes
  }

  /** Starts again from what is stored: after a failure that left the document half-changed. */
  reload(stored: StoredDraft): void {
    const former = this.doc
    this.doc = this.open(stored)
    former.destroy()
  }

  destroy(): void {
    this.doc.destroy()
  }

  /** Ids whose clock the update would move on, with the new clock. Throws BadFrame where it does not decode. */
  advancedBy(update: Uint8Array): readonly number[] {
    let reached: Map<number, number>
    try {
      reached = Y.parseUpdateMeta(update).to
    } catch {
      throw new BadFrame('an update does not decode')
    }
    const advanced: number[] = []
    for (const [clientId, clock] of reached) {
      if (!Number.isSafeInteger(clock) || clock > MOST_CLOCK) throw new BadFrame('an update has an impossible clock')
      if (clock > this.clockOf(clientId)) advanced.push(clientId)
    }
    return advanced
  }

  /** 'missing': it builds on something that is not here; the document is as if it had not come, but for pieces that stand by themselves. Throws what Yjs throws. */
  apply(update: Uint8Array, origin: unknown): 'applied' | 'missing' {
    const { store } = this.doc
    this.requireEase(update)
    try {
      Y.applyUpdate(this.doc, update, origin)
      if (!store.pendingStructs && !store.pendingDs) return 'applied'
      this.outside = { pendingStructs: store.pendingStructs, pendingDs: store.pendingDs }
      return 'missing'
    } finally {
      store.pendingStructs = null
      store.pendingDs = null
    }
  }

  /** Takes in what is stored, nearly all of which is here already. */
  takeStored({ snapshot, updates }: StoredDraft, origin: unknown): void {
    const pieces = snapshot ? [snapshot, ...updates] : updates
    if (pieces.length === 0) return
    Y.applyUpdate(this.doc, pieces.length > 1 ? Y.mergeUpdates([...pieces]) : (pieces[0] as Uint8Array), origin)
    this.doc.store.pendingStructs = null
    this.doc.store.pendingDs = null
  }

  /** Refuses an update whose pieces would take very long to place. One that is small, to a draft that is, cannot. */
  private requireEase(update: Uint8Array): void {
    if (update.length < LIMITS.easyUpdateBytes && this.storedBytes < LIMITS.easyDraftBytes) return
    const steps = toilOf(this.doc, update, LIMITS.toilBurst)
    if (steps > LIMITS.easySteps && !this.toil.take(performance.now(), steps))
      throw new BadFrame('placing an update among the others takes too much work')
  }

  /** Why the last update that was 'missing' something did not go in whole. */
  lacking(): Lacking {
    return lackingOf(this.outside)
  }

  /** Of an update, what some clients made, and all it takes away. */
  partOf(update: Uint8Array, clientIds: readonly number[]): Uint8Array {
    const whole = new Y.Doc()
    Y.applyUpdate(whole, this.since())
    Y.applyUpdate(whole, update)
    const known = Y.decodeStateVector(Y.encodeStateVector(whole))
    for (const clientId of clientIds) known.set(clientId, this.clockOf(clientId))
    const part = Y.encodeStateAsUpdate(whole, Y.encodeStateVector(known))
    whole.destroy()
    return part
  }

  clockOf(clientId: number): number {
    return Y.getState(this.doc.store, clientId)
  }

  /** Step 1: what we have. */
  stateVector(): Uint8Array {
    return Y.encodeStateVector(this.doc)
  }

  /** State vector of some clients only, as lib0 writes it: the highest id first. */
  stateVectorOf(clientIds: readonly number[]): Buffer {
    const pairs: number[] = []
    let bytes = 0
    for (const clientId of highestFirst(clientIds)) {
      const clock = this.clockOf(clientId)
      if (clock === 0) continue
      pairs.push(clientId, clock)
      bytes += varUintBytes(clientId) + varUintBytes(clock)
    }
    const out = Buffer.allocUnsafe(varUintBytes(pairs.length / 2) + bytes)
    let at = putVarUint(out, 0, pairs.length / 2)
    for (const value of pairs) at = putVarUint(out, at, value)
    return out
  }

  /** Step 2: what the other end lacks. Throws BadFrame where its state vector does not decode. */
  since(stateVector?: Uint8Array): Uint8Array {
    if (stateVector === undefined || isEmpty(stateVector)) return this.told ?? this.tellWhole()
    try {
      return Y.encodeStateAsUpdate(this.doc, stateVector)
    } catch {
      throw new BadFrame('a state vector does not decode')
    }
  }

  /** A large draft is told many times where many come at once: its bytes are kept until the next change. */
  private tellWhole(): Uint8Array {
    const whole = Y.encodeStateAsUpdate(this.doc)
    if (whole.length >= LIMITS.easyDraftBytes) this.told = whole
    return whole
  }

  /** Whether `more` bytes fit under `limit`; measured exactly only where the estimate says it may not. */
  fits(more: number, limit: number): boolean {
    if (this.storedBytes + more > limit) this.storedBytes = this.since().length
    return this.storedBytes + more <= limit
  }

  private open(stored: StoredDraft): Y.Doc {
    this.told = undefined
    const doc = new Y.Doc()
    const pieces = stored.snapshot ? [stored.snapshot, ...stored.updates] : stored.updates
    this.storedBytes = pieces.reduce((sum, piece) => sum + piece.length, 0)
    doc.transact(() => {
      for (const piece of pieces) Y.applyUpdate(doc, piece)
    })
    doc.on('update', (update: Uint8Array, origin: unknown) => {
      this.storedBytes += update.length
      this.told = undefined
      this.onUpdate(update, origin)
    })
    // Yjs keeps one array for the transactions of the next change. It has often grown old by then, and as garbage it would carry the young
    // transaction and all of its maps into old age with it, edit after edit, until the next full collection.
    doc.on('afterAllTransactions', (_doc: Y.Doc, transactions: Y.Transaction[]) => {
      transactions.length = 0
    })
    return doc
  }
}

/** Mostly they are so already. */
function highestFirst(clientIds: readonly number[]): readonly number[] {
  for (let place = 1; place < clientIds.length; place++)
    if ((clientIds[place] as number) > (clientIds[place - 1] as number)) return clientIds.toSorted((a, b) => b - a)
  return clientIds
}

/** A state vector of nothing: no client, and that in one byte. */
const isEmpty = (stateVector: Uint8Array): boolean => stateVector.length === 1 && stateVector[0] === 0

function lackingOf({ pendingStructs, pendingDs }: Outside): Lacking {
  const ground = new Map(pendingStructs?.missing)
  const deletions = pendingDs ? Y.decodeUpdateV2(pendingDs).ds.clients : new Map<number, never[]>()
  for (const [clientId, ranges] of deletions) {
    const clock = Math.min(...ranges.map((range) => range.clock), ground.get(clientId) ?? Infinity)
    ground.set(clientId, clock)
  }
  return { ids: pendingStructs ? [...Y.parseUpdateMetaV2(pendingStructs.update).to.keys()] : [], ground }
}
