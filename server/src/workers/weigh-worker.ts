/** A thread that weighs updates and does nothing else. */
import { parentPort } from 'node:worker_threads'
import { must } from '../must.js'
import { countPieces } from './pieces.js'
import { stepBack } from './step-back.js'

stepBack()
const port = must(parentPort, 'the weigher runs as a thread')
port.on('message', ({ id, update }: { readonly id: number; readonly update: Uint8Array }) =>
  port.postMessage({ id, pieces: countPieces(update) }),
)
