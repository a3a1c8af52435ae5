/** A whole store from one place into another: a backup is one SQLite file, whatever database it was taken from, and goes back into either. */
import { chmodSync, existsSync, renameSync, rmSync } from 'node:fs'
import { basename, dirname, join } from 'node:path'
import SqliteDatabase from 'better-sqlite3'
import { Kysely, PostgresDialect, SqliteDialect, sql, type Transaction } from 'kysely'
import { StoreError } from '../errors.js'
import { openPool } from './postgres-client.js'
import { openPostgres } from './postgres.js'
import type { Tables } from './schema.js'
import { openSqlite } from './sqlite.js'
import { storeError } from './store-errors.js'

/** A store as the command line names it. */
export type Place = { readonly dataDir: string; readonly file: string } | { readonly databaseUrl: string }

const ROWS_AT_ONCE = 300
const BY_BOARD = ['ledger', 'links', 'sessions', 'snapshots', 'tails', 'authors'] as const

/** Writes everything in `place`, as it is at one moment, into a new file; a server may run on it meanwhile. Answers with the number of boards. */
export async function backUp(place: Place, file: string): Promise<number> {
  return inNewFile(file, async (unfinished) => {
    if ('databaseUrl' in place) await fromPostgres(place.databaseUrl, unfinished)
    else vacuumInto(join(place.dataDir, place.file), unfinished)
    return boardsIn(unfinished)
  })
}

/** Puts a backup into an empty place. Rejects with StoreError 'duplicate' where boards are there already. */
export async function restore(file: string, place: Place): Promise<number> {
  if (!('databaseUrl' in place)) {
    return inNewFile(join(place.dataDir, place.file), (unfinished) => {
      vacuumInto(file, unfinished)
      return boardsIn(unfinished)
    })
  }
  // A copy of it is brought up to date: the backup stays as it is.
  const copy = `${file}.restoring`
  rmSync(copy, { force: true })
  try {
    vacuumInto(file, copy)
    const boards = await boardsIn(copy)
    await intoPostgres(copy, place.databaseUrl)
    return boards
  } finally {
    removeDatabase(copy)
  }
}

/** The file has its name only when it is whole. */
async function inNewFile<T>(file: string, write: (unfinished: string) => Promise<T>): Promise<T> {
  if (existsSync(file)) throw new StoreError('duplicate', `'${file}' is there already`)
  const unfinished = `${file}.unfinished`
  removeDatabase(unfinished)
  try {
    const done = await write(unfinished)
    // What is in it is nobody else's business.
    chmodSync(unfinished, 0o600)
    renameSync(unfinished, file)
    return done
  } catch (error) {
    throw storeError(error)
  } finally {
    removeDatabase(unfinished)
  }
}

function removeDatabase(file: string): void {
  for (const end of ['', '-wal', '-shm']) rmSync(`${file}${end}`, { force: true })
}

function vacuumInto(from: string, to: string): void {
  const database = new SqliteDatabase(from, { readonly: true, fileMustExist: true })
  try {
    // An empty file is an empty database to SQLite.
    if (!database.prepare(`select 1 from sqlite_master where type = 'table' and name = 'boards'`).get())
      throw new StoreError('corrupt', 'there is no store in it')
    database.prepare('vacuum into ?').run(to)
  } finally {
    database.close()
  }
}

/** Opens a file as a store would, with every step of its schema, checks it whole, and counts its boards. */
async function boardsIn(file: string): Promise<number> {
  const store = await openSqlite({ dataDir: dirname(file), file: basename(file), maxDataMb: Infinity, create: false })
  let boards: number
  try {
    await store.settle()
    boards = await store.countBoards()
  } finally {
    await store.close()
  }
  const database = new SqliteDatabase(file)
  try {
    const wrong = database.pragma('integrity_check', { simple: true })
    if (wrong !== 'ok') throw new StoreError('corrupt', `'${file}' is damaged: ${String(wrong)}`)
    // One file and nothing beside it.
    database.pragma('journal_mode = DELETE')
  } finally {
    database.close()
  }
  return boards
}

