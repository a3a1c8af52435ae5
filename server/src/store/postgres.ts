/** The store in a Postgres database that several server processes share. */
import { Kysely, Migrator, PostgresDialect, type Transaction, sql } from 'kysely'
import { must } from '../must.js'
import { type Batch, packed } from './batch.js'
import { ballotInsert, tallyInsert } from './ballots.js'
import { checksum } from './checksum.js'
import type { KeptTally } from './kept-tally.js'
import { openPool } from './postgres-client.js'
import { POSTGRES_MIGRATIONS } from './postgres-schema.js'
import type { Tables } from './schema.js'
import { SqlStore } from './sql-store.js'
import { codeOf, storeError, withCodes } from './store-errors.js'
import type { AuthorRecord, BallotRecord, DraftUpdate, Position, Store, StoredDraft } from './store.js'
import { storedDraft } from './stored-draft.js'
import { putSnapshot } from './transactions.js'

/** Two transactions in each other's way: one is undone by the database and tried again. */
const IN_THE_WAY = new Set(['40001', '40P01'])
const TRIES = 4

/** Opens the database and brings its tables up to date; of several processes at once the first does. Rejects with StoreError. */
export async function openPostgres(
  databaseUrl: string,
  onLost: (error: Error) => void = () => undefined,
): Promise<Store> {
  const db = new Kysely<Tables>({ dialect: new PostgresDialect({ pool: openPool(databaseUrl, onLost) }) })
  try {
    const { error } = await new Migrator({
      db,
      provider: { getMigrations: () => Promise.resolve(POSTGRES_MIGRATIONS) },
    }).migrateToLatest()
    if (error) throw error
    return withCodes<Store>(new SharedDatabase(db))
  } catch (error) {
    await db.destroy()
    throw storeError(error)
  }
}

class SharedDatabase extends SqlStore {
  constructor(db: Kysely<Tables>) {
    super(db, sql`made`)
  }

  protected override async inTransaction<T>(work: (tx: Transaction<Tables>) => Promise<T>): Promise<T> {
    for (let tries = 1; ; tries++) {
      try {
        return await this.db.transaction().execute(work)
      } catch (error) {
        if (!IN_THE_WAY.has(codeOf(error) ?? '') || tries >= TRIES) throw error
      }
    }
  }

  protected override async prepareDraft(tx: Transaction<Tables>, boardId: string): Promise<void> {
    await tx.insertInto('drafts').values({ board_id: boardId, last_id: 0 }).execute()
  }

  /** Other processes' ballots wait, and who closes the poll; they come many at once, so that the wait is short. */
  protected override heldPoll(tx: Transaction<Tables>, pollId: string) {
    return tx
      .selectFrom('polls')
      .select(['open', 'closes_at'])
      .where('id', '=', pollId)
      .forNoKeyUpdate()
      .executeTakeFirst()
  }

  /** In one question: other processes wait for the end of it. */
  protected override async writeBallots(
    tx: Transaction<Tables>,
    pollId: string,
    ballots: readonly BallotRecord[],
    tally: KeptTally,
  ): Promise<void> {
    await ballotInsert(
      tx.with('counted', (db) => tallyInsert(db, pollId, tally)),
      pollId,
      ballots,
    ).execute()
  }

  async deleteBoard(boardId: string): Promise<void> {
    await this.inTransaction((tx) => tx.deleteFrom('boards').where('id', '=', boardId).execute())
  }

  /** Snapshot and tail as they were at one moment, whatever is compacted meanwhile. */
  loadDraft(boardId: string, after = 0): Promise<StoredDraft> {
    return this.db
      .transaction()
      .setIsolationLevel('repeatable read')
      .setAccessMode('read only')
      .execute(async (tx) => {
        const found = await tx
          .selectFrom('snapshots')
          .select('through_id')
          .where('board_id', '=', boardId)
          .executeTakeFirst()
        const isNews = found !== undefined && (after === 0 || found.through_id > after)
        const snapshot = isNews
          ? await tx.selectFrom('snapshots').selectAll().where('board_id', '=', boardId).executeTakeFirst()
          : undefined
        const rows = await tx
          .selectFrom('tails')
          .selectAll()
          .where('board_id', '=', boardId)
          .where('id', '>', Math.max(after, found?.through_id ?? 0))
          .orderBy('id')
          .execute()
        const authors = await tx.selectFrom('authors').selectAll().where('board_id', '=', boardId).execute()
        const blocks = rows.map((row) => ({ ...row, boards: boardId }))
        return storedDraft(boardId, snapshot, blocks, authors, after)
      })
  }

