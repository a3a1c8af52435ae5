/** The last state of each board this browser had open, so that it opens without a network: read-only, as it was last seen. */
import type { BoardState } from '@chartloft/shared-theory'
import type { Session } from '../sync/http.js'

export interface KeptBoard {
  readonly session: Session
  readonly state: BoardState
}

const DATABASE = 'chartloft'
const STORE = 'boards'
/** Written with each record; what another version wrote is not read. */
const SHAPE = 1

/** Every answer is `undefined` where the browser keeps nothing. */
export class KeptBoards {
  readonly #factory: IDBFactory | undefined
  #database: Promise<IDBDatabase> | undefined

  constructor(factory: IDBFactory | undefined) {
    this.#factory = factory
  }

  async read(boardId: string): Promise<KeptBoard | undefined> {
    const held = await this.#do<unknown>('readonly', (store) => store.get(boardId))
    return isKept(held) && held.session.boardId === boardId ? { session: held.session, state: held.state } : undefined
  }

  async keep(board: KeptBoard): Promise<void> {
    await this.#do('readwrite', (store) => store.put({ shape: SHAPE, ...board }, board.session.boardId))
  }

  async forget(boardId: string): Promise<void> {
    await this.#do('readwrite', (store) => store.delete(boardId))
  }

  async #do<T>(mode: IDBTransactionMode, act: (store: IDBObjectStore) => IDBRequest<T>): Promise<T | undefined> {
    if (!this.#factory) return undefined
    try {
      const database = await (this.#database ??= opened(this.#factory))
      return await answered(act(database.transaction(STORE, mode).objectStore(STORE)))
    } catch {
      // reason: a private window or a full disk keeps nothing; the board then needs a network
      return undefined
    }
  }
}

function opened(factory: IDBFactory): Promise<IDBDatabase> {
  const request = factory.open(DATABASE, 1)
  request.onupgradeneeded = () => request.result.createObjectStore(STORE)
  return answered(request)
}

function answered<T>(request: IDBRequest<T>): Promise<T> {
  return new Promise((resolve, reject) => {
    request.onsuccess = () => resolve(request.result)
    request.onerror = () => reject(request.error ?? new Error('the browser’s storage refused'))
  })
}

function isKept(value: unknown): value is KeptBoard & { readonly shape: number } {
  const held = value as { shape?: unknown; session?: { boardId?: unknown }; state?: { seq?: unknown } } | undefined
  return held?.shape === SHAPE && typeof held.session?.boardId === 'string' && typeof held.state?.seq === 'number'
}
