/** Looks in the store how far open boards have come: what a relay may have lost, or where there is none, is found there. */
import type { Rooms } from '../rooms/rooms.js'
import type { Store } from '../store/store.js'
import { LIMITS } from '../limits.js'

export interface Watched {
  readonly store: Pick<Store, 'positions'>
  readonly rooms: Rooms
  /** Whether processes hear each other: then this is only the net below. */
  readonly isHearing: () => boolean
  readonly ledgerMoved: (boardId: string, seq: number) => Promise<void>
  readonly ended: (boardId: string) => void
  readonly failed: (error: unknown) => void
}

const BOARDS_AT_ONCE = 500

/** Starts looking; answers with how to end it. */
export function startWatching(watched: Watched): () => void {
  let lookedAt = -Infinity
  let isLooking = false
  const look = async () => {
    const now = performance.now()
    const everyMs = watched.isHearing() ? LIMITS.watchEveryMs : LIMITS.watchDeafMs
    if (isLooking || now - lookedAt < everyMs) return
    isLooking = true
    lookedAt = now
    try {
      await lookAtAll(watched)
    } catch (error) {
      watched.failed(error)
    } finally {
      isLooking = false
    }
  }
  const timer = setInterval(() => void look(), LIMITS.watchDeafMs / 2)
  return () => clearInterval(timer)
}

async function lookAtAll({ store, rooms, ledgerMoved, ended }: Watched): Promise<void> {
  const boardIds = [...rooms.all()].map((room) => room.boardId)
  for (let at = 0; at < boardIds.length; at += BOARDS_AT_ONCE) {
    const some = boardIds.slice(at, at + BOARDS_AT_ONCE)
    const positions = await store.positions(some)
    for (const boardId of some) {
      const position = positions.get(boardId)
      if (!position) {
        ended(boardId)
        continue
      }
      await ledgerMoved(boardId, position.seq)
      const room = rooms.find(boardId)
      if (room && room.throughId < position.throughId) await room.catchUp()
    }
  }
}
