/** The same room in other processes. What they say was checked there and goes straight in. Who edits, saves: what comes from elsewhere is saved here
 *  only where something said here rests on it, or where its own process has gone silent. */
import type { TransportFrom } from '@chartloft/shared-theory/board'
import { LIMITS } from '../limits.js'
import type { Line, Message, PresenceTold, Relay } from '../relay/relay.js'
import type { AuthorRecord } from '../store/store.js'
import type { Saver, Waiting } from './saver.js'

export interface ElsewhereRoom {
  readonly boardId: string
  readonly saver: Saver
  /** Takes a change in, without saving it or telling other processes. False where it did not go in whole. */
  readonly takeUpdate: (bytes: Uint8Array) => boolean
  readonly takeAuthors: (authors: readonly AuthorRecord[]) => void
  readonly takePresence: (from: string, entries: readonly PresenceTold[]) => void
  readonly losePresence: (from: string) => void
  readonly takeTransport: (transport: TransportFrom) => void
  /** Others are connected elsewhere than before. */
  readonly livesMoved: () => void
  /** Reads in the store what other processes have saved; the id up to which all is here. */
  readonly catchUp: () => Promise<number>
  /** All of a row is here without reading it. */
  readonly noteSeen: (id: number) => void
  /** Id of the last row this process wrote. */
  readonly lastSavedId: () => number
  readonly ledgerMoved: (seq: number) => void
  readonly ended: () => void
  readonly fault: (error: unknown) => void
  /** What there is to tell whoever comes. */
  readonly live: () => { readonly [userId: string]: readonly number[] }
  readonly authors: () => readonly AuthorRecord[]
  readonly presence: () => readonly PresenceTold[]
  readonly transport: () => TransportFrom | undefined
}

interface Unsaved {
  readonly from: string
  readonly entry: number
  readonly at: number
  readonly bytes?: Uint8Array
  readonly authors?: readonly AuthorRecord[]
}

export class Elsewhere {
  private unsaved: Unsaved[] = []
  private readonly lives = new Map<string, ReadonlyMap<string, ReadonlySet<number>>>()
  private catching: Promise<void> | undefined
  private wantsMore = false
  /** Rooms elsewhere of which something has not come, and up to which of their entries. */
  private readonly lacking = new Map<string, number>()
  /** Edits nobody was told of, and how many of them are in the store. */
  private untold = 0
  private untoldStored = 0
  private distrustUntil = -Infinity
  private liveTimer: NodeJS.Immediate | undefined
  /** Transport messages go one after the other: each first asks how the clocks stand. */
  private transports: Promise<void> = Promise.resolve()
  private isClosed = false
  private readonly saved: Waiting

  constructor(
    private readonly room: ElsewhereRoom,
    private readonly line: Line,
    private readonly relay: Pick<Relay, 'sharedOffset'>,
    private readonly clock: () => number,
  ) {
    this.saved = {
      mark: () => {
        const through = this.line.mark()
        const { untold } = this
        return () => {
          const isWhole = untold === this.untoldStored
          this.untoldStored = untold
          this.line.tell({ kind: 'stored', through, ...(isWhole ? { id: this.room.lastSavedId() } : {}) })
        }
      },
    }
  }

  /** Hears from now on; resolves once everybody elsewhere has told what they have. */
  async join(): Promise<void> {
    this.line.start({
      hear: (message, from, entry) => this.hear(message, from, entry),
      hearOwn: (message) => this.hearOwn(message),
      missed: (from, entry) => this.lack(from, entry),
      resumed: () => this.resume(),
      gone: (from) => this.lose(from),
    })
    await this.line.ready
    await this.catching
  }

  close(): void {
    this.isClosed = true
    clearImmediate(this.liveTimer)
    this.line.close()
  }

  tellUpdate(bytes: Uint8Array): void {
    if (!this.line.tell({ kind: 'update', bytes })) this.untold += 1
    this.room.saver.tellWhenSaved(this.saved)
  }

  tellAuthors(authors: readonly AuthorRecord[]): void {
    this.line.tell({ kind: 'authors', authors })
  }

  tellPresence(entries: readonly PresenceTold[]): void {
    if (entries.length > 0) this.line.tell({ kind: 'presence', entries })
  }

  /** Somebody has come or gone, or brought in an id. */
  tellLive(): void {
    this.liveTimer ??= setImmediate(() => {
      this.liveTimer = undefined
      this.line.tell({ kind: 'live', live: this.room.live() })
    })
  }

  tellTransport(transport: TransportFrom): void {
    this.inOrder(async () => {
      const startsAt = transport.startsAt + (await this.relay.sharedOffset())
      this.line.tell({ kind: 'transport', transport: { ...transport, startsAt } })
    })
  }

  /** Whether somebody has an open socket elsewhere that brought the id in there. */
  isLive(userId: string, clientId: number): boolean {
    return [...this.lives.values()].some((live) => live.get(userId)?.has(clientId) ?? false)
  }

