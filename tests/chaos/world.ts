/** A whole band and its server in one process on a clock of our own: every delay, loss, restart and crash follows from a seed, so that any
 *  run can be had again. The room, saver and draft are the server's own; only wires, disk and time are played. */
import type { Duplex } from 'node:stream'
import type { WebSocket } from 'ws'
import { vi } from 'vitest'
import * as Y from 'yjs'
import { Room, type RoomServices } from '../../server/src/rooms/room.js'
import { Saver } from '../../server/src/rooms/saver.js'
import { Peer } from '../../server/src/socket/peer.js'
import type { AuthorRecord, DraftUpdate, LiveSession, Store, StoredDraft } from '../../server/src/store/store.js'
import { syncBytes } from '../server/harness.js'
import { Client, idOf } from './client.js'

const BOARD = 'board'
const MESSAGES_PER_SECOND = 100_000
const OPEN = 1
const CLOSED = 3
const FORGER = 99

/** What is on disk: it outlives every crash. */
class Disk {
  snapshot: Uint8Array | undefined
  updates: { readonly id: number; readonly bytes: Uint8Array }[] = []
  readonly authors = new Map<number, AuthorRecord>()
  throughId = 0
  lastId = 0

  load(): StoredDraft {
    return {
      ...(this.snapshot ? { snapshot: this.snapshot } : {}),
      updates: this.updates.map(({ bytes }) => bytes),
      throughId: this.lastId,
      authors: [...this.authors.values()],
    }
  }

  append(updates: readonly DraftUpdate[], authors: readonly AuthorRecord[]): { readonly [boardId: string]: number } {
    for (const author of authors) this.authors.set(author.clientId, author)
    for (const { bytes } of updates) this.updates.push({ id: ++this.lastId, bytes })
    return updates.length > 0 ? { [BOARD]: this.lastId } : {}
  }

  compact(snapshot: Uint8Array, throughId: number): void {
    this.snapshot = snapshot
    this.updates = this.updates.filter(({ id }) => id > throughId)
  }
}

export interface Chances {
  readonly draw: () => number
  /** Milliseconds a message is under way, at most. */
  readonly delayMs: number
}

/** One life of the server, from start to crash. */
class Life {
  isOver = false
  readonly room: Room
  private readonly saver: Saver
  readonly faults: unknown[] = []
  /** Transactions the disk has not finished. */
  private readonly writing = new Set<() => void>()

  constructor(disk: Disk, { draw, delayMs }: Chances, clock: () => number) {
    const later = <T>(work: () => T): Promise<T> =>
      new Promise((resolve) => {
        if (this.isOver) return
        const write = (): void => {
          this.writing.delete(write)
          const done = work()
          if (!this.isOver) resolve(done)
        }
        this.writing.add(write)
        setTimeout(() => {
          if (this.writing.has(write)) write()
        }, draw() * delayMs)
      })
    const store = {
      appendUpdates: (updates: readonly DraftUpdate[], authors: readonly AuthorRecord[]) =>
        later(() => disk.append(updates, authors)),
      compactDraft: (_board: string, snapshot: Uint8Array, throughId: number) =>
        later(() => disk.compact(snapshot, throughId)),
      loadDraft: () => Promise.resolve(disk.load()),
    } as unknown as Store
    this.saver = new Saver(
      store,
      8,
      {
        saved: (lastIds) => {
          const last = lastIds[BOARD]
          if (last !== undefined) this.room.stored(last)
        },
        failed: (error) => this.faults.push(error),
        recovered: () => undefined,
      },
      clock,
    )
    const services: RoomServices = {
      store,
      saver: this.saver,
      clock,
      refused: () => undefined,
      fault: (error) => this.faults.push(error),
      countPieces: () => Promise.resolve(1),
      snapshot: () => Promise.resolve(Uint8Array.of(19, 2, 123, 125)),
    }
    this.room = new Room(BOARD, disk.load(), services)
  }

