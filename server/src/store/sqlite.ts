/** The store in one SQLite file: write-ahead log, full sync, one transaction a promise. Runs in its own thread; see worker-store.ts. */
import { join } from 'node:path'
import SqliteDatabase from 'better-sqlite3'
import type { LedgerEntry } from '@chartloft/shared-theory'
import type { Carried, Role } from '@chartloft/shared-theory/board'
import { Kysely, Migrator, SqliteDialect, sql } from 'kysely'
import { StoreError } from '../errors.js'
import { type Batch, packed, unpacked } from './batch.js'
import { checksum } from './checksum.js'
import { makeFolder } from './make-folder.js'
import { Log } from './log.js'
import { ballotOf, linkOf, pollOf } from './rows.js'
import { MIGRATIONS, type Tables } from './schema.js'
import { storeError, withCodes } from './store-errors.js'
import { applyEffects, insertRow, knownBoards, putSnapshot } from './transactions.js'
import type {
  Accepted,
  AcceptedAnswer,
  AuthorRecord,
  BallotRecord,
  BoardRow,
  DraftUpdate,
  Effect,
  LinkRecord,
  LiveSession,
  PollRecord,
  SessionRecord,
  Store,
  StoredDraft,
} from './store.js'

export const DATABASE_FILE = 'chartloft.sqlite'
const PAGE_BYTES = 4096
/** Ids of boards remembered as being there. */
const MOST_KNOWN = 10_000

export interface SqliteOptions {
  readonly dataDir: string
  readonly maxDataMb: number
  /** False for a look at a running server's file: nothing is created or migrated. */
  readonly create?: boolean
}

export interface SqliteStore extends Store {
  /** `appendUpdates` with what it writes made by the caller. */
  appendBatch(batch: Batch, authors: readonly AuthorRecord[]): ReturnType<Store['appendUpdates']>
}

