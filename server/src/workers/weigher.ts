/** Large updates are weighed in a thread of their own: those of an honest band do not wait behind somebody's tune. */
import { Worker } from 'node:worker_threads'
import { Refusal } from '../errors.js'
import { LIMITS } from '../limits.js'

interface Waiting {
  readonly resolve: (pieces: number | undefined) => void
  readonly reject: (error: Error) => void
}

export class Weigher {
  private worker: Worker | undefined
  private readonly waiting = new Map<number, Waiting>()
  private lastId = 0

  /** How many pieces an update has; undefined where it does not decode. Rejects with Refusal 'unavailable' where too many wait. */
  countPieces(update: Uint8Array): Promise<number | undefined> {
    return new Promise((resolve, reject) => {
      if (this.waiting.size >= LIMITS.jobQueue) {
        reject(busy())
        return
      }
      this.worker ??= this.spawn()
      this.waiting.set(++this.lastId, { resolve, reject })
      // oxlint-disable-next-line unicorn/require-post-message-target-origin -- reason: a thread, not a window
      this.worker.postMessage({ id: this.lastId, update })
    })
  }

  async close(): Promise<void> {
    await this.worker?.terminate()
  }

  private spawn(): Worker {
    const worker = new Worker(new URL('./weigh-worker.js', import.meta.url), {
      resourceLimits: { maxOldGenerationSizeMb: LIMITS.jobMemoryMb },
    })
    worker.on('message', ({ id, pieces }: { readonly id: number; readonly pieces: number | undefined }) => {
      this.waiting.get(id)?.resolve(pieces)
      this.waiting.delete(id)
    })
    worker.on('error', () => undefined)
    worker.once('exit', () => {
      this.worker = undefined
      for (const { reject } of this.waiting.values()) reject(busy())
      this.waiting.clear()
    })
    return worker
  }
}

const busy = (): Refusal => new Refusal('unavailable', 'The server is busy; try again in a moment.')
