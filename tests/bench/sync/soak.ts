/** A whole evening pressed into some time: thirty editors, listeners who vote, commands, people who come and go, a shared transport. */
import { readdirSync } from 'node:fs'
import * as Y from 'yjs'
import {
  newBoard,
  newId,
  Person,
  personAt,
  type RunningServer,
  startServer,
  until,
  type Wire,
} from '../../server/harness.js'
import { SONG } from '../../server/music.js'
import { draftOf } from '../../server/kills.js'
import { pause, quantile, residentKb } from './load.js'

const EDITORS = 30
const LISTENERS = 10
/** Edits a second of each editor: a busy evening, not a flood. */
const EDITS_A_SECOND = 2
const COMMAND_EVERY_MS = 1000
const TRANSPORT_EVERY_MS = 2000
const POLL_EVERY_MS = 5000
const RECONNECT_EVERY_MS = 1000
const SAMPLE_EVERY_MS = 500

export interface Soaked {
  readonly edits: number
  readonly reconnects: number
  readonly commands: number
  readonly ballots: number
  readonly deliveries: number
  /** Last edits of a person that did not reach everybody else, and the disk. */
  readonly undelivered: number
  readonly lost: number
  /** Commands that were answered and are not in the ledger, polls whose tally differs from the votes sent. */
  readonly wrong: readonly string[]
  readonly memoryKb: readonly number[]
  readonly savedMs: { readonly firstQuarter: number; readonly lastQuarter: number; readonly p95: number }
  readonly sockets: { readonly before: number; readonly after: number }
  readonly handles: { readonly before: number; readonly after: number }
}

/** One person: writes their own card again and again, believes nothing, and may lose the line at any moment. */
class Editor {
  readonly doc = new Y.Doc()
  wire!: Wire
  edits = 0
  deliveries = 0
  readonly savedMs: { at: number; took: number }[] = []
  #sentAt: number[] = []
  #settled = 0

  constructor(
    readonly person: Person,
    readonly key: string,
  ) {
    this.doc.on('update', (update: Uint8Array, origin: unknown) => {
      if (origin === 'heard' || this.wire.socket.readyState !== this.wire.socket.OPEN) return
      this.#sentAt.push(performance.now())
      this.wire.sendSync(2, update)
    })
  }

  async connect(): Promise<void> {
    const wire = this.person.socket()
    this.wire = wire
    this.#sentAt = []
    this.#settled = 0
    wire.socket.on('message', () => {
      const message = wire.heard.pop()
      if (!message || wire !== this.wire) return
      if (message.type === 0 && message.step === 0) {
        this.#sentAt.push(performance.now())
        wire.sendSync(1, Y.encodeStateAsUpdate(this.doc, message.payload))
        wire.sendSync(0, Y.encodeStateVector(this.doc))
      } else if (message.type === 0) {
        if (message.step === 2) this.deliveries++
        Y.applyUpdate(this.doc, message.payload as Uint8Array, 'heard')
      } else if (message.type === 17) {
        const now = performance.now()
        for (; this.#settled < message.json.n; this.#settled++) {
          const sent = this.#sentAt[this.#settled]
          if (sent !== undefined) this.savedMs.push({ at: now, took: now - sent })
        }
      }
    })
    await wire.opened
  }

  write(): void {
    this.edits++
    this.doc.getMap('cards').set(this.key, this.edits)
  }

  get isSettled(): boolean {
    return this.wire.socket.readyState === this.wire.socket.OPEN && this.#settled >= this.#sentAt.length
  }
}

const handlesOf = (server: RunningServer): number => readdirSync(`/proc/${server.child.pid}/fd`).length
const socketsOf = async (server: RunningServer): Promise<number> =>
  Number(/^chartloft_sockets (\d+)$/m.exec((await new Person(server).call('GET', '/metrics')).body)?.[1])