  /**
   * What came from elsewhere and is not known to be stored goes into the commit that is about to be made. So whatever is called saved here stands on
   * what is stored: an edit rests on others' edits, and their process may die before it has saved them.
   */
  cover(isDue: (unsaved: Unsaved) => boolean = () => true): void {
    const due = this.unsaved.filter(isDue)
    if (due.length === 0) return
    this.unsaved = this.unsaved.filter((one) => !due.includes(one))
    for (const { bytes, authors } of due) {
      if (bytes) this.room.saver.add({ boardId: this.room.boardId, bytes })
      for (const author of authors ?? []) this.room.saver.addAuthor(author)
    }
  }

  /** Saves what its own process has not saved for long. */
  sweep(): void {
    const before = this.clock() - LIMITS.coverAfterMs
    this.cover(({ at }) => at < before)
  }

  /** An entry did not come, or not go in: it will be read in the store once its process has put it there. */
  private lack(from: string, entry: number): void {
    this.lacking.set(from, entry)
    this.catchUpSoon()
  }

  /** A row whose content was all heard need not be read. While anything is lacking, any row may hold it. */
  private takeStored(from: string, through: number, id: number | undefined): void {
    if (id !== undefined && this.lacking.size === 0 && this.clock() > this.distrustUntil) {
      this.room.noteSeen(id)
      return
    }
    if ((this.lacking.get(from) ?? Infinity) <= through) this.lacking.delete(from)
    this.catchUpSoon()
  }

  private hear(message: Message, from: string, entry: number): void {
    if (this.isClosed) return
    switch (message.kind) {
      case 'update':
        this.unsaved.push({ from, entry, at: this.clock(), bytes: message.bytes })
        if (!this.room.takeUpdate(message.bytes)) this.lack(from, entry)
        break
      case 'authors':
        this.unsaved.push({ from, entry, at: this.clock(), authors: message.authors })
        this.room.takeAuthors(message.authors)
        break
      case 'stored':
        this.unsaved = this.unsaved.filter((one) => one.from !== from || one.entry > message.through)
        this.takeStored(from, message.through, message.id)
        break
      case 'presence':
        this.room.takePresence(from, message.entries)
        break
      case 'live':
        this.lives.set(
          from,
          new Map(Object.entries(message.live).map(([userId, clientIds]) => [userId, new Set(clientIds)])),
        )
        this.room.livesMoved()
        break
      case 'transport':
        this.takeTransport(message.transport)
        break
      case 'ledger':
        this.room.ledgerMoved(message.seq)
        break
      case 'hello':
        this.room.saver.flush().then(
          () => this.tellState(from),
          (error: unknown) => this.room.fault(error),
        )
        // Whoever is back after a gap has saved what it could not say.
        this.catchUpSoon()
        break
      case 'ended':
        this.room.ended()
        break
      case 'state':
        // Before they heard of us they told nothing: it is in the store by now.
        this.catchUpSoon()
        break
      case 'gone':
        break
    }
  }

  /** Two who press play at once: the later in the stream stands, here as elsewhere. */
  private hearOwn(message: Message): void {
    if (message.kind === 'transport') this.takeTransport(message.transport)
  }

  private takeTransport(transport: TransportFrom): void {
    this.inOrder(async () => {
      const startsAt = transport.startsAt - (await this.relay.sharedOffset())
      if (!this.isClosed) this.room.takeTransport({ ...transport, startsAt })
    })
  }

  private tellState(to: string): void {
    this.line.tell({ kind: 'authors', authors: this.room.authors() })
    this.line.tell({ kind: 'live', live: this.room.live() })
    this.tellPresence(this.room.presence())
    const transport = this.room.transport()
    if (!transport) {
      this.line.tell({ kind: 'state', to })
      return
    }
    this.tellTransport(transport)
    this.inOrder(() => {
      this.line.tell({ kind: 'state', to })
      return Promise.resolve()
    })
  }

  private async resume(): Promise<void> {
    await this.room.saver.flush()
    this.catchUpSoon()
    this.tellLive()
    this.tellAuthors(this.room.authors())
    this.tellPresence(this.room.presence())
  }

  private async lose(from: string): Promise<void> {
    this.lives.delete(from)
    // What it told others and not us, they save.
    if (this.lacking.delete(from)) this.distrustUntil = this.clock() + LIMITS.relayDistrustMs
    this.room.losePresence(from)
    this.room.livesMoved()
    this.cover((one) => one.from === from)
    await this.room.saver.flush()
  }

  private catchUpSoon(): void {
    if (this.catching) {
      this.wantsMore = true
      return
    }
    this.catching = this.catchUpNow().finally(() => {
      this.catching = undefined
      const again = this.wantsMore
      this.wantsMore = false
      if (again) this.catchUpSoon()
    })
  }

  private async catchUpNow(): Promise<void> {
    try {
      if (this.isClosed) return
      await this.room.catchUp()
      this.room.ledgerMoved(Infinity)
    } catch (error) {
      this.room.fault(error)
    }
  }

  private inOrder(act: () => Promise<void>): void {
    this.transports = this.transports.then(act).catch((error: unknown) => this.room.fault(error))
  }
}
