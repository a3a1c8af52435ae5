/** Load for a sync server, ours or the stock one: rooms of editors at a steady rate, and what delivering to them took. */
import { spawn } from 'node:child_process'
import { readFileSync } from 'node:fs'
import { createServer } from 'node:net'
import { join } from 'node:path'
import { WebSocket } from 'ws'
import * as Y from 'yjs'
import { newBoard, personAt, ROOT, startServer, syncBytes, until } from '../../server/harness.js'

/** A server under test and how clients get into its rooms. */
export interface Subject {
  readonly name: string
  readonly pid: number
  /** Makes a room; each call of the answer opens one more socket in it. */
  readonly room: () => Promise<() => WebSocket>
  /** Heap of the main thread, where the server tells it. */
  readonly heapBytes?: () => Promise<number>
  readonly stop: () => Promise<unknown>
}

/** Chartloft's server, saving to disk as it does for a band; with `roomIdleMs`, empty rooms go sooner than usual. */
export async function ourServer(roomIdleMs?: number): Promise<Subject> {
  const server = await startServer({
    env: {
      MAX_SOCKETS: '20000',
      MAX_SOCKETS_PER_ADDRESS: '20000',
      SESSIONS_PER_MINUTE: '100000',
      ...(roomIdleMs === undefined ? {} : { ROOM_IDLE_MS: String(roomIdleMs) }),
    },
  })
  return {
    name: 'ours',
    pid: server.child.pid as number,
    room: async () => {
      const board = await newBoard(server)
      const person = await personAt(server, board.links.member)
      return () => person.socket().socket
    },
    heapBytes: async () => {
      const told = await (await fetch(`${server.url}/metrics`)).text()
      return Number(/^nodejs_heap_size_used_bytes (\S+)/m.exec(told)?.[1])
    },
    stop: () => server.stop(),
  }
}

/** The stock y-websocket server: nobody checked, and nothing saved but for a folder given to its own LevelDB store (which syncs nothing to disk). */
export async function stockServer(folder?: string): Promise<Subject> {
  const port = await freePort()
  const main = join(ROOT, 'node_modules/.bin/y-websocket-server')
  const child = spawn(process.execPath, [main], {
    env: {
      PATH: process.env['PATH'] ?? '',
      HOST: '127.0.0.1',
      PORT: String(port),
      ...(folder === undefined ? {} : { YPERSISTENCE: folder }),
    },
    stdio: ['ignore', 'pipe', 'inherit'],
  })
  let said = ''
  child.stdout.setEncoding('utf8').on('data', (text: string) => (said += text))
  await until(() => said.includes('running'), 'the stock server listens')
  let rooms = 0
  return {
    name: folder === undefined ? 'stock' : 'stock, saving',
    pid: child.pid as number,
    room: () => {
      const name = `room-${++rooms}`
      return Promise.resolve(() => {
        const socket = new WebSocket(`ws://127.0.0.1:${port}/${name}`)
        socket.binaryType = 'nodebuffer'
        return socket
      })
    },
    stop: () => {
      const ended = new Promise((resolve) => child.once('exit', resolve))
      child.kill('SIGKILL')
      return ended
    },
  }
}

function freePort(): Promise<number> {
  return new Promise((resolve) => {
    const server = createServer()
    server.listen(0, '127.0.0.1', () => {
      const address = server.address()
      server.close(() => resolve(typeof address === 'object' && address ? address.port : 0))
    })
  })
}

export interface Load {
  readonly rooms: number
  readonly editors: number
  /** Updates a second of each editor. */
  readonly rate: number
  readonly seconds: number
}
export interface Delivered {
  readonly deliveries: number
  /** Deliveries that should have come and did not. */
  readonly missing: number
  readonly p50Ms: number
  readonly p95Ms: number
  readonly cpuMicrosPerDelivery: number
  /** From sending to being told that it is on disk; empty for a server that tells nobody. */
  readonly savedP95Ms?: number
}

/** Clock ticks a second in /proc, as Linux fixes it for programs. */
const TICKS_PER_SECOND = 100
const MARK = 'sent@'
const SYNC = 0
const SAVED = 17

