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
  terminate(): void
}

/** A worker that has said nothing by then is started anew, with twice the time: a browser can lose its file, as where a newer service worker
 *  takes over in that moment. */
const COMES_UP_MS = 8000
/** So many that could not be loaded one after the other are a fault that is told. */
const MOST_FAILED = 3
const AFTER_FAILED_MS = 500

interface Waiting {
  readonly ask: Ask
  readonly resolve: (value: unknown) => void
  readonly reject: (error: Error) => void
}

export class Theory {
  readonly #start: () => WorkerLike
  #worker: WorkerLike | undefined
  #next = 1
  readonly #waiting = new Map<number, Waiting>()
  #isUp = false
  #failed = 0
  #timer: ReturnType<typeof setTimeout> | undefined

  /** `start` makes the worker; it is called with the first question. */
  constructor(start: () => WorkerLike) {
    this.#start = start
  }

  ask<K extends keyof Calls>(call: K, ...args: Parameters<Calls[K]>): Promise<ReturnType<Calls[K]>> {
    const worker = (this.#worker ??= this.#opened())
    const id = this.#next++
    return new Promise((resolve, reject) => {
      const ask = { id, call, args } as Ask
      this.#waiting.set(id, { ask, resolve: resolve as (value: unknown) => void, reject })
      worker.postMessage(ask)
    })
  }

  #opened(patienceMs = COMES_UP_MS): WorkerLike {
    const worker = this.#start()
    this.#isUp = false
    this.#timer = setTimeout(() => this.#anew(patienceMs * 2), patienceMs)
    worker.onmessage = ({ data }) => {
      this.#isUp = true
      this.#failed = 0
      clearTimeout(this.#timer)
      const waiting = this.#waiting.get(data.id)
      this.#waiting.delete(data.id)
      if (data.ok) waiting?.resolve(data.value)
      else waiting?.reject(new TheoryError(waiting.ask.call, data.message))
    }
    worker.onerror = (event) => {
      if (!this.#isUp && ++this.#failed < MOST_FAILED) {
        clearTimeout(this.#timer)
        this.#timer = setTimeout(() => this.#anew(patienceMs), AFTER_FAILED_MS)
        return
      }
      for (const [id, { reject, ask }] of this.#waiting) {
        this.#waiting.delete(id)
        reject(new TheoryError(ask.call, event.message || 'it stopped'))
      }
      if (!this.#isUp) this.#close()
    }
    return worker
  }

  /** What was asked is not wanted any more: the worker ends, and whoever waits is told so. The next question starts another. */
  abandon(): void {
    this.#close()
    const waiting = [...this.#waiting.values()]
    this.#waiting.clear()
    for (const { reject, ask } of waiting) reject(new TheoryError(ask.call, 'it was left'))
  }

  /** Another worker, asked everything that waits for an answer, in order. */
  #anew(patienceMs: number): void {
    this.#close()
    const worker = (this.#worker = this.#opened(patienceMs))
    for (const { ask } of this.#waiting.values()) worker.postMessage(ask)
  }

  #close(): void {
    clearTimeout(this.#timer)
    const worker = this.#worker
    this.#worker = undefined
    if (!worker) return
    worker.onmessage = worker.onerror = null
    worker.terminate()
  }
}

/** The page's own worker, a module of its own so that the music stays out of the first load. */
export function startTheory(): Theory {
  return new Theory(
    () => new Worker(new URL('./theory-worker.ts', import.meta.url), { type: 'module', name: 'chartloft-theory' }),
  )
}