/** Opens (and makes, and migrates) the database. Rejects with StoreError 'disk' where the folder cannot be written. */
export async function openSqlite(options: SqliteOptions): Promise<SqliteStore> {
  try {
    if (options.create !== false) makeFolder(options.dataDir)
    const database = new SqliteDatabase(join(options.dataDir, DATABASE_FILE), {
      fileMustExist: options.create === false,
      timeout: 5000,
    })
    database.pragma('journal_mode = WAL')
    database.pragma('synchronous = FULL')
    database.pragma('foreign_keys = ON')
    database.pragma('secure_delete = ON')
    database.pragma(`max_page_count = ${Math.max(64, Math.floor((options.maxDataMb * 1024 * 1024) / PAGE_BYTES))}`)
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

class OneFile implements SqliteStore {
  private readonly hot
  private readonly log: Log
  private readonly known = new Set<string>()

  constructor(
    private readonly db: Kysely<Tables>,
    private readonly database: SqliteDatabase.Database,
  ) {
    this.hot = {
      hasBoard: database.prepare('select 1 from boards where id = ?'),
      deleteBoard: database.prepare('delete from boards where id = ?'),
      addAuthor: database.prepare(
        `insert into authors (board_id, client_id, user_id, name, role, carried) values (?, ?, ?, ?, ?, ?)
         on conflict (board_id, client_id) do update set carried = coalesce(excluded.carried, carried) where user_id = excluded.user_id`,
      ),
    }
    this.log = new Log(database, (boardId) => this.isKnown(boardId))
  }

  async close(): Promise<void> {
    await this.db.destroy()
  }

  probe(now: number): Promise<void> {
    return this.setSetting('probe', String(now))
  }

  async setting(key: string): Promise<string | undefined> {
    const row = await this.db.selectFrom('settings').select('value').where('key', '=', key).executeTakeFirst()
    return row?.value
  }

  async setSetting(key: string, value: string): Promise<void> {
    await this.db
      .insertInto('settings')
      .values({ key, value })
      .onConflict((conflict) => conflict.column('key').doUpdateSet({ value }))
      .execute()
  }

  async countBoards(): Promise<number> {
    const row = await this.db
      .selectFrom('boards')
      .select((of) => of.fn.countAll<number>().as('count'))
      .executeTakeFirst()
    return row?.count ?? 0
  }

  async board(boardId: string): Promise<BoardRow | undefined> {
    const row = await this.db.selectFrom('boards').selectAll().where('id', '=', boardId).executeTakeFirst()
    return row && { boardId: row.id, title: row.title, seq: row.seq }
  }

  async createBoard(
    board: { boardId: string; title: string; createdAt: number },
    rows: readonly Accepted[],
    effects: readonly Effect[],
  ): Promise<void> {
    await this.db.transaction().execute(async (tx) => {
      await tx
        .insertInto('boards')
        .values({ id: board.boardId, title: board.title, created_at: board.createdAt, seq: rows.length })
        .execute()
      for (const row of rows) await insertRow(tx, board.boardId, row)
      await applyEffects(tx, effects)
    })
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

  async entries(boardId: string, after: number, limit: number): Promise<readonly LedgerEntry[]> {
    const rows = await this.db
      .selectFrom('ledger')
      .select(['seq', 'at', 'by_user', 'by_name', 'by_role', 'command'])
      .where('board_id', '=', boardId)
      .where('seq', '>', after)
      .orderBy('seq')
      .limit(limit)
      .execute()
    return rows.map((row) => ({
      seq: row.seq,
      at: row.at,
      by: { userId: row.by_user, name: row.by_name, role: row.by_role as LedgerEntry['by']['role'] },
      command: JSON.parse(row.command) as LedgerEntry['command'],
    }))
  }

  async answerOf(boardId: string, commandId: string): Promise<AcceptedAnswer | undefined> {
    const row = await this.db
      .selectFrom('ledger')
      .select(['by_user', 'request_hash', 'answer'])
      .where('board_id', '=', boardId)
      .where('command_id', '=', commandId)
      .executeTakeFirst()
    return row && { userId: row.by_user, requestHash: row.request_hash, answer: row.answer }
  }

  async appendEntry(boardId: string, accepted: Accepted, effects: readonly Effect[]): Promise<void> {
    await this.db.transaction().execute(async (tx) => {
      const { seq } = accepted.entry
      const moved = await tx
        .updateTable('boards')
        .set({ seq })
        .where('id', '=', boardId)
        .where('seq', '=', seq - 1)
        .executeTakeFirst()
      if (moved.numUpdatedRows !== 1n)
        throw new StoreError('behind', `the ledger of ${boardId} does not end at ${seq - 1}`)
      await insertRow(tx, boardId, accepted)
      await applyEffects(tx, effects)
    })
  }

  async linkByTokenHash(tokenHash: string): Promise<LinkRecord | undefined> {
    const row = await this.db.selectFrom('links').selectAll().where('token_hash', '=', tokenHash).executeTakeFirst()
    return row && linkOf(row)
  }

  async link(linkId: string): Promise<LinkRecord | undefined> {
    const row = await this.db.selectFrom('links').selectAll().where('id', '=', linkId).executeTakeFirst()
    return row && linkOf(row)
  }

  async links(boardId: string): Promise<readonly LinkRecord[]> {
    const rows = await this.db.selectFrom('links').selectAll().where('board_id', '=', boardId).execute()
    return rows.map(linkOf)
  }

  async session(sessionHash: string): Promise<LiveSession | undefined> {
    const row = await this.db
      .selectFrom('sessions')
      .innerJoin('links', 'links.id', 'sessions.link_id')
      .selectAll('sessions')
      .select(['links.expires_at', 'links.revoked'])
      .where('sessions.hash', '=', sessionHash)
      .executeTakeFirst()
    if (!row || row.revoked !== 0) return undefined
    return {
      sessionHash: row.hash,
      boardId: row.board_id,
      userId: row.user_id,
      name: row.name,
      role: row.role as Role,
      linkId: row.link_id,
      personal: row.personal !== 0,
      createdAt: row.created_at,
      ...(row.expires_at === null ? {} : { expiresAt: row.expires_at }),
    }
  }

  async putSession(session: SessionRecord): Promise<void> {
    const values = {
      board_id: session.boardId,
      user_id: session.userId,
      name: session.name,
      role: session.role,
      link_id: session.linkId,
      personal: Number(session.personal),
      created_at: session.createdAt,
    }
    await this.db
      .insertInto('sessions')
      .values({ hash: session.sessionHash, ...values })
      .onConflict((conflict) => conflict.column('hash').doUpdateSet(values))
      .execute()
  }

  async loadDraft(boardId: string): Promise<StoredDraft> {
    // The log first: what is spread meanwhile, by a server whose file is only looked at here, is then read twice, and not missed.
    const logged = this.log.of(boardId)
    const snapshot = await this.db
      .selectFrom('snapshots')
      .selectAll()
      .where('board_id', '=', boardId)
      .executeTakeFirst()
    const after = snapshot?.through_id ?? 0
    const spread = await this.db
      .selectFrom('tails')
      .selectAll()
      .where('board_id', '=', boardId)
      .where('id', '>', after)
      .orderBy('id')
      .execute()
    const authors = await this.db.selectFrom('authors').selectAll().where('board_id', '=', boardId).execute()
    const rows = [...spread.map((row) => ({ ...row, boardIds: [boardId] })), ...logged.filter(({ id }) => id > after)]
    for (const row of snapshot ? [snapshot, ...rows] : rows) {
      if (checksum(row.bytes) !== row.checksum)
        throw new StoreError('corrupt', `a stored piece of the draft of ${boardId} is damaged`)
    }
    return {
      ...(snapshot ? { snapshot: new Uint8Array(snapshot.bytes) } : {}),
      updates: rows
        .flatMap(({ boardIds, bytes }) => unpacked({ boardIds, block: bytes }))
        .filter((update) => update.boardId === boardId)
        .map(({ bytes }) => new Uint8Array(bytes)),
      throughId: rows.at(-1)?.id ?? after,
      authors: authors.map((row) => ({
        boardId,
        clientId: row.client_id,
        userId: row.user_id,
        name: row.name,
        role: row.role as Role,
        ...(row.carried ? { carried: JSON.parse(row.carried) as readonly Carried[] } : {}),
      })),
    }
  }

  appendUpdates(
    updates: readonly DraftUpdate[],
    authors: readonly AuthorRecord[],
  ): Promise<{ readonly [boardId: string]: number }> {
    return this.appendBatch(packed(updates), authors)
  }

  /** The one call that comes many times a second: prepared statements, one transaction, one row whatever it brings of however many boards. */
  appendBatch(batch: Batch, authors: readonly AuthorRecord[]): Promise<{ readonly [boardId: string]: number }> {
    return this.atOnce(() => {
      for (const { boardId, clientId, userId, name, role, carried } of authors)
        if (this.isKnown(boardId))
          this.hot.addAuthor.run(boardId, clientId, userId, name, role, carried ? JSON.stringify(carried) : null)
      return this.log.append(batch)
    })
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

  async compactDraft(boardId: string, snapshot: Uint8Array, throughId: number): Promise<void> {
    this.log.spread({ boardId, throughId })
    await this.db.transaction().execute(async (tx) => {
      if (!(await knownBoards(tx, [boardId])).has(boardId)) return
      await putSnapshot(tx, boardId, snapshot, throughId)
      await tx.deleteFrom('tails').where('board_id', '=', boardId).where('id', '<=', throughId).execute()
    })
  }

  async poll(pollId: string): Promise<PollRecord | undefined> {
    const row = await this.db.selectFrom('polls').selectAll().where('id', '=', pollId).executeTakeFirst()
    return row && pollOf(row)
  }

  async polls(boardId: string): Promise<readonly PollRecord[]> {
    const rows = await this.db
      .selectFrom('polls')
      .selectAll()
      .where('board_id', '=', boardId)
      .orderBy(sql`rowid`)
      .execute()
    return rows.map(pollOf)
  }

  async duePolls(now: number): Promise<readonly { readonly pollId: string; readonly boardId: string }[]> {
    const rows = await this.db
      .selectFrom('polls')
      .select(['id', 'board_id'])
      .where('closes_at', '<=', now)
      .where('open', '=', 1)
      .limit(100)
      .execute()
    return rows.map((row) => ({ pollId: row.id, boardId: row.board_id }))
  }

  putBallot(pollId: string, ballot: BallotRecord, now: number): Promise<boolean> {
    return this.db.transaction().execute(async (tx) => {
      const poll = await tx
        .selectFrom('polls')
        .select(['open', 'closes_at'])
        .where('id', '=', pollId)
        .executeTakeFirst()
      if (!poll || poll.open === 0 || (poll.closes_at !== null && poll.closes_at <= now)) return false
      const values = {
        ballot_id: ballot.ballotId,
        choices: ballot.choices,
        band: Number(ballot.band),
        personal: Number(ballot.personal),
      }
      await tx
        .insertInto('ballots')
        .values({ poll_id: pollId, voter: ballot.voter, ...values })
        .onConflict((conflict) => conflict.columns(['poll_id', 'voter']).doUpdateSet(values))
        .execute()
      return true
    })
  }

  async ballot(pollId: string, voter: string): Promise<BallotRecord | undefined> {
    const row = await this.db
      .selectFrom('ballots')
      .selectAll()
      .where('poll_id', '=', pollId)
      .where('voter', '=', voter)
      .executeTakeFirst()
    return row && ballotOf(row)
  }

  async ballots(pollId: string): Promise<readonly BallotRecord[]> {
    const rows = await this.db.selectFrom('ballots').selectAll().where('poll_id', '=', pollId).execute()
    return rows.map(ballotOf)
  }
}
