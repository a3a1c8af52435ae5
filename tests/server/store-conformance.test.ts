/** The stores side by side: the same suite on SQLite's file and in Postgres. */
import { createRequire } from 'node:module'
import { join } from 'node:path'
import { afterAll, describe } from 'vitest'
import { openPostgres } from '../../server/src/store/postgres.js'
import type { Store } from '../../server/src/store/store.js'
import type * as WorkerStore from '../../server/src/store/worker-store.js'
import { type PrivatePostgres, sayMissing, startPostgres } from './databases.js'
import { ROOT, cleanUp, freshFolder } from './harness.js'
import { type Engine, storeConformance } from './store-conformance.js'

afterAll(cleanUp)

/** SQLite's file is one process's, and is written by one thread of it: the very thread the server has. Both stores of a test are that one. */
async function openThread(dataDir: string): Promise<Store> {
  const built = join(ROOT, 'server/dist/store/worker-store.js')
  const { openWorkerStore } = (await import(built)) as typeof WorkerStore
  return openWorkerStore({ dataDir, maxDataMb: 64 })
}

type Sqlite = new (path: string) => { exec(sql: string): void; close(): void }

function byHand(dataDir: string, text: string): void {
  const Database = createRequire(join(ROOT, 'server/package.json'))('better-sqlite3') as Sqlite
  const database = new Database(join(dataDir, 'chartloft.sqlite'))
  database.exec(text)
  database.close()
}

const spoiling = (pollId: string, counts: string | undefined): string =>
  counts === undefined
    ? `delete from tallies where poll_id = '${pollId}'`
    : `update tallies set counts = '${counts}' where poll_id = '${pollId}'`

function sqlite(): Engine {
  let dataDir = ''
  let thread: Promise<Store> | undefined
  return {
    name: 'SQLite',
    begin: () => Promise.resolve(),
    end: () => Promise.resolve(),
    fresh: () => {
      dataDir = freshFolder()
      thread = undefined
      return Promise.resolve()
    },
    open: () => (thread ??= openThread(dataDir)),
    damage: async (boardId, where) =>
      byHand(
        dataDir,
        where === 'snapshot'
          ? `update snapshots set bytes = x'00ff' where board_id = '${boardId}'`
          : `update log set bytes = x'00ff' where boards = '${boardId}'; update tails set bytes = x'00ff' where board_id = '${boardId}'`,
      ),
    spoilTally: async (pollId, counts) => byHand(dataDir, spoiling(pollId, counts)),
  }
}

function postgres(): Engine {
  let server: PrivatePostgres
  let databaseUrl = ''
  return {
    name: 'Postgres',
    async begin() {
      server = await startPostgres()
    },
    end: () => server.stop(),
    async fresh() {
      databaseUrl = await server.newDatabase()
    },
    open: () => openPostgres(databaseUrl),
    async damage(boardId, where) {
      const table = where === 'snapshot' ? 'snapshots' : 'tails'
      await server.query(databaseUrl, `update ${table} set bytes = '\\x00ff' where board_id = $1`, [boardId])
    },
    async spoilTally(pollId, counts) {
      await server.query(databaseUrl, spoiling(pollId, counts))
    },
  }
}

/** [ST1] [ST2] [ST3] [ST4] [ST5] [ST6], [DU2], [DU4], [PO1] and [PO4] stand at their cases in store-conformance.ts. */
storeConformance(sqlite())
const isThere = sayMissing('the store’s conformance suite on Postgres', { postgres: true })
describe.skipIf(!isThere)('with a Postgres of its own', () => storeConformance(postgres()))
