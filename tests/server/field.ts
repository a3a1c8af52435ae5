/** A server under attack, and the people next door whose waiting is measured meanwhile. */
import { connect } from 'node:net'
import { Worker } from 'node:worker_threads'
import * as Y from 'yjs'
import type { Attack } from './attacks.js'
import { Person, type RunningServer, newBoard, personAt, startServer } from './harness.js'

export const pause = (ms: number): Promise<void> => new Promise((resolve) => setTimeout(resolve, ms))
/** Lets the test's own loop go on, so that it can read what comes back. */
export const yieldLoop = (): Promise<void> => new Promise((resolve) => setImmediate(resolve))

export interface Field {
  readonly server: RunningServer
  readonly leader: Person
  readonly member: Person
  readonly listener: Person
  /** Somebody without a link. */
  readonly stranger: Person
  /** The leader of a board whose draft is as full as it may be. */
  readonly full: Person
  readonly pollId: string
  readonly socketsAllowed: number
  /** The first in the short run, the second in the long one. */
  readonly size: (short: number, long: number) => number
  /** The sum of the lines of /metrics that begin so. */
  readonly metric: (line: string) => Promise<number>
}

/** What an attack came to. */
export interface Felt {
  readonly what: string
  readonly code: number
  readonly counted: number
  /** The longest delivery next door while it went on, ms; and in as long a quiet time before. */
  readonly waitMs: number
  readonly quietMs: number
  /** The longest the server's main thread worked at anything between a sending and its delivery next door, ms: what the wait would be on a
   *  machine with nothing else to do. */
  readonly busyMs: number
  readonly tries: number
}

const SOCKETS_ALLOWED = 60

/** Starts a server with its limits low enough to be reached, and the people of two rooms. */
export async function openField(isLong: boolean): Promise<Field & { readonly neighbour: Neighbour }> {
  const server = await startServer({
    env: {
      MAX_SOCKETS_PER_ADDRESS: String(SOCKETS_ALLOWED),
      SESSIONS_PER_MINUTE: '600',
      BOARDS_PER_MINUTE: '120',
      // What is felt of each attack is measured here, not how its repetition is ended.
      ABUSES_PER_MINUTE: '100000',
    },
  })
  const board = await newBoard(server, 'Storm')
  const next = await newBoard(server, 'Next door')
  const neighbour = await Neighbour.at(server, next.boardId, [
    await personAt(server, next.links.leader),
    await personAt(server, next.links.member),
  ])
  const leader = await personAt(server, board.links.leader)
  const { body } = await leader.command('openPoll', {
    question: 'Which?',
    method: 'single',
    audience: 'everyone',
    tally: 'always',
    options: [
      { id: 'a', title: 'A' },
      { id: 'b', title: 'B' },
    ],
  })
  return {
    server,
    neighbour,
    leader,
    member: await personAt(server, board.links.member),
    listener: await personAt(server, board.links.listener),
    stranger: new Person(server),
    full: await fullBoard(server),
    pollId: body.pollId,
    socketsAllowed: SOCKETS_ALLOWED - 2,
    size: (short, long) => (isLong ? long : short),
    metric: async (line) => sumOf((await new Person(server).call('GET', '/metrics')).body, line),
  }
}

async function fullBoard(server: RunningServer): Promise<Person> {
  const board = await newBoard(server, 'Brimful')
  const wire = (await personAt(server, board.links.member)).socket()
  await wire.opened
  for (let card = 0; card < 8; card++) {
    const doc = new Y.Doc()
    doc.getMap('cards').set(`card-${card}`, 'x'.repeat(900_000))
    wire.sendSync(2, Y.encodeStateAsUpdate(doc))
    await wire.hear((message) => message.type === 17 && message.json.n === card + 1)
  }
  wire.socket.terminate()
  return personAt(server, board.links.leader)
}

/** One attack, or several at once, with what was felt next door. A wait past the limit is looked at again, twice at most: what the server
 *  does comes again, what another program on the machine did does not. */
export async function suffer(
  field: Field & { readonly neighbour: Neighbour },
  attacks: readonly Attack[],
  limitMs: number,
  isLoose: boolean,
): Promise<readonly Felt[]> {
  for (let tries = 1; ; tries++) {
    const { waitMs: quietMs } = await field.neighbour.worstWhile(() => pause(1000))
    const before = await Promise.all(attacks.map(({ counted }) => field.metric(counted)))
    let codes: readonly number[] = []
    const { waitMs, busyMs } = await field.neighbour.worstWhile(async () => {
      codes = await Promise.all(attacks.map((attack) => attack.run(field)))
    })
    const { body } = await new Person(field.server).call('GET', '/metrics')
    const felt = attacks.map(({ what, counted }, index) => ({
      what,
      code: codes[index] ?? 0,
      counted: sumOf(body, counted) - (before[index] ?? 0),
      waitMs,
      quietMs,
      busyMs,
      tries,
    }))
    if ((isLoose ? busyMs : waitMs) < limitMs || tries === 3) return felt
    await pause(500)
  }
}

