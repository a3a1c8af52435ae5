/** A thread that does music: takes a job by name, answers with its result. */
import { parentPort } from 'node:worker_threads'
import { messageOf } from '../errors.js'
import { must } from '../must.js'
import { JOBS, type JobName } from './jobs.js'
import { stepBack } from './step-back.js'

export interface JobCall {
  readonly id: number
  readonly name: JobName
  readonly args: readonly unknown[]
}
export type JobReply =
  | { readonly id: number; readonly ok: true; readonly value: unknown }
  | { readonly id: number; readonly ok: false; readonly message: string }

stepBack()
const port = must(parentPort, 'the music worker runs as a thread')
port.on('message', ({ id, name, args }: JobCall) => {
  try {
    const run = JOBS[name] as (...given: readonly unknown[]) => unknown
    port.postMessage({ id, ok: true, value: run(...args) } satisfies JobReply)
  } catch (error) {
    port.postMessage({ id, ok: false, message: messageOf(error) } satisfies JobReply)
  }
})
