/** The store in one SQLite file: write-ahead log, full sync, one transaction a promise. Runs in its own thread; see worker-store.ts. */
import { join } from 'node:path'
import SqliteDatabase from 'better-sqlite3'
import { Kysely, Migrator, SqliteDialect, sql } from 'kysely'
import { type Appended, type Batch, lastIdsOf, packed } from './batch.js'
import { checksum } from './checksum.js'
import { Log } from './log.js'
import { makeFolder } from './make-folder.js'
import { MIGRATIONS, type Tables } from './schema.js'
import { SqlStore } from './sql-store.js'
import { storeError, withCodes } from './store-errors.js'
import type { AuthorRecord, DraftUpdate, Position, Store, StoredDraft } from './store.js'
import { storedDraft } from './stored-draft.js'

export const DATABASE_FILE = 'chartloft.sqlite'
const PAGE_BYTES = 4096
/** SQLite's own limit ("Implementation Limits For SQLite"). */
const MOST_PAGES = 4_294_967_294
/** Ids of boards remembered as being there. */
const MOST_KNOWN = 10_000

export interface SqliteOptions {
  readonly dataDir: string
  /** In the folder; the server's own where absent. */
  readonly file?: string
  readonly maxDataMb: number
  /** False for a look at a running server's file: nothing is created or migrated. */
  readonly create?: boolean
}

export interface SqliteStore extends Store {
  /** `appendUpdates` with what it writes made by the caller. */
  appendBatch(batch: Batch, authors: readonly AuthorRecord[]): Promise<Appended>
  /** Everything logged lies with its board afterwards. */
  settle(): Promise<void>
}

/** Opens (and makes, and migrates) the database. Rejects with StoreError 'disk' where the folder cannot be written. */
export async function openSqlite(options: SqliteOptions): Promise<SqliteStore> {
  try {
    if (options.create !== false) makeFolder(options.dataDir)
    const database = new SqliteDatabase(join(options.dataDir, options.file ?? DATABASE_FILE), {
      fileMustExist: options.create === false,
      timeout: 5000,
    })
    database.pragma('journal_mode = WAL')
    database.pragma('synchronous = FULL')
    database.pragma('foreign_keys = ON')
    database.pragma('secure_delete = ON')
    const mostPages = Math.floor((options.maxDataMb * 1024 * 1024) / PAGE_BYTES)
    database.pragma(`max_page_count = ${Math.min(MOST_PAGES, Math.max(64, mostPages))}`)
    const db = new Kysely<Tables>({ dialect: new SqliteDialect({ database }) })
    const { error } = await new Migrator({
      db,
      provider: { getMigrations: () => Promise.resolve(MIGRATIONS) },
    }).migrateToLatest()
    if (error) throw error
    return withCodes<SqliteStore>(new OneFile(db, database))
  } catch (error) {
    throw storeError(error)
  }
}

class OneFile extends SqlStore implements SqliteStore {
  private readonly hot
  private readonly log: Log
  private readonly known = new Set<string>()

  constructor(
    db: Kysely<Tables>,
    private readonly database: SqliteDatabase.Database,
  ) {
    super(db, sql`rowid`)
    this.hot = {
      hasBoard: database.prepare('select 1 from boards where id = ?'),
      deleteBoard: database.prepare('delete from boards where id = ?'),
      lastId: database.prepare(
        `select max(coalesce((select max(id) from tails where board_id = @boardId), 0),
                    coalesce((select through_id from snapshots where board_id = @boardId), 0)) as id`,
      ),
      putSnapshot: database.prepare(
        `insert into snapshots (board_id, through_id, bytes, checksum) values (?, ?, ?, ?) on conflict (board_id) do update
         set through_id = excluded.through_id, bytes = excluded.bytes, checksum = excluded.checksum where through_id <= excluded.through_id`,
      ),
      cutTail: database.prepare('delete from tails where board_id = ? and id <= ?'),
      addAuthor: database.prepare(
        `insert into authors (board_id, client_id, user_id, name, role, carried) values (?, ?, ?, ?, ?, ?)
         on conflict (board_id, client_id) do update set carried = coalesce(excluded.carried, carried) where user_id = excluded.user_id`,
      ),
    }
    this.log = new Log(database, (boardId) => this.isKnown(boardId))
  }

