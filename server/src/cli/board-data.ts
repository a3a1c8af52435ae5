/** `export`, `import`, `link`, `recount`, `backup`, `restore`: boards in a data folder or a Postgres database, with or without a running server. */
import { existsSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import type { Role } from '@chartloft/shared-theory/board'
import { openKeyring } from '../access/secret.js'
import { writeBoardFile } from '../boards/board-file.js'
import { importBoard } from '../boards/boards.js'
import { readConfig } from '../config.js'
import { Refusal, StoreError, messageOf } from '../errors.js'
import { Commands } from '../ledger/commands.js'
import { Ledgers } from '../ledger/ledger.js'
import { LIMITS } from '../limits.js'
import { Draft } from '../rooms/draft.js'
import { type Place, backUp, restore } from '../store/copy-store.js'
import { makeFolder } from '../store/make-folder.js'
import { openPostgres } from '../store/postgres.js'
import { DATABASE_FILE, openSqlite } from '../store/sqlite.js'
import { KeptTally } from '../store/kept-tally.js'
import type { Store } from '../store/store.js'
import { JOBS } from '../workers/jobs.js'
import type { RunJob } from '../workers/pool.js'
import { readBytes } from './tune-file.js'
import { UsageError } from './usage.js'

type Environment = { readonly [name: string]: string | undefined }

/** Where the boards are: the folder of `--data`, else the database of DATABASE_URL. */
export interface BoardPlace {
  readonly dataDir: string | undefined
  readonly env: Environment
}

/** Writes the board file; UsageError where there is no such board. */
export async function exportFile(boardId: string, place: BoardPlace, out: string): Promise<void> {
  await withStore(place, false, async (store) => {
    if (!(await store.board(boardId))) throw noBoard(boardId, place)
    const draft = new Draft(await store.loadDraft(boardId), () => undefined)
    const file = await writeBoardFile(store, boardId, draft.since(), Date.now())
    draft.destroy()
    try {
      writeFileSync(out, `${JSON.stringify(file)}\n`)
    } catch (error) {
      throw new UsageError(`--out '${out}' cannot be written (${(error as NodeJS.ErrnoException).code ?? 'unknown'}).`)
    }
  })
}

/** Takes a board file in; answers with its id and fresh links. The id is kept where it is free. */
export async function importFile(path: string, place: BoardPlace): Promise<object> {
  const text = readBytes(path, LIMITS.importBytes).toString('utf8')
  let json: unknown
  try {
    json = JSON.parse(text)
  } catch {
    throw new UsageError(`'${path}' is no JSON: a board file was expected.`)
  }
  return withStore(place, true, (store) =>
    importBoard({ ...servicesOf(store, place), maxBoards: Infinity }, json, true),
  )
}

/** A new link's path: '/b/<id>#<token>'. */
export async function newLink(boardId: string, role: Role, place: BoardPlace): Promise<string> {
  return withStore(place, false, async (store) => {
    if (!(await store.board(boardId))) throw noBoard(boardId, place)
    const services = servicesOf(store, place)
    const commands = new Commands({
      ...services,
      ledgers: new Ledgers(store, services.now),
      maxLedgerRows: Infinity,
      accepted: () => undefined,
    })
    const answer = await commands.giveAsServer(boardId, 'issueLink', { role })
    return String(answer['link'])
  })
}

/** Every poll of a board counted from its ballots and held against its tally. What does not agree stays as it is, or is put right with `mend`. */
export async function recountBoard(
  boardId: string,
  place: BoardPlace,
  mend: boolean,
): Promise<{ readonly lines: readonly string[]; readonly isRight: boolean }> {
  return withStore(place, false, async (store) => {
    if (!(await store.board(boardId))) throw noBoard(boardId, place)
    const lines: string[] = []
    let isRight = true
    for (const pollId of await store.pollIds(boardId)) {
      const found = await store.recount(pollId, mend)
      if (!found) continue
      const { voters } = KeptTally.read(found.counted)
      const isEqual = found.kept === found.counted
      isRight &&= isEqual
      lines.push(
        isEqual
          ? `${pollId}: ${voters} ballots, tally and recount are equal`
          : `${pollId}: ${voters} ballots, but the tally says otherwise${mend ? '; it is put right' : ''}: kept ${found.kept}, counted ${found.counted}`,
      )
    }
    return { lines, isRight }
  })
}

/** Where links lead, as `serve` would print it. */
export function addressOf(env: Environment): string {
  const { publicUrl, host, port } = readConfig(env)
  return publicUrl ?? `http://${host === '0.0.0.0' || host === '::' ? '127.0.0.1' : host}:${port}`
}

/** Everything into one file. Answers with a sentence that says how much it was. */
export async function backUpTo(out: string, place: BoardPlace): Promise<string> {
  requireBoards(place)
  const boards = await said(`--out '${out}'`, place, () => backUp(placeOf(place), out))
  return `${boards} board${boards === 1 ? '' : 's'} in '${out}'. The secret is not in it: keep a copy of SECRET_FILE elsewhere.`
}

/** Such a file into an empty folder or database. */
export async function restoreFrom(file: string, place: BoardPlace): Promise<string> {
  if (!existsSync(file)) throw new UsageError(`'${file}' is not there.`)
  if (place.dataDir !== undefined) makeFolder(place.dataDir)
  const boards = await said(`'${file}'`, place, () => restore(file, placeOf(place)))
  return `${boards} board${boards === 1 ? '' : 's'} restored. Links work with the secret they were made with; 'chartloft link' makes new ones.`
}

async function said<T>(what: string, place: BoardPlace, run: () => Promise<T>): Promise<T> {
  try {
    return await run()
  } catch (error) {
    throw new UsageError(`${what} and ${nameOf(place)} do not go together: ${messageOf(error)}.`)
  }
}

function placeOf({ dataDir, env }: BoardPlace): Place {
  if (dataDir !== undefined) return { dataDir, file: DATABASE_FILE }
  const { databaseUrl } = readConfig({ DATABASE_URL: env['DATABASE_URL'] })
  if (databaseUrl === undefined) throw new UsageError('--data is missing, and DATABASE_URL is not set either.')
  return { databaseUrl }
}

const nameOf = ({ dataDir }: BoardPlace): string => (dataDir === undefined ? 'DATABASE_URL' : `--data '${dataDir}'`)

function requireBoards({ dataDir }: BoardPlace): void {
  if (dataDir !== undefined && !existsSync(join(dataDir, DATABASE_FILE)))
    throw new UsageError(`--data '${dataDir}' holds no boards.`)
}

async function withStore<T>(place: BoardPlace, create: boolean, use: (store: Store) => Promise<T>): Promise<T> {
  const where = placeOf(place)
  if (!create) requireBoards(place)
  let store: Store | undefined
  try {
    store = await ('databaseUrl' in where
      ? openPostgres(where.databaseUrl)
      : openSqlite({ dataDir: where.dataDir, maxDataMb: readConfig({}).maxDataMb, create }))
    return await use(store)
  } catch (error) {
    if (error instanceof Refusal) throw new UsageError(error.message)
    if (error instanceof StoreError) throw new UsageError(`${nameOf(place)} cannot be used: ${messageOf(error)}.`)
    throw error
  } finally {
    await store?.close()
  }
}

function servicesOf(store: Store, { dataDir, env }: BoardPlace) {
  const secretFile = env['SECRET_FILE'] ?? join(dataDir ?? readConfig({ DATA_DIR: env['DATA_DIR'] }).dataDir, 'secret')
  return { store, keyring: openKeyring(secretFile), run: runHere, now: () => Date.now() }
}

/** No room waits here: jobs run where they are. */
const runHere: RunJob = (name, ...args) => {
  const run = JOBS[name] as unknown as (...given: typeof args) => ReturnType<(typeof JOBS)[typeof name]>
  return Promise.resolve(run(...args))
}

const noBoard = (boardId: string, place: BoardPlace): UsageError =>
  new UsageError(`There is no board '${boardId}' in ${nameOf(place)}.`)
