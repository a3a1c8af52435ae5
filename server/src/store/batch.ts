/** Many small updates as one block of bytes: made once where they come in, moved whole to the store's thread, and written as one row. */
import { createDecoder, hasContent, readVarUint, readVarUint8Array } from 'lib0/decoding'
import { createEncoder, toUint8Array, writeVarUint, writeVarUint8Array } from 'lib0/encoding'
import type { DraftUpdate } from './store.js'

/** Board ids hold letters, digits, - and _ only. */
const BETWEEN = ' '

export interface Batch {
  /** Ids with a space between them: one text crosses to another thread for less than many do. */
  readonly boards: string
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
  return { boards: [...places.keys()].join(BETWEEN), block: toUint8Array(encoder) }
}

export const boardIdsOf = (boards: Batch['boards']): readonly string[] => (boards === '' ? [] : boards.split(BETWEEN))

/** What became of a batch: the id its boards' updates have come to, 0 where there were none, and the boards that are no more. */
export interface Appended {
  readonly id: number
  readonly gone?: readonly string[]
}

/** The id each board's updates have come to. */
export function lastIdsOf(
  updates: readonly DraftUpdate[],
  { id, gone = [] }: Appended,
): { readonly [boardId: string]: number } {
  const ids: { [boardId: string]: number } = {}
  // Under the names the updates came with: those are known to the engine as keys, fresh copies of them would have to be looked up.
  for (const { boardId } of updates) if (gone.length === 0 || !gone.includes(boardId)) ids[boardId] = id
  return ids
}

/** The updates of a block, as views into it. Throws RangeError where the block is not whole or names a board it has not. */
export function unpacked({ boards, block }: Batch): readonly DraftUpdate[] {
  const boardIds = boardIdsOf(boards)
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