async function fromPostgres(databaseUrl: string, file: string): Promise<void> {
  await (await openPostgres(databaseUrl)).close()
  const empty = await openSqlite({ dataDir: dirname(file), file: basename(file), maxDataMb: Infinity })
  await empty.close()
  const database = new SqliteDatabase(file)
  const target = new Kysely<Tables>({ dialect: new SqliteDialect({ database }) })
  const source = new Kysely<Tables>({ dialect: new PostgresDialect({ pool: openPool(databaseUrl, () => undefined) }) })
  try {
    await source
      .transaction()
      .setIsolationLevel('repeatable read')
      .setAccessMode('read only')
      .execute((from) => target.transaction().execute((to) => copyAll(from, to, sql`made`)))
    // What is logged from now on counts on from the highest id a board has had.
    database.exec(
      `delete from sqlite_sequence where name = 'log';
       insert into sqlite_sequence (name, seq) select 'log', max(coalesce((select max(id) from tails), 0), coalesce((select max(through_id) from snapshots), 0))`,
    )
  } finally {
    await target.destroy()
    await source.destroy()
  }
}

async function intoPostgres(file: string, databaseUrl: string): Promise<void> {
  const store = await openPostgres(databaseUrl)
  try {
    if ((await store.countBoards()) > 0) throw new StoreError('duplicate', 'the database holds boards already')
  } finally {
    await store.close()
  }
  const source = new Kysely<Tables>({
    dialect: new SqliteDialect({ database: new SqliteDatabase(file, { readonly: true }) }),
  })
  const target = new Kysely<Tables>({ dialect: new PostgresDialect({ pool: openPool(databaseUrl, () => undefined) }) })
  try {
    await target.transaction().execute(async (to) => {
      await copyAll(source, to, sql`rowid`, async (boardId) => {
        await to.insertInto('drafts').values({ board_id: boardId, last_id: 0 }).execute()
      })
      await sql`update drafts set last_id = greatest(
        coalesce((select max(id) from tails where tails.board_id = drafts.board_id), 0),
        coalesce((select through_id from snapshots where snapshots.board_id = drafts.board_id), 0))`.execute(to)
    })
  } finally {
    await source.destroy()
    await target.destroy()
  }
}

/** Board by board, so that memory holds one at a time. */
async function copyAll(
  from: Kysely<Tables>,
  to: Transaction<Tables>,
  pollOrder: ReturnType<typeof sql>,
  prepare: (boardId: string) => Promise<void> = () => Promise.resolve(),
): Promise<void> {
  for (const row of await from.selectFrom('settings').selectAll().execute())
    await to
      .insertInto('settings')
      .values(row)
      .onConflict((conflict) => conflict.column('key').doUpdateSet({ value: row.value }))
      .execute()
  for (const board of await from.selectFrom('boards').selectAll().orderBy('created_at').execute()) {
    await to.insertInto('boards').values(board).execute()
    await prepare(board.id)
    for (const table of BY_BOARD)
      await insertAll(to, table, await from.selectFrom(table).selectAll().where('board_id', '=', board.id).execute())
    const polls = await from
      .selectFrom('polls')
      .selectAll()
      .where('board_id', '=', board.id)
      .orderBy(pollOrder)
      .execute()
    // The order they are inserted in is the order they were made in.
    for (const poll of polls) {
      const { made: _made, ...row } = poll as typeof poll & { made?: number }
      await insertAll(to, 'polls', [row])
      const ballots = await from.selectFrom('ballots').selectAll().where('poll_id', '=', poll.id).execute()
      await insertAll(to, 'ballots', ballots)
    }
  }
}

async function insertAll(to: Transaction<Tables>, table: keyof Tables, rows: readonly object[]): Promise<void> {
  for (let at = 0; at < rows.length; at += ROWS_AT_ONCE)
    await to
      .insertInto(table)
      .values(rows.slice(at, at + ROWS_AT_ONCE) as never)
      .execute()
}
