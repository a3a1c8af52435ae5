/** Two people in a room of their own, in a thread of their own: one edits every few milliseconds, the other hears it. Says how long the slowest
 *  delivery took, so that whoever attacks another room meanwhile does not measure itself. */
// oxlint-disable unicorn/require-post-message-target-origin -- reason: a thread, not a window
import { readFileSync } from 'node:fs'
import { parentPort, workerData } from 'node:worker_threads'
import { WebSocket } from 'ws'
import * as Y from 'yjs'
import * as encoding from 'lib0/encoding'

const { url, origin, cookies, everyMs, pid } = workerData
const MARK = 'sent@'
const open = (cookie) =>
  new Promise((resolve, reject) => {
    const socket = new WebSocket(url, { headers: { cookie, origin } })
    socket.once('open', () => resolve(socket))
    socket.once('error', reject)
    socket.once('close', (code) => parentPort.postMessage({ lost: code }))
  })

const [writer, reader] = await Promise.all(cookies.map(open))
const doc = new Y.Doc()
const sentAt = new Map()
let count = 0
let heard = 0
let longest = 0
let busiest = 0

/** Milliseconds the server's main thread has been at work so far, whoever else wanted the processor; Linux only, else the clock. */
function busyMs() {
  try {
    return Number(readFileSync(`/proc/${pid}/task/${pid}/schedstat`, 'latin1').split(' ')[0]) / 1e6
  } catch {
    return performance.now()
  }
}

function note({ at, busy }) {
  longest = Math.max(longest, performance.now() - at)
  busiest = Math.max(busiest, busyMs() - busy)
}

doc.on('update', (update) => {
  const encoder = encoding.createEncoder()
  encoding.writeVarUint(encoder, 0)
  encoding.writeVarUint(encoder, 2)
  encoding.writeVarUint8Array(encoder, update)
  writer.send(encoding.toUint8Array(encoder))
})
reader.on('message', (bytes) => {
  const text = bytes.toString('latin1')
  for (let at = text.indexOf(MARK); at >= 0; at = text.indexOf(MARK, at + 1)) {
    const number = Number.parseInt(text.slice(at + MARK.length, at + MARK.length + 9), 10)
    const sent = sentAt.get(number)
    if (sent === undefined) continue
    sentAt.delete(number)
    heard += 1
    note(sent)
  }
})
setInterval(() => {
  count += 1
  sentAt.set(count, { at: performance.now(), busy: busyMs() })
  doc.getMap('cards').set('beat', `${MARK}${String(count).padStart(9, '0')}`)
}, everyMs)

parentPort.on('message', (what) => {
  if (what === 'begin') {
    // What is on its way now still counts: it is heard after this.
    longest = 0
    busiest = 0
    heard = 0
    parentPort.postMessage({ begun: true })
    return
  }
  // One more that goes out after what was done: the shortest attack is over between two edits.
  const last = count + 1
  const began = performance.now()
  const whole = setInterval(() => {
    const isWhole = count >= last && ![...sentAt.keys()].some((number) => number <= last)
    if (!isWhole && performance.now() - began < 10_000) return
    clearInterval(whole)
    for (const [number, sent] of sentAt) if (number <= last) note(sent)
    parentPort.postMessage({ longest, busiest, heard })
  }, 5)
})
parentPort.postMessage({ ready: true })
