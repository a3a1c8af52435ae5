/** Worker threads for music, with a time and a memory limit each: a job that takes too much is ended alone. */
import { Worker } from 'node:worker_threads'
import { Refusal } from '../errors.js'
import { LIMITS } from '../limits.js'
import type { JobName, Jobs } from './jobs.js'
import type { JobCall, JobReply } from './music-worker.js'

/** Runs a job by name somewhere else; rejects with Refusal 'unavailable' where too many wait, 'invalid' where it takes too much. */
export type RunJob = <N extends JobName>(name: N, ...args: Parameters<Jobs[N]>) => Promise<ReturnType<Jobs[N]>>

interface Job {
  readonly name: JobName
  readonly args: readonly unknown[]
  readonly resolve: (value: never) => void
  readonly reject: (error: Error) => void
}

export class MusicPool {
  private readonly queue: Job[] = []
  private readonly idle: Worker[] = []
  private readonly all = new Set<Worker>()
  private lastId = 0
  private isClosed = false

  /** `onFault` hears of jobs that threw: that is never the user's doing. */
  constructor(
    private readonly size: number,
    private readonly onFault: (name: JobName, message: string) => void,
  ) {}

  readonly run: RunJob = (name, ...args) =>
    new Promise((resolve, reject) => {
      if (this.isClosed || this.queue.length >= LIMITS.jobQueue) {
        reject(new Refusal('unavailable', 'The server is busy; try again in a moment.'))
        return
      }
      this.queue.push({ name, args, resolve, reject })
      this.next()
    })

  /** Starts a thread ahead of the first job, so that nobody waits for it. */
  warm(): void {
    if (this.all.size === 0) this.idle.push(this.spawn())
  }

  async close(): Promise<void> {
    this.isClosed = true
    for (const job of this.queue.splice(0))
      job.reject(new Refusal('unavailable', 'The server is stopping; try again in a moment.'))
    await Promise.all([...this.all].map((worker) => worker.terminate()))
  }

  private next(): void {
    if (this.queue.length === 0) return
    const worker = this.idle.pop() ?? (this.all.size < this.size ? this.spawn() : undefined)
    const job = worker && this.queue.shift()
    if (worker && job) this.give(worker, job)
  }

  private give(worker: Worker, job: Job): void {
    const id = ++this.lastId
    const done = (isReusable: boolean) => {
      clearTimeout(timer)
      worker.off('message', onMessage).off('error', onError).off('exit', onExit)
      if (isReusable) this.idle.push(worker)
      else this.drop(worker)
      this.next()
    }
    const onMessage = (reply: JobReply) => {
      if (reply.id !== id) return
      done(true)
      if (reply.ok) job.resolve(reply.value as never)
      else {
        this.onFault(job.name, reply.message)
        job.reject(ourFault())
      }
    }
    const tooMuch = (what: string) => {
      done(false)
      job.reject(
        new Refusal('invalid', `This takes ${what} to work out.`, [
          { code: 'BF3', severity: 'error', path: '', message: `working this out takes ${what}; make it smaller` },
        ]),
      )
    }
    const onError = () => tooMuch('too much memory')
    const onExit = () => tooMuch('too much memory')
    const timer = setTimeout(() => tooMuch('too long'), LIMITS.jobMs)
    worker.on('message', onMessage).on('error', onError).on('exit', onExit)
    // oxlint-disable-next-line unicorn/require-post-message-target-origin -- reason: a thread, not a window
    worker.postMessage({ id, name: job.name, args: job.args } satisfies JobCall, movedBy(job))
  }

  private spawn(): Worker {
    const worker = new Worker(new URL('./music-worker.js', import.meta.url), {
      resourceLimits: { maxOldGenerationSizeMb: LIMITS.jobMemoryMb },
    })
    this.all.add(worker)
    worker.once('exit', () => this.forget(worker))
    worker.on('error', () => this.forget(worker))
    return worker
  }

  private drop(worker: Worker): void {
    this.forget(worker)
    void worker.terminate()
  }

  private forget(worker: Worker): void {
    this.all.delete(worker)
    const at = this.idle.indexOf(worker)
    if (at >= 0) this.idle.splice(at, 1)
  }
}

/** A file's bytes, megabytes at times, go to the thread as they are: whoever read them needs them no more, and a copy would hold the rooms up. */
function movedBy({ name, args: [bytes] }: Job): readonly ArrayBuffer[] {
  const isMoved = name === 'readBoardFile' && bytes instanceof Uint8Array && bytes.buffer instanceof ArrayBuffer
  return isMoved ? [bytes.buffer as ArrayBuffer] : []
}

const ourFault = (): Refusal =>
  new Refusal('invalid', 'This could not be worked out; the fault is in the program, and it is noted.', [
    { code: 'BF4', severity: 'error', path: '', message: 'the program stumbled over this; try it in a simpler form' },
  ])
