/** The music worker's door: every call answers a promise, and the page never blocks. */
import type { Ask, Calls, Told } from './theory-protocol.js'

export class TheoryError extends Error {
  constructor(call: string, message: string) {
    super(`The music worker could not do '${call}': ${message}`)
    this.name = 'TheoryError'
  }
}

export interface WorkerLike {
  postMessage(ask: Ask): void
  onmessage: ((event: MessageEvent<Told>) => void) | null
  onerror: ((event: ErrorEvent) => void) | null
}

export class Theory {
  readonly #start: () => WorkerLike
  #worker: WorkerLike | undefined
  #next = 1
  readonly #waiting = new Map<
    number,
    { resolve: (value: unknown) => void; reject: (error: Error) => void; call: string }
  >()

  /** `start` makes the worker; it is called with the first question. */
  constructor(start: () => WorkerLike) {
    this.#start = start
  }

  ask<K extends keyof Calls>(call: K, ...args: Parameters<Calls[K]>): Promise<ReturnType<Calls[K]>> {
    const worker = (this.#worker ??= this.#opened())
    const id = this.#next++
    return new Promise((resolve, reject) => {
      this.#waiting.set(id, { resolve: resolve as (value: unknown) => void, reject, call })
      worker.postMessage({ id, call, args } as Ask)
    })
  }

  #opened(): WorkerLike {
    const worker = this.#start()
    worker.onmessage = ({ data }) => {
      const waiting = this.#waiting.get(data.id)
      this.#waiting.delete(data.id)
      if (data.ok) waiting?.resolve(data.value)
      else waiting?.reject(new TheoryError(waiting.call, data.message))
    }
    worker.onerror = (event) => {
      for (const [id, { reject, call }] of this.#waiting) {
        this.#waiting.delete(id)
        reject(new TheoryError(call, event.message || 'it stopped'))
      }
    }
    return worker
  }
}

/** The page's own worker, a module of its own so that the music stays out of the first load. */
export function startTheory(): Theory {
  return new Theory(
    () => new Worker(new URL('./theory-worker.ts', import.meta.url), { type: 'module', name: 'chartloft-theory' }),
  )
}
