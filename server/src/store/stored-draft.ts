/** A board's draft out of its stored rows: every piece checked, those of other boards left out. */
import type { Carried, Role } from '@chartloft/shared-theory/board'
import type { Selectable } from 'kysely'
import { StoreError } from '../errors.js'
import { type Batch, unpacked } from './batch.js'
import { checksum } from './checksum.js'
import type { Tables } from './schema.js'
import type { AuthorRecord, StoredDraft } from './store.js'

/** A block of updates as it was committed. */
interface BlockRow {
  readonly id: number
  readonly boards: Batch['boards']
  readonly bytes: Uint8Array
  readonly checksum: number
}

/** `after`: what the reader has already; a snapshot that holds no more than that is left out. Throws StoreError 'corrupt' where a piece is damaged. */
export function storedDraft(
  boardId: string,
  snapshot: Selectable<Tables['snapshots']> | undefined,
  rows: readonly BlockRow[],
  authors: readonly Selectable<Tables['authors']>[],
  after: number,
): StoredDraft {
  const isNews = snapshot !== undefined && (after === 0 || snapshot.through_id > after)
  const pieces = isNews ? [snapshot, ...rows] : rows
  if (pieces.some((piece) => checksum(piece.bytes) !== piece.checksum))
    throw new StoreError('corrupt', `a stored piece of the draft of ${boardId} is damaged`)
  return {
    ...(isNews ? { snapshot: new Uint8Array(snapshot.bytes) } : {}),
    updates: rows
      .flatMap(({ boards, bytes }) => unpacked({ boards, block: bytes }))
      .filter((update) => update.boardId === boardId)
      .map(({ bytes }) => new Uint8Array(bytes)),
    throughId: rows.at(-1)?.id ?? Math.max(after, snapshot?.through_id ?? 0),
    authors: authors.map((row) => authorOf(boardId, row)),
  }
}

const authorOf = (boardId: string, row: Selectable<Tables['authors']>): AuthorRecord => ({
  boardId,
  clientId: row.client_id,
  userId: row.user_id,
  name: row.name,
  role: row.role as Role,
  ...(row.carried ? { carried: JSON.parse(row.carried) as readonly Carried[] } : {}),
})
