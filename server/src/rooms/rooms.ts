/** All open rooms: opened when the first socket comes, kept while somebody is there, gone when they have been empty for a while. */
import type { Store } from '../store/store.js'
import { Room, type RoomServices } from './room.js'

export class Rooms {
  private readonly open = new Map<string, Room>()
  private readonly opening = new Map<string, Promise<Room>>()

  constructor(
    private readonly services: RoomServices,
    private readonly idleMs: number,
  ) {}

  get size(): number {
    return this.open.size
  }

  find(boardId: string): Room | undefined {
    return this.open.get(boardId)
  }

  all(): IterableIterator<Room> {
    return this.open.values()
  }

  /** The board's room, loaded where it is not open. Rejects with StoreError where the draft cannot be read. */
  async get(boardId: string): Promise<Room> {
    const room = this.open.get(boardId)
    if (room) return room
    let opening = this.opening.get(boardId)
    if (!opening) {
      opening = this.load(boardId).finally(() => this.opening.delete(boardId))
      this.opening.set(boardId, opening)
    }
    return opening
  }

  /** Lets go of rooms nobody has been in for a while, once everything of theirs is on disk. */
  async sweep(now: number): Promise<void> {
    for (const room of this.open.values()) {
      room.sweep()
      if (room.peers.size > 0) {
        if (room.hasLongTail) await room.compact(false)
        continue
      }
      if (now - room.emptySince < this.idleMs) continue
      await room.compact(true)
      await this.services.saver.flush()
      if (room.peers.size > 0 || this.services.saver.isFailing) continue
      this.drop(room.boardId)
    }
  }

  drop(boardId: string): void {
    this.open.get(boardId)?.close()
    this.open.delete(boardId)
  }

  /** The draft of a board, open or not, as one update. */
  async exportDraft(boardId: string, store: Store): Promise<Uint8Array> {
    const room = this.open.get(boardId)
    if (room) {
      await this.services.saver.flush()
      return room.exportDraft()
    }
    const passing = new Room(boardId, await store.loadDraft(boardId), this.services)
    try {
      return passing.exportDraft()
    } finally {
      passing.close()
    }
  }

  private async load(boardId: string): Promise<Room> {
    // First the line, then the store: what is said meanwhile waits, and nothing falls between the two.
    const line = this.services.relay?.open(boardId)
    try {
      const room = new Room(boardId, await this.services.store.loadDraft(boardId), this.services, line)
      await room.join()
      this.open.set(boardId, room)
      return room
    } catch (error) {
      line?.close()
      throw error
    }
  }
}
