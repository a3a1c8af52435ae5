/** `export`, `import`, `link`: boards in a data folder, with or without a running server. */
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
import { DATABASE_FILE, openSqlite } from '../store/sqlite.js'
import type { Store } from '../store/store.js'
import { JOBS } from '../workers/jobs.js'
import type { RunJob } from '../workers/pool.js'
import { readBytes } from './tune-file.js'
import { UsageError } from './usage.js'

type Environment = { readonly [name: string]: string | undefined }

/** Writes the board file; UsageError where there is no such board. */
export async function exportFile(boardId: string, dataDir: string, out: string): Promise<void> {
  await withStore(dataDir, false, async (store) => {
    if (!(await store.board(boardId))) throw noBoard(boardId, dataDir)
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
export async function importFile(path: string, dataDir: string, env: Environment): Promise<object> {
  const text = readBytes(path, LIMITS.importBytes).toString('utf8')
  let json: unknown
  try {
    json = JSON.parse(text)
  } catch {
    throw new UsageError(`'${path}' is no JSON: a board file was expected.`)
  }
  return withStore(dataDir, true, (store) =>
    importBoard({ ...servicesOf(store, dataDir, env), maxBoards: Infinity }, json, true),
  )
}

/** A new link's path: '/b/<id>#<token>'. */
export async function newLink(boardId: string, role: Role, dataDir: string, env: Environment): Promise<string> {
  return withStore(dataDir, false, async (store) => {
    if (!(await store.board(boardId))) throw noBoard(boardId, dataDir)
    const services = servicesOf(store, dataDir, env)
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

/** Where links lead, as `serve` would print it. */
export function addressOf(env: Environment): string {
  const { publicUrl, host, port } = readConfig(env)
  return publicUrl ?? `http://${host === '0.0.0.0' || host === '::' ? '127.0.0.1' : host}:${port}`
}

async function withStore<T>(dataDir: string, create: boolean, use: (store: Store) => Promise<T>): Promise<T> {
  if (!create && !existsSync(join(dataDir, DATABASE_FILE))) throw new UsageError(`--data '${dataDir}' holds no boards.`)
  let store: Store | undefined
  try {
    store = await openSqlite({ dataDir, maxDataMb: readConfig({}).maxDataMb, create })
    return await use(store)
  } catch (error) {
    if (error instanceof Refusal) throw new UsageError(error.message)
    if (error instanceof StoreError) throw new UsageError(`--data '${dataDir}' cannot be used: ${messageOf(error)}.`)
    throw error
  } finally {
    await store?.close()
  }
}

function servicesOf(store: Store, dataDir: string, env: Environment) {
  const secretFile = env['SECRET_FILE'] ?? join(dataDir, 'secret')
  return { store, keyring: openKeyring(secretFile), run: runHere, now: () => Date.now() }
}

/** No room waits here: jobs run where they are. */
const runHere: RunJob = (name, ...args) => {
  const run = JOBS[name] as unknown as (...given: typeof args) => ReturnType<(typeof JOBS)[typeof name]>
  return Promise.resolve(run(...args))
}

const noBoard = (boardId: string, dataDir: string): UsageError =>
  new UsageError(`There is no board '${boardId}' in '${dataDir}'.`)
