/** Many small updates as one block of memory: what goes to the store's thread is moved there whole instead of being copied piece by piece. */
import type { DraftUpdate } from './store.js'

export interface Batch {
  readonly boardIds: readonly string[]
  /** Of each update: which board, and how many bytes. */
  readonly boards: readonly number[]
  readonly lengths: readonly number[]
  /** The updates' bytes one after the other. */
  readonly bytes: Uint8Array
}

export function packed(updates: readonly DraftUpdate[]): Batch {
  const places = new Map<string, number>()
  const boards = updates.map(({ boardId }) => {
    const place = places.get(boardId) ?? places.size
    places.set(boardId, place)
    return place
  })
  const bytes = new Uint8Array(updates.reduce((sum, update) => sum + update.bytes.length, 0))
  let at = 0
  for (const update of updates) {
    bytes.set(update.bytes, at)
    at += update.bytes.length
  }
  return { boardIds: [...places.keys()], boards, lengths: updates.map((update) => update.bytes.length), bytes }
}

export function unpacked({ boardIds, boards, lengths, bytes }: Batch): readonly DraftUpdate[] {
  let at = 0
  return lengths.map((length, index) => {
    at += length
    return { boardId: boardIds[boards[index] as number] as string, bytes: bytes.subarray(at - length, at) }
  })
}