export async function soak(seconds: number): Promise<Soaked> {
  const server = await startServer({
    env: { MAX_SOCKETS_PER_ADDRESS: '1000', SESSIONS_PER_MINUTE: '100000', ROOM_IDLE_MS: '1000' },
  })
  const board = await newBoard(server, 'Long evening', SONG)
  const leader = await personAt(server, board.links.leader)
  await pause(500)
  const before = { sockets: await socketsOf(server), handles: handlesOf(server) }
  const editors = await Promise.all(
    Array.from({ length: EDITORS }, async (_, index) => {
      const editor = new Editor(await personAt(server, board.links.member), `card-${index}`)
      await editor.connect()
      return editor
    }),
  )
  const listeners = await Promise.all(Array.from({ length: LISTENERS }, () => personAt(server, board.links.listener)))
  const sum = { reconnects: 0, commands: 0, ballots: 0 }
  const wrong: string[] = []
  const accepted = new Map<string, number>()
  const memoryKb: number[] = []
  const timers: NodeJS.Timeout[] = []
  const busy = new Set<Promise<void>>()
  const every = (ms: number, act: () => void | Promise<void>) =>
    timers.push(
      setInterval(() => {
        const done = Promise.resolve(act()).catch((error: unknown) => void wrong.push(String(error)))
        busy.add(done)
        void done.then(() => busy.delete(done))
      }, ms),
    )
  for (const editor of editors)
    timers.push(
      setTimeout(() => every(1000 / EDITS_A_SECOND, () => editor.write()), (Math.random() * 1000) / EDITS_A_SECOND),
    )
  every(SAMPLE_EVERY_MS, () => void memoryKb.push(residentKb(server.child.pid as number)))
  every(COMMAND_EVERY_MS, async () => {
    const commandId = newId()
    const { status, body } = await leader.command('markPrinted', {}, commandId)
    sum.commands++
    if (status === 200) accepted.set(commandId, body.seq)
    else wrong.push(`a command: ${status}`)
  })
  every(RECONNECT_EVERY_MS, async () => {
    const editor = editors[Math.floor(Math.random() * EDITORS)] as Editor
    editor.wire.socket.terminate()
    await editor.wire.closed
    editor.write()
    await editor.connect()
    sum.reconnects++
  })
  every(TRANSPORT_EVERY_MS, () => {
    const { wire } = editors[0] as Editor
    if (wire.socket.readyState === wire.socket.OPEN)
      wire.sendJson(18, { playing: true, startsAt: 1e9, fromTick: 0, tempoScale: 1, planHash: 'soak' })
  })
  every(POLL_EVERY_MS, async () => {
    const options = ['one', 'two'].map((id) => ({ id, title: id }))
    const fields = { question: 'Which?', method: 'single', audience: 'everyone', tally: 'always', options }
    const { pollId } = (await leader.command('openPoll', fields)).body
    const answers = await Promise.all(
      listeners.map((listener, index) =>
        listener.call('POST', `/api/polls/${pollId}/ballots`, {
          ballotId: newId(),
          choices: [options[index % 2]?.id],
        }),
      ),
    )
    sum.ballots += answers.filter(({ status }) => status === 200).length
    const { counts } = (await leader.call('GET', `/api/polls/${pollId}`)).body.tally
    if (counts.one + counts.two !== LISTENERS || counts.one !== LISTENERS / 2)
      wrong.push(`a tally of ${JSON.stringify(counts)}`)
    await leader.command('closePoll', { pollId })
  })
  const began = performance.now()
  await pause(seconds * 1000)
  const ended = performance.now()
  for (const timer of timers) clearInterval(timer)
  await Promise.all(busy)
  await until(() => editors.every(({ isSettled }) => isSettled), 'everybody’s last edit is called saved', 30_000)
  const last = new Map(editors.map(({ key, edits }) => [key, edits]))
  const missing = () =>
    editors.reduce(
      (n, { doc }) => n + [...last].filter(([key, edits]) => doc.getMap('cards').get(key) !== edits).length,
      0,
    )
  await until(() => missing() === 0, 'everybody has everybody’s last edit', 10_000).catch(() => undefined)
  const undelivered = missing()
  const took = editors.flatMap(({ savedMs }) => savedMs)
  const p95 = (from: number, to: number) =>
    quantile(
      took
        .filter(({ at }) => at >= began + (ended - began) * from && at <= began + (ended - began) * to)
        .map((one) => one.took),
      0.95,
    )
  for (const { wire } of editors) wire.socket.terminate()
  await until(async () => (await socketsOf(server)) === before.sockets, 'all sockets are gone', 5000).catch(
    () => undefined,
  )
  // Kept-alive connections of our own requests end on their own a few seconds after the last one.
  await until(() => handlesOf(server) <= before.handles, 'all handles are gone', 20_000).catch(() => undefined)
  const after = { sockets: await socketsOf(server), handles: handlesOf(server) }
  await server.stop('SIGKILL')
  const again = await startServer({ dataDir: server.dataDir })
  const reader = await personAt(again, board.links.leader)
  const cards = (await draftOf(reader)).getMap('cards')
  const rows = new Map<string, number>()
  for (let more = true, seq = 0; more;) {
    const { body } = await reader.call('GET', `/api/boards/${board.boardId}/ledger?after=${seq}`)
    for (const entry of body.entries) rows.set(entry.command.commandId, entry.seq)
    seq = body.entries.at(-1)?.seq ?? seq
    more = body.more === true
  }
  for (const [commandId, seq] of accepted)
    if (rows.get(commandId) !== seq) wrong.push(`row ${seq} is not in the ledger`)
  await again.stop()
  return {
    edits: editors.reduce((n, { edits }) => n + edits, 0),
    ...sum,
    deliveries: editors.reduce((n, { deliveries }) => n + deliveries, 0),
    undelivered,
    lost: [...last].filter(([key, edits]) => cards.get(key) !== edits).length,
    wrong,
    memoryKb,
    savedMs: { firstQuarter: p95(0, 0.25), lastQuarter: p95(0.75, 1), p95: p95(0, 1) },
    sockets: { before: before.sockets, after: after.sockets },
    handles: { before: before.handles, after: after.handles },
  }
}