  flush(): Promise<void> {
    return this.saver.flush()
  }

  /** The process dies: of the transactions under way the first few are on disk, the others never will be, and nobody is told of either. */
  end(draw: () => number): void {
    this.isOver = true
    const reached = Math.floor(draw() * (this.writing.size + 1))
    for (const write of [...this.writing].slice(0, reached)) write()
    this.writing.clear()
    this.room.close()
  }
}

/** Messages under way in one direction. */
interface Way {
  lastAt: number
  readonly queue: (() => void)[]
}

/** A connection: two ordered directions, each message a while under way; what is under way when it breaks is lost. */
export class Link {
  private isUp = true
  private readonly up: Way = { lastAt: 0, queue: [] }
  private readonly down: Way = { lastAt: 0, queue: [] }
  readonly peer: Peer
  closedWith: number | undefined

  constructor(
    private readonly world: World,
    private readonly life: Life,
    private readonly client: Client,
    session: LiveSession,
  ) {
    const socket = {
      readyState: OPEN,
      OPEN,
      on: () => undefined,
      once: () => undefined,
      ping: () => undefined,
      send: (bytes: Uint8Array) => this.toClient(bytes),
      close: (code: number) => {
        this.closedWith = code
        this.cut()
      },
      terminate: () => this.cut(),
    }
    this.cutSocket = () => (socket.readyState = CLOSED)
    const wire: Pick<Duplex, 'write' | 'writableLength'> = {
      writableLength: 0,
      write: ((framed: Uint8Array) => {
        for (const message of messagesOf(framed)) this.toClient(message)
        return true
      }) as Duplex['write'],
    }
    this.peer = new Peer(
      session,
      socket as unknown as WebSocket,
      wire,
      { caughtUp: () => undefined, refused: () => undefined, closed: () => undefined },
      MESSAGES_PER_SECOND,
      world.now(),
    )
    life.room.enter(this.peer, Uint8Array.of(19, 2, 123, 125))
  }

  private readonly cutSocket: () => void

  toServer(bytes: Uint8Array): void {
    this.under(this.up, () => {
      if (!this.life.isOver && this.peer.isOpen) this.life.room.receive(this.peer, bytes, this.world.now())
    })
  }

  private toClient(bytes: Uint8Array): void {
    const kept = bytes.slice()
    this.under(this.down, () => this.client.hear(kept))
  }

  /** Keeps the order of a direction whatever the delays. */
  private under(way: Way, arrive: () => void): void {
    way.lastAt = Math.max(way.lastAt, this.world.now() + this.world.chances.draw() * this.world.chances.delayMs)
    way.queue.push(arrive)
    // Timers count whole milliseconds: whichever is first, the oldest message arrives.
    setTimeout(() => {
      const next = way.queue.shift()
      if (this.isUp) next?.()
    }, way.lastAt - this.world.now())
  }

  cut(): void {
    if (!this.isUp) return
    this.isUp = false
    this.cutSocket()
    if (!this.life.isOver) this.life.room.leave(this.peer)
    this.client.lost()
  }
}

export class World {
  readonly disk = new Disk()
  private life: Life
  readonly clients: Client[]
  readonly links = new Map<Client, Link>()
  readonly refusals: number[] = []
  private readonly lost: number[] = []
  private readonly forgers = new Set<Link>()
  /** Cards made up under somebody else's client id, and whose. */
  readonly forged = new Map<string, number>()
  crashes = 0

  /** Needs vitest's fake timers to be on. */
  constructor(
    readonly chances: Chances,
    people: number,
  ) {
    this.life = new Life(this.disk, chances, this.now)
    this.clients = Array.from({ length: people }, (_, index) => new Client(index + 1, chances.draw))
  }

  readonly now = (): number => performance.now()

  isConnected(client: Client): boolean {
    return this.links.has(client)
  }