  async positions(boardIds: readonly string[]): Promise<ReadonlyMap<string, Position>> {
    if (boardIds.length === 0) return new Map()
    const rows = await this.db
      .selectFrom('boards')
      .innerJoin('drafts', 'drafts.board_id', 'boards.id')
      .select(['boards.id', 'boards.seq', 'drafts.last_id'])
      .where('boards.id', 'in', boardIds)
      .execute()
    return new Map(rows.map((row) => [row.id, { seq: row.seq, throughId: row.last_id }]))
  }

  /**
   * Counts the boards' updates on, each under the lock of its row in `drafts`, which holds until the commit. So a board's ids become visible in their
   * order: whoever sees one sees all below it, and a compaction can take "everything up to an id" without taking what another process is just about
   * to commit. A sequence would not do: of two transactions the one with the later number may commit first. Rows are locked in the order of their
   * boards, so that two processes never wait for each other.
   */
  appendUpdates(
    updates: readonly DraftUpdate[],
    authors: readonly AuthorRecord[],
  ): Promise<{ readonly [boardId: string]: number }> {
    const blocks = blocksOf(updates)
    const boardIds = [...new Set([...blocks.keys(), ...authors.map(({ boardId }) => boardId)])].toSorted()
    if (boardIds.length === 0) return Promise.resolve({})
    return this.inTransaction(async (tx) => {
      const known = await lockDrafts(tx, boardIds)
      for (const author of authors) if (known.has(author.boardId)) await putAuthor(tx, author)
      const ids = await countOn(
        tx,
        [...blocks.keys()].filter((boardId) => known.has(boardId)),
      )
      const rows = ids.map(([boardId, id]) => {
        const block = must(blocks.get(boardId), 'every id counted is of a block')
        return { board_id: boardId, id, bytes: Buffer.from(block), checksum: checksum(block) }
      })
      if (rows.length > 0) await tx.insertInto('tails').values(rows).execute()
      return Object.fromEntries(ids)
    })
  }

  compactDraft(boardId: string, snapshot: Uint8Array, throughId: number): Promise<void> {
    return this.inTransaction(async (tx) => {
      // Waits for a deletion, and lets nobody delete meanwhile; saving goes on beside it.
      const draft = await tx
        .selectFrom('drafts')
        .select('board_id')
        .where('board_id', '=', boardId)
        .forKeyShare()
        .executeTakeFirst()
      if (!draft) return
      await putSnapshot(tx, boardId, Buffer.from(snapshot), throughId)
      await tx.deleteFrom('tails').where('board_id', '=', boardId).where('id', '<=', throughId).execute()
    })
  }
}

/** Locks the boards' rows in `drafts`; those that are no more have none. */
async function lockDrafts(tx: Transaction<Tables>, boardIds: readonly string[]): Promise<ReadonlySet<string>> {
  const rows = await tx
    .selectFrom('drafts')
    .select('board_id')
    .where('board_id', 'in', boardIds)
    .orderBy('board_id')
    .forUpdate()
    .execute()
  return new Set(rows.map((row) => row.board_id))
}

/** The next id of each board; the caller holds their locks. */
async function countOn(
  tx: Transaction<Tables>,
  boardIds: readonly string[],
): Promise<readonly (readonly [string, number])[]> {
  if (boardIds.length === 0) return []
  const rows = await tx
    .updateTable('drafts')
    .set({ last_id: sql`last_id + 1` })
    .where('board_id', 'in', boardIds)
    .returning(['board_id', 'last_id'])
    .execute()
  return rows.map((row) => [row.board_id, row.last_id])
}

async function putAuthor(tx: Transaction<Tables>, author: AuthorRecord): Promise<void> {
  const { boardId, clientId, userId, name, role } = author
  const carried = author.carried ? JSON.stringify(author.carried) : null
  await tx
    .insertInto('authors')
    .values({ board_id: boardId, client_id: clientId, user_id: userId, name, role, carried })
    .onConflict((conflict) =>
      conflict
        .columns(['board_id', 'client_id'])
        .doUpdateSet({ carried: sql`coalesce(excluded.carried, authors.carried)` })
        .where('authors.user_id', '=', sql<string>`excluded.user_id`),
    )
    .execute()
}

/** Each board's updates as one block. */
function blocksOf(updates: readonly DraftUpdate[]): ReadonlyMap<string, Batch['block']> {
  const of = new Map<string, DraftUpdate[]>()
  for (const update of updates) of.set(update.boardId, [...(of.get(update.boardId) ?? []), update])
  return new Map([...of].map(([boardId, own]) => [boardId, packed(own).block]))
}
