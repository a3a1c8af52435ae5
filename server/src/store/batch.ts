/** Many small updates as one block of bytes: made once where they come in, moved whole to the store's thread, and written as one row. */
import { createDecoder, hasContent, readVarUint, readVarUint8Array } from 'lib0/decoding'
import { createEncoder, toUint8Array, writeVarUint, writeVarUint8Array } from 'lib0/encoding'
import type { DraftUpdate } from './store.js'

export interface Batch {
  readonly boardIds: readonly string[]
  /** Of each update: which of the boards (varint), how many bytes (varint), and the bytes. */
  readonly block: Uint8Array
}

export function packed(updates: readonly DraftUpdate[]): Batch {
  const places = new Map<string, number>()
  const encoder = createEncoder()
  for (const { boardId, bytes } of updates) {
    const place = places.get(boardId) ?? places.size
    places.set(boardId, place)
    writeVarUint(encoder, place)
    writeVarUint8Array(encoder, bytes)
  }
  return { boardIds: [...places.keys()], block: toUint8Array(encoder) }
}

/** The updates of a block, as views into it. Throws RangeError where the block is not whole or names a board it has not. */
export function unpacked({ boardIds, block }: Batch): readonly DraftUpdate[] {
  const updates: DraftUpdate[] = []
  const decoder = createDecoder(block)
  try {
    while (hasContent(decoder)) {
      const boardId = boardIds[readVarUint(decoder)]
      if (boardId === undefined) throw new RangeError('an update of no board')
      updates.push({ boardId, bytes: readVarUint8Array(decoder) })
    }
  } catch (error) {
    throw new RangeError('a stored block of updates is not whole', { cause: error })
  }
  return updates
}