/** One line a felt attack, for people to read. */
export function table(all: readonly Felt[]): string {
  const rows = all.map(({ what, code, counted, waitMs, quietMs, busyMs, tries }) => [
    what,
    String(code),
    `+${counted}`,
    `${waitMs.toFixed(0)} ms`,
    `${quietMs.toFixed(0)} ms`,
    `${busyMs.toFixed(0)} ms`,
    String(tries),
  ])
  const lines = [
    ['attack', 'ended', 'counted', 'wait next door', 'in quiet', 'of it the server’s work', 'tries'],
    ...rows,
  ]
  const widths = lines[0]?.map((_, column) => Math.max(...lines.map((line) => line[column]?.length ?? 0))) ?? []
  return lines
    .map((line) =>
      line
        .map((cell, column) => cell.padEnd(widths[column] ?? 0))
        .join('  ')
        .trimEnd(),
    )
    .join('\n')
}

function sumOf(metrics: string, line: string): number {
  const start = line.replace(/"\}$/, '"}').replace(/_"\}$/, '_')
  return metrics
    .split('\n')
    .filter((one) => !one.startsWith('#') && one.startsWith(start))
    .reduce((sum, one) => sum + Number(one.slice(one.lastIndexOf(' ') + 1)), 0)
}

/** The thread next door. */
export class Neighbour {
  lost: number | undefined
  private constructor(private readonly worker: Worker) {}

  static async at(server: RunningServer, boardId: string, people: readonly Person[]): Promise<Neighbour> {
    const worker = new Worker(new URL('./neighbour.mjs', import.meta.url), {
      workerData: {
        url: `${server.url.replace('http', 'ws')}/ws/${boardId}`,
        origin: server.url,
        cookies: people.map((person) => person.cookie),
        everyMs: 12,
        pid: server.child.pid,
      },
    })
    const neighbour = new Neighbour(worker)
    worker.setMaxListeners(0)
    worker.on('message', (message: { lost?: number }) => {
      neighbour.lost = message.lost ?? neighbour.lost
    })
    await neighbour.answer<{ ready?: true }>((message) => message.ready === true)
    return neighbour
  }

  /** The longest any delivery took while something went on, and the server's longest work during one. */
  async worstWhile(act: () => Promise<unknown>): Promise<{ readonly waitMs: number; readonly busyMs: number }> {
    const begun = this.answer<{ begun?: true }>((message) => message.begun === true)
    // oxlint-disable-next-line unicorn/require-post-message-target-origin -- reason: a thread, not a window
    this.worker.postMessage('begin')
    await begun
    await act()
    const ended = this.answer<{ longest?: number; busiest?: number; heard?: number }>(
      (message) => message.longest !== undefined,
    )
    // oxlint-disable-next-line unicorn/require-post-message-target-origin -- reason: a thread, not a window
    this.worker.postMessage('end')
    const { longest = Infinity, busiest = Infinity, heard = 0 } = await ended
    if (this.lost !== undefined) throw new Error(`the people next door were closed with ${this.lost}`)
    if (heard === 0) throw new Error('nothing was delivered next door')
    return { waitMs: longest, busyMs: busiest }
  }

  async end(): Promise<void> {
    await this.worker.terminate()
  }

  private answer<T extends object>(fits: (message: T) => boolean): Promise<T> {
    return new Promise((resolve) => {
      const listener = (message: T) => {
        if (!fits(message)) return
        this.worker.off('message', listener)
        resolve(message)
      }
      this.worker.on('message', listener)
    })
  }
}

/** Writes to a bare connection, and more of it at a pace while nothing comes back; the status of the answer, 0 where there was none. */
export function rawRequest(
  port: number,
  head: string,
  more: { readonly chunk: string; readonly times: number; readonly everyMs: number } = {
    chunk: '',
    times: 0,
    everyMs: 0,
  },
): Promise<number> {
  return new Promise((resolve) => {
    let heard = ''
    const socket = connect(port, '127.0.0.1', () => {
      socket.write(head, 'latin1')
      let left = more.times
      const next = () => {
        if (socket.destroyed || heard !== '' || left-- <= 0) return
        socket.write(more.chunk, 'latin1', () =>
          more.everyMs > 0 ? setTimeout(next, more.everyMs) : setImmediate(next),
        )
      }
      next()
    })
    const done = () => {
      socket.destroy()
      resolve(Number(/^HTTP\/1\.1 (\d{3})/.exec(heard)?.[1] ?? 0))
    }
    socket.setEncoding('latin1').on('data', (text: string) => {
      heard += text
      if (heard.includes('\r\n')) done()
    })
    socket.on('error', () => undefined)
    socket.once('close', done)
  })
}