/** Processor seconds a process has used. */
function processorSeconds(pid: number): number {
  const fields = readFileSync(`/proc/${pid}/stat`, 'latin1').split(') ')[1]?.split(' ') ?? []
  return (Number(fields[11]) + Number(fields[12])) / TICKS_PER_SECOND
}

/** Resident memory in KB. */
export function residentKb(pid: number): number {
  return Number(/VmRSS:\s+(\d+)/.exec(readFileSync(`/proc/${pid}/status`, 'latin1'))?.[1])
}

export const pause = (ms: number): Promise<void> => new Promise((resolve) => setTimeout(resolve, ms))

export const quantile = (values: readonly number[], at: number): number =>
  values.toSorted((a, b) => a - b)[Math.min(values.length - 1, Math.floor(values.length * at))] ?? Number.NaN

/** Opens sockets of fresh rooms and waits until each has been let in. */
export async function openRooms(subject: Subject, rooms: number, editors: number): Promise<readonly WebSocket[][]> {
  const all: WebSocket[][] = []
  for (let room = 0; room < rooms; room++) {
    const open = await subject.room()
    const sockets = Array.from({ length: editors }, open)
    await Promise.all(sockets.map((socket) => new Promise((resolve) => socket.once('open', resolve))))
    all.push(sockets)
  }
  return all
}

/** Every editor sets one key of the draft again and again; every other editor of its room hears it once. What a server tells the
 *  sender itself is no delivery. */
export async function deliver(subject: Subject, { rooms, editors, rate, seconds }: Load): Promise<Delivered> {
  const all = await openRooms(subject, rooms, editors)
  const delays: number[] = []
  const savedDelays: number[] = []
  let sent = 0
  let isCounting = false
  const timers: NodeJS.Timeout[] = []
  const listen = (socket: WebSocket, own: string): { readonly times: number[] } => {
    const waiting: number[] = []
    socket.on('message', (bytes: Buffer) => {
      const now = performance.now()
      if (bytes[0] === SAVED) {
        const n = Number(/"n":(\d+)/.exec(bytes.toString('latin1'))?.[1] ?? 0)
        while (told < n && waiting.length > 0) {
          const at = waiting.shift() as number
          told++
          if (at > 0) savedDelays.push(now - at)
        }
      } else if (bytes[0] === SYNC && isCounting) {
        for (let at = bytes.indexOf(MARK); at >= 0; at = bytes.indexOf(MARK, at + 1)) {
          const [who, when] = bytes.toString('latin1', at + MARK.length, at + MARK.length + 24).split('@')
          if (who !== own) delays.push(now - Number(when))
        }
      }
    })
    let told = 0
    return { times: waiting }
  }
  for (const sockets of all) {
    for (const socket of sockets) {
      const doc = new Y.Doc()
      const map = doc.getMap('cards')
      const key = String(doc.clientID).padStart(10, '0')
      const { times } = listen(socket, key)
      doc.on('update', (update: Uint8Array) => socket.send(syncBytes(2, update)))
      const beat = (): void => {
        if (socket.readyState !== socket.OPEN) return
        times.push(isCounting ? performance.now() : 0)
        if (isCounting) sent++
        map.set(key, `${MARK}${key}@${performance.now().toFixed(3).padStart(13, '0')}`)
      }
      timers.push(setTimeout(() => timers.push(setInterval(beat, 1000 / rate)), (Math.random() * 1000) / rate))
    }
  }
  await pause(1500)
  const before = processorSeconds(subject.pid)
  isCounting = true
  await pause(seconds * 1000)
  const used = processorSeconds(subject.pid) - before
  for (const timer of timers) clearInterval(timer)
  const expected = sent * (editors - 1)
  await pause(500)
  for (const socket of all.flat()) socket.terminate()
  await pause(500)
  return {
    deliveries: delays.length,
    missing: Math.max(0, expected - delays.length),
    p50Ms: quantile(delays, 0.5),
    p95Ms: quantile(delays, 0.95),
    cpuMicrosPerDelivery: (used * 1e6) / delays.length,
    ...(savedDelays.length > 0 ? { savedP95Ms: quantile(savedDelays, 0.95) } : {}),
  }
}
