/** Whose each Yjs client id is: bound to the session that brought it in, and safe from everybody else. */
import { BadFrame } from '../socket/frames.js'
import type { Peer } from '../socket/peer.js'
import type { AuthorRecord, LiveSession } from '../store/store.js'

interface Author {
  readonly record: AuthorRecord
  /** Bound since this process opened the room: nothing of theirs can have been lost. */
  readonly isFresh: boolean
  isStored: boolean
}

export class Authors {
  private readonly held = new Map<number, Author>()
  private readonly byUser = new Map<string, number[]>()

  constructor(
    private readonly boardId: string,
    stored: readonly AuthorRecord[],
  ) {
    for (const record of stored) this.hold({ record, isFresh: false, isStored: true })
  }

  get size(): number {
    return this.held.size
  }

  /** Binds an id nobody has. `toStore` is the record to keep, the first time its owner edits with it. */
  bind(
    { userId, name, role }: LiveSession,
    clientId: number,
    isEditing: boolean,
  ): { readonly isNew: boolean; readonly toStore?: AuthorRecord } {
    let author = this.held.get(clientId)
    const isNew = author === undefined
    author ??= { record: { boardId: this.boardId, clientId, userId, name, role }, isFresh: true, isStored: false }
    if (isNew) this.hold(author)
    if (!isEditing || author.isStored) return { isNew }
    author.isStored = true
    return { isNew, toStore: author.record }
  }

  isAnothers(clientId: number, userId: string): boolean {
    const author = this.held.get(clientId)
    return author !== undefined && author.record.userId !== userId
  }

  idsOf(userId: string): readonly number[] {
    return this.byUser.get(userId) ?? []
  }

  /** What message 21 tells, of some ids or of all. */
  names(clientIds: Iterable<number> = this.held.keys()): {
    readonly [clientId: string]: Pick<AuthorRecord, 'userId' | 'name' | 'role'>
  } {
    return Object.fromEntries(
      [...clientIds].flatMap((clientId) => {
        const author = this.held.get(clientId)
        if (!author) return []
        const { userId, name, role } = author.record
        return [[clientId, { userId, name, role }]]
      }),
    )
  }

  /** Of the ids an update moves on, those to be bound to the peer. Throws BadFrame where it moves on somebody else's. */
  ownIds(peer: Peer, advanced: readonly number[], isStep2: boolean, peers: Iterable<Peer>): readonly number[] {
    return advanced.filter((clientId) => {
      const author = this.held.get(clientId)
      if (!author) return !isStep2 || peer.ids.has(clientId)
      if (author.record.userId === peer.session.userId) return true
      if (!isStep2 || isGuarded(author, socketsOf(author, peers)))
        throw new BadFrame('an update moves on somebody else’s edits')
      return false
    })
  }

  /** Who is to speak before a peer whose update brings edits of theirs: owners of edits nobody has saved who are just syncing themselves. */
  waitsFor(peer: Peer, advanced: readonly number[], peers: Iterable<Peer>): readonly Peer[] {
    return advanced.flatMap((clientId) => {
      const author = this.held.get(clientId)
      if (!author || author.record.userId === peer.session.userId) return []
      return socketsOf(author, peers).filter((owner) => !hasSpoken(owner, clientId))
    })
  }

  private hold(author: Author): void {
    const { clientId, userId } = author.record
    this.held.set(clientId, author)
    this.byUser.set(userId, [...(this.byUser.get(userId) ?? []), clientId])
  }
}

/** A live owner's id is safe: nobody else can hold edits of it that we lack, unless they were lost before this process began. */
function isGuarded(author: Author, owners: readonly Peer[]): boolean {
  return owners.some((peer) => author.isFresh || peer.ids.has(author.record.clientId))
}

/** Whether everything an owner made under an id before it came is here: its step 2 was taken, or an edit that builds on it. */
const hasSpoken = (owner: Peer, clientId: number): boolean =>
  owner.hasSynced || (owner.ids.has(clientId) && owner.parked.length === 0)

const socketsOf = (author: Author, peers: Iterable<Peer>): readonly Peer[] =>
  [...peers].filter((peer) => peer.isOpen && peer.session.userId === author.record.userId)
