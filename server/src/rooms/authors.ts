/** Whose each Yjs client id is: bound to the session that brought it in, and safe from everybody else. */
import { BadFrame } from '../socket/frames.js'
import type { Peer } from '../socket/peer.js'
import type { Author as ToldAuthor, Carried } from '@chartloft/shared-theory/board'
import type { AuthorRecord, LiveSession } from '../store/store.js'
import { ABROAD, type Earlier } from './held-back.js'

/** An id with more stretches that others brought in is nobody's honest work. */
const MOST_CARRIED = 64

interface Author {
  record: AuthorRecord
  /** Bound by this process since it opened the room: nothing of theirs can have been lost. */
  readonly isFresh: boolean
  isStored: boolean
}

export class Authors {
  private readonly held = new Map<number, Author>()
  private readonly byUser = new Map<string, number[]>()
  /** Who brought in edits of ids that nobody has. */
  private readonly brought = new Map<number, readonly Carried[]>()

  constructor(
    private readonly boardId: string,
    stored: readonly AuthorRecord[],
    /** Whether somebody is connected to another process and brought the id in there. */
    private readonly isElsewhere: (userId: string, clientId: number) => boolean = () => false,
  ) {
    for (const record of stored) this.hold({ record, isFresh: false, isStored: true })
  }

  /** Binds an id nobody has. `toStore` is the record to keep, the first time its owner edits with it. */
  bind(
    { userId, name, role }: LiveSession,
    clientId: number,
    isEditing: boolean,
    clock: number,
  ): { readonly isNew: boolean; readonly toStore?: AuthorRecord } {
    let author = this.held.get(clientId)
    const isNew = author === undefined
    if (!author) {
      const carried = this.broughtBefore(userId, clientId, clock)
      const record = { boardId: this.boardId, clientId, userId, name, role, ...(carried.length > 0 ? { carried } : {}) }
      author = { record, isFresh: true, isStored: false }
      this.hold(author)
    }
    if (!isEditing || author.isStored) return { isNew }
    author.isStored = true
    return { isNew, toStore: author.record }
  }

  /** Notes that somebody else than an id's owner brought in edits of it. The record to keep, where the id has an owner. */
  carry({ userId, name, role }: LiveSession, clientId: number, from: number, to: number): AuthorRecord | undefined {
    const author = this.held.get(clientId)
    const before = (author ? author.record.carried : this.brought.get(clientId)) ?? []
    const last = before.at(-1)
    const isOneStretch = last?.to === from && last.userId === userId
    const carried = [
      ...(isOneStretch ? before.slice(0, -1) : before),
      { from: isOneStretch ? last.from : from, to, userId, name, role },
    ]
    if (!author) {
      this.brought.set(clientId, carried)
      return undefined
    }
    author.record = { ...author.record, carried }
    return author.record
  }

  /** Of the edits an id has when it gets its owner, those somebody else brought in. */
  private broughtBefore(userId: string, clientId: number, clock: number): readonly Carried[] {
    const known = this.brought.get(clientId)
    this.brought.delete(clientId)
    if (!known) return clock > 0 ? [{ from: 0, to: clock, userId: '', name: '', role: 'member' }] : []
    return known.filter((one) => one.userId !== userId)
  }

  /** It has its owner, on disk: nothing is left to bind. */
  isSettled(clientId: number): boolean {
    return this.held.get(clientId)?.isStored === true
  }

  isAnothers(clientId: number, userId: string): boolean {
    const author = this.held.get(clientId)
    return author !== undefined && author.record.userId !== userId
  }

  idsOf(userId: string): readonly number[] {
    return this.byUser.get(userId) ?? []
  }

  /** What message 21 tells, of some ids or of all. */
  names(clientIds: Iterable<number> = this.held.keys()): { readonly [clientId: string]: ToldAuthor } {
    return Object.fromEntries(
      [...clientIds].flatMap((clientId) => {
        const author = this.held.get(clientId)
        if (!author) return []
        const { userId, name, role, carried } = author.record
        return [[clientId, { userId, name, role, ...(carried ? { carried } : {}) }]]
      }),
    )
  }

  /** Of the ids an update moves on, those to be bound to the peer. Throws BadFrame where it moves on somebody else's. */
  ownIds(peer: Peer, advanced: readonly number[], isStep2: boolean, peers: Iterable<Peer>): readonly number[] {
    return advanced.filter((clientId) => {
      const author = this.held.get(clientId)
      if (!author) return !isStep2 || peer.ids.has(clientId)
      if (author.record.userId === peer.session.userId) return true
      if (!isStep2 || this.isGuarded(author, socketsOf(author, peers)))
        throw new BadFrame('an update moves on somebody else’s edits')
      if ((author.record.carried?.length ?? 0) >= MOST_CARRIED)
        throw new BadFrame('too many people brought edits of one id')
      return false
    })
  }

  /** Who is to speak before a peer whose update brings edits of theirs: owners of edits nobody has saved who are just syncing themselves, or are
   *  connected elsewhere. */
  waitsFor(peer: Peer, advanced: readonly number[], peers: Iterable<Peer>): readonly Earlier[] {
    return advanced.flatMap((clientId): readonly Earlier[] => {
      const author = this.held.get(clientId)
      if (!author || author.record.userId === peer.session.userId) return []
      const owners = socketsOf(author, peers)
      if (owners.some((owner) => owner.ids.has(clientId))) return owners.filter((owner) => !hasSpoken(owner, clientId))
      if (this.isElsewhere(author.record.userId, clientId)) return [ABROAD]
      return owners.filter((owner) => !hasSpoken(owner, clientId))
    })
  }

  /** Takes what other processes know of ids. Those that are news here; where one is bound to somebody else already, it stays so. */
  hear(records: readonly AuthorRecord[]): readonly number[] {
    return records.flatMap((record) => {
      const { clientId, userId, carried } = record
      const author = this.held.get(clientId)
      if (!author) {
        this.brought.delete(clientId)
        this.hold({ record: { ...record, boardId: this.boardId }, isFresh: false, isStored: true })
        return [clientId]
      }
      const isLonger = (carried?.length ?? 0) > (author.record.carried?.length ?? 0)
      if (author.record.userId !== userId || !carried || !isLonger) return []
      author.record = { ...author.record, carried }
      return [clientId]
    })
  }

  /** Ids with an owner. */
  all(): readonly AuthorRecord[] {
    return [...this.held.values()].map(({ record }) => record)
  }

  recordOf(clientId: number): AuthorRecord | undefined {
    return this.held.get(clientId)?.record
  }

  /** A live owner's id is safe: nobody else can hold edits of it that we lack, unless they were lost before this process began. */
  private isGuarded(author: Author, owners: readonly Peer[]): boolean {
    return owners.some((peer) => author.isFresh || peer.ids.has(author.record.clientId))
  }

  private hold(author: Author): void {
    const { clientId, userId } = author.record
    this.held.set(clientId, author)
    this.byUser.set(
      userId,
      [...(this.byUser.get(userId) ?? []), clientId].sort((a, b) => b - a),
    )
  }
}

/** Whether everything an owner made under an id before it came is here: its step 2 was taken, or an edit that builds on it. */
const hasSpoken = (owner: Peer, clientId: number): boolean =>
  owner.hasSynced || (owner.ids.has(clientId) && owner.parked.length === 0)

const socketsOf = (author: Author, peers: Iterable<Peer>): readonly Peer[] =>
  [...peers].filter((peer) => peer.isOpen && peer.session.userId === author.record.userId)
