/** The store behind a thread of its own: a slow disk stalls no room. Every call is a message there and one back. */
import { Worker } from 'node:worker_threads'
import { StoreError, type StoreErrorCode } from '../errors.js'
import { type Appended, lastIdsOf, packed } from './batch.js'
import type { SqliteOptions, SqliteStore } from './sqlite.js'
import type { Store } from './store.js'

export interface StoreCall {
  readonly id: number
  readonly method: keyof SqliteStore
  readonly args: readonly unknown[]
}
export type StoreReply =
  | { readonly id: number; readonly ok: true; readonly value: unknown }
  | { readonly id: number; readonly ok: false; readonly code?: StoreErrorCode; readonly message: string }

/** Opens the SQLite store in a worker thread. Rejects with StoreError where it cannot be written. */
export async function openWorkerStore(options: SqliteOptions): Promise<Store> {
  const worker = new Worker(new URL('./store-worker.js', import.meta.url), { workerData: options })
  const waiting = new Map<number, { resolve: (value: unknown) => void; reject: (error: Error) => void }>()
  let lastId = 0
  let ended: Error | undefined
  const failAll = (error: Error) => {
    ended = error
    for (const call of waiting.values()) call.reject(error)
    waiting.clear()
  }
  worker.on('message', (reply: StoreReply) => {
    const call = waiting.get(reply.id)
    waiting.delete(reply.id)
    if (!call) return
    if (reply.ok) call.resolve(reply.value)
    else call.reject(reply.code ? new StoreError(reply.code, reply.message) : new Error(reply.message))
  })
  worker.on('error', failAll)
  worker.on('exit', () => failAll(new StoreError('disk', 'the store has ended')))
  const call = (
    id: number,
    method: StoreCall['method'],
    args: readonly unknown[],
    moved: readonly ArrayBuffer[] = [],
  ): Promise<unknown> => {
    if (ended) return Promise.reject(ended)
    return new Promise((resolve, reject) => {
      waiting.set(id, { resolve, reject })
      // oxlint-disable-next-line unicorn/require-post-message-target-origin -- reason: a thread, not a window
      worker.postMessage({ id, method, args } satisfies StoreCall, moved)
    })
  }
  // Call 0 is the opening itself: the worker answers it once the file is open.
  try {
    await new Promise<unknown>((resolve, reject) => waiting.set(0, { resolve, reject }))
  } catch (error) {
    await worker.terminate()
    throw error
  }
  const appendUpdates: Store['appendUpdates'] = (updates, authors) => {
    const batch = packed(updates)
    const made = call(++lastId, 'appendBatch', [batch, authors], [batch.block.buffer as ArrayBuffer])
    return made.then((appended) => lastIdsOf(updates, appended as Appended))
  }
  return new Proxy({} as Store, {
    get(_target, method) {
      if (typeof method !== 'string' || method === 'then') return undefined
      if (method === 'appendUpdates') return appendUpdates
      return (...args: readonly unknown[]) => call(++lastId, method as keyof Store, args)
    },
  })
}