  async deleteBoard(boardId: string): Promise<void> {
    this.known.delete(boardId)
    await this.atOnce(() => {
      this.hot.deleteBoard.run(boardId)
      // Its edits leave the log: a board that is no more gets nothing.
      this.log.spread()
    })
    this.database.pragma('wal_checkpoint(TRUNCATE)')
  }

  async loadDraft(boardId: string, after = 0): Promise<StoredDraft> {
    // The log first: what is spread meanwhile, by a server whose file is only looked at here, is then read twice, and not missed.
    const logged = this.log.of(boardId)
    const snapshot = await this.db
      .selectFrom('snapshots')
      .selectAll()
      .where('board_id', '=', boardId)
      .executeTakeFirst()
    const from = Math.max(after, snapshot?.through_id ?? 0)
    const spread = await this.db
      .selectFrom('tails')
      .selectAll()
      .where('board_id', '=', boardId)
      .where('id', '>', from)
      .orderBy('id')
      .execute()
    const authors = await this.db.selectFrom('authors').selectAll().where('board_id', '=', boardId).execute()
    const rows = [...spread.map((row) => ({ ...row, boards: boardId })), ...logged.filter(({ id }) => id > from)]
    return storedDraft(boardId, snapshot, rows, authors, after)
  }

  async positions(boardIds: readonly string[]): Promise<ReadonlyMap<string, Position>> {
    const found = new Map<string, Position>()
    for (const boardId of boardIds) {
      const board = await this.board(boardId)
      if (board) found.set(boardId, { seq: board.seq, throughId: this.lastIdOf(boardId) })
    }
    return found
  }

  private lastIdOf(boardId: string): number {
    const row = this.hot.lastId.get({ boardId }) as { id: number }
    return this.log.of(boardId).at(-1)?.id ?? row.id
  }

  appendUpdates(
    updates: readonly DraftUpdate[],
    authors: readonly AuthorRecord[],
  ): Promise<{ readonly [boardId: string]: number }> {
    const batch = packed(updates)
    return this.appendBatch(batch, authors).then((appended) => lastIdsOf(updates, appended))
  }

  /** The one call that comes many times a second: prepared statements, one transaction, one row whatever it brings of however many boards. */
  appendBatch(batch: Batch, authors: readonly AuthorRecord[]): Promise<Appended> {
    return this.atOnce(() => {
      for (const { boardId, clientId, userId, name, role, carried } of authors)
        if (this.isKnown(boardId))
          this.hot.addAuthor.run(boardId, clientId, userId, name, role, carried ? JSON.stringify(carried) : null)
      return this.log.append(batch)
    })
  }

  settle(): Promise<void> {
    return this.atOnce(() => this.log.spread())
  }

  /** Boards are deleted by this thread only, so one found once is there until then. */
  private isKnown(boardId: string): boolean {
    if (this.known.has(boardId)) return true
    if (this.hot.hasBoard.get(boardId) === undefined) return false
    if (this.known.size >= MOST_KNOWN) this.known.clear()
    this.known.add(boardId)
    return true
  }

  /** better-sqlite3 works synchronously: a rejected promise where it throws. */
  private atOnce<T>(work: () => T): Promise<T> {
    try {
      return Promise.resolve(this.database.transaction(work)())
    } catch (error) {
      return Promise.reject(error as Error)
    }
  }

  /** In one transaction: what the snapshot holds leaves the log with it or not at all. */
  compactDraft(boardId: string, snapshot: Uint8Array, throughId: number): Promise<void> {
    return this.atOnce(() => {
      if (!this.isKnown(boardId)) return
      this.hot.putSnapshot.run(boardId, throughId, snapshot, checksum(snapshot))
      this.hot.cutTail.run(boardId, throughId)
      this.log.spread({ boardId, throughId })
    })
  }
}
