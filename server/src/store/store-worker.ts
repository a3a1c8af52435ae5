/** The thread that owns the database: takes calls by name, answers with values or coded errors. */
import { parentPort, workerData } from 'node:worker_threads'
import { must } from '../must.js'
import { StoreError, messageOf } from '../errors.js'
import { openSqlite, type SqliteOptions, type SqliteStore } from './sqlite.js'
import { storeError } from './store-errors.js'
import type { StoreCall, StoreReply } from './worker-store.js'

const port = must(parentPort, 'the store worker runs as a thread')
const answer = (reply: StoreReply) => port.postMessage(reply)
const refuse = (id: number, cause: unknown) => {
  const error = storeError(cause)
  answer({ id, ok: false, ...(error instanceof StoreError ? { code: error.code } : {}), message: messageOf(error) })
}

let store: SqliteStore | undefined
try {
  store = await openSqlite(workerData as SqliteOptions)
  answer({ id: 0, ok: true, value: undefined })
} catch (error) {
  refuse(0, error)
}

port.on('message', (call: StoreCall) => {
  void serve(call)
})

async function serve({ id, method, args }: StoreCall): Promise<void> {
  try {
    if (!store) throw new StoreError('disk', 'the store is not open')
    const run = store[method] as (...given: readonly unknown[]) => Promise<unknown>
    answer({ id, ok: true, value: await run.apply(store, [...args]) })
    if (method === 'close') port.close()
  } catch (error) {
    refuse(id, error)
  }
}
