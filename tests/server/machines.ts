/** Several server processes on one Postgres and one Redis, and editors that move from one to another. */
import { join } from 'node:path'
import * as Y from 'yjs'
import { type PrivatePostgres, type PrivateRedis, startPostgres, startRedis } from './databases.js'
import {
  type Board,
  type Person,
  type RunningServer,
  type Wire,
  freshFolder,
  newBoard,
  personAt,
  startServer,
  until,
} from './harness.js'
import { SONG } from './music.js'

export interface Machines {
  readonly postgres: PrivatePostgres
  readonly redis: PrivateRedis
  readonly env: { readonly [name: string]: string }
  /** One more process of the same database, secret and Redis. */
  readonly start: (more?: { readonly [name: string]: string }) => Promise<RunningServer>
  readonly stop: () => Promise<void>
}

export async function startMachines(): Promise<Machines> {
  const [postgres, redis] = [await startPostgres(), await startRedis()]
  const env = {
    DATABASE_URL: await postgres.newDatabase(),
    REDIS_URL: redis.url,
    SECRET_FILE: join(freshFolder(), 'secret'),
    SOCKET_MESSAGES_PER_SECOND: '1000',
  }
  return {
    postgres,
    redis,
    env,
    start: (more = {}) => startServer({ env: { ...env, ...more } }),
    async stop() {
      await redis.stop()
      await postgres.stop()
    },
  }
}

/** Somebody who edits a board by hand-made frames, knows what was called saved, and comes back wherever told to. */
export class Editor {
  readonly doc = new Y.Doc()
  wire: Wire
  /** Keys sent over this socket in order of their messages, and all that were called saved. */
  private sent: string[] = []
  private settled = 0
  readonly saved = new Set<string>()
  private isTakingIn = false

  constructor(readonly person: Person) {
    this.doc.on('update', (update: Uint8Array) => {
      if (!this.isTakingIn && this.isOpen) this.wire.sendSync(2, update)
    })
    this.wire = this.connect(person)
  }

  get isOpen(): boolean {
    return this.wire.socket.readyState === this.wire.socket.OPEN
  }

  get cards(): Y.Map<unknown> {
    return this.doc.getMap('cards')
  }

  /** One edit, one message: it counts as saved when its message is. */
  set(key: string, value: unknown = 1): void {
    if (!this.isOpen) return
    this.sent.push(key)
    this.cards.set(key, value)
  }

  /** Goes to another process (or the same again) and tells it what it has. */
  async move(person: Person): Promise<void> {
    this.wire.socket.terminate()
    this.wire = this.connect(person)
    if ((await this.wire.opened) !== 101) throw new Error('the door is closed')
    await this.synced()
  }

  async synced(): Promise<void> {
    await this.wire.hear((message) => message.type === 0 && message.step === 1, 20_000)
  }

  private connect(person: Person): Wire {
    const wire = person.socket()
    this.sent = []
    this.settled = 0
    let at = 0
    wire.socket.on('message', () => {
      for (; at < wire.heard.length; at++) {
        const { type, step, payload, json } = wire.heard[at] ?? { type: -1 }
        if (type === 0 && step === 0 && payload) {
          // Our step 2 is the first message that counts.
          this.sent.unshift('')
          wire.sendSync(1, Y.encodeStateAsUpdate(this.doc, payload))
          wire.sendSync(0, Y.encodeStateVector(this.doc))
        } else if (type === 0 && payload) {
          this.isTakingIn = true
          Y.applyUpdate(this.doc, payload)
          this.isTakingIn = false
        } else if (type === 17) {
          for (; this.settled < json.n; this.settled++) this.saved.add(this.sent[this.settled] ?? '')
        }
      }
    })
    return wire
  }
}

/** A board made at the first of some processes, and an editor at each, synced. */
export async function bandOn(
  servers: readonly RunningServer[],
  title = 'Two rooms',
): Promise<{ readonly board: Board; readonly editors: [Editor, Editor, ...Editor[]] }> {
  const board = await newBoard(servers[0] as RunningServer, title, SONG)
  const editors = await Promise.all(
    servers.map(async (server) => new Editor(await personAt(server, board.links.member))),
  )
  await Promise.all(editors.map((editor) => editor.synced()))
  return { board, editors: editors as [Editor, Editor, ...Editor[]] }
}

/** Edits at a pace until stopped. */
export function keepEditing(editor: Editor, name: string, everyMs: number): { readonly stop: () => void } {
  let count = 0
  const timer = setInterval(() => editor.set(`${name}-${count++}`), everyMs)
  return { stop: () => clearInterval(timer) }
}

export const sameEverywhere = (editors: readonly Editor[]): boolean =>
  new Set(editors.map(({ doc }) => Buffer.from(Y.encodeStateVector(doc)).toString('hex'))).size === 1 &&
  new Set(editors.map(({ cards }) => [...cards.keys()].toSorted().join(' '))).size === 1

export async function untilSame(editors: readonly Editor[], what: string, ms = 20_000): Promise<void> {
  await until(() => sameEverywhere(editors), what, ms)
}

/** A figure of /metrics, summed over its labels. */
export async function figureOf(server: RunningServer, name: string): Promise<number> {
  const text = await (await fetch(`${server.url}/metrics`)).text()
  return text
    .split('\n')
    .filter((line) => line.startsWith(`${name} `) || line.startsWith(`${name}{`))
    .reduce((sum, line) => sum + Number(line.split(' ').at(-1)), 0)
}

/** Processor time servers have used, their threads with them. */
export async function cpuSeconds(servers: readonly RunningServer[]): Promise<number> {
  const each = await Promise.all(servers.map((server) => figureOf(server, 'process_cpu_seconds_total')))
  return each.reduce((sum, seconds) => sum + seconds, 0)
}

export const percentile = (values: readonly number[], part: number): number =>
  values.toSorted((a, b) => a - b)[Math.min(values.length - 1, Math.floor(values.length * part))] ?? NaN