  connect(client: Client): void {
    if (this.links.has(client)) return
    const link = new Link(this, this.life, client, sessionOf(client))
    this.links.set(client, link)
    client.joined(
      (bytes) => link.toServer(bytes),
      () => {
        if (link.closedWith !== undefined) this.refusals.push(link.closedWith)
        if (this.links.get(client) === link) this.links.delete(client)
      },
    )
  }

  disconnect(client: Client): void {
    this.links.get(client)?.cut()
  }

  /** The process dies: what it had not written is gone, and every connection with it. A new one starts from the disk. */
  crash(): void {
    this.crashes += 1
    this.life.end(this.chances.draw)
    const links = [...this.links.values()]
    for (const link of [...links, ...this.forgers]) link.cut()
    this.forgers.clear()
    this.life = new Life(this.disk, this.chances, this.now)
  }

  /** Somebody's device is gone for good, edits and all. */
  lose(client: Client): void {
    this.disconnect(client)
    this.clients.splice(this.clients.indexOf(client), 1)
    this.lost.push(client.number)
  }

  /** A member with a client of their own making says to hold edits of somebody whose device is gone: everything anybody really has, and one more. */
  forge(): void {
    const victim = this.lost.pop()
    if (victim === undefined) return
    const made = new Y.Doc()
    for (const doc of [...this.clients.map((client) => client.doc), ...this.serverDocs()])
      Y.applyUpdate(made, Y.encodeStateAsUpdate(doc))
    // Where a piece hangs loose, anything made up would take its place: Yjs has no answer to that, and neither have we.
    if (made.store.pendingStructs) return
    made.clientID = idOf(victim)
    const key = `forged-${victim}`
    made.getMap('cards').set(key, victim)
    this.forged.set(key, victim)
    const forger = new Client(FORGER, this.chances.draw)
    const link = new Link(this, this.life, forger, sessionOf(forger))
    this.forgers.add(link)
    forger.joined(
      (bytes) => link.toServer(bytes),
      () => undefined,
    )
    link.toServer(syncBytes(1, Y.encodeStateAsUpdate(made)))
  }

  compact(): Promise<void> {
    return this.life.room.compact(true)
  }

  /** Everybody back, and time enough for everything under way. */
  async settle(): Promise<void> {
    for (let round = 0; round < 4; round++) {
      for (const client of this.clients) this.connect(client)
      await vi.advanceTimersByTimeAsync(3000)
    }
    const flushed = this.life.flush()
    await vi.advanceTimersByTimeAsync(1000)
    await flushed
  }

  /** The draft as the server has it, and as a server that started now would. */
  serverDocs(): readonly Y.Doc[] {
    const live = new Y.Doc()
    Y.applyUpdate(live, this.life.room.exportDraft())
    const stored = new Y.Doc()
    const { snapshot, updates } = this.disk.load()
    for (const piece of snapshot ? [snapshot, ...updates] : updates) Y.applyUpdate(stored, piece)
    return [live, stored]
  }

  get faults(): readonly unknown[] {
    return this.life.faults
  }
}

/** The messages of what was written at once: this server sends single unmasked frames only. */
function messagesOf(written: Uint8Array): readonly Uint8Array[] {
  const view = Buffer.from(written.buffer, written.byteOffset, written.byteLength)
  const messages: Uint8Array[] = []
  for (let at = 0; at < view.length;) {
    const short = view.readUInt8(at + 1)
    const start = at + (short < 126 ? 2 : short === 126 ? 4 : 10)
    const length =
      short < 126 ? short : short === 126 ? view.readUInt16BE(at + 2) : Number(view.readBigUInt64BE(at + 2))
    messages.push(view.subarray(start, start + length))
    at = start + length
  }
  return messages
}

const sessionOf = (client: Client): LiveSession => ({
  sessionHash: `session-${client.number}`,
  boardId: BOARD,
  userId: `user-${client.number}`,
  name: `Player ${client.number}`,
  role: 'member',
  linkId: 'link',
  personal: false,
  createdAt: 0,
})
