/** A real server in a child process on a free port and a folder of its own, and the clients that talk to it from outside. */
import { spawn, type ChildProcess } from 'node:child_process'
import { existsSync, mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import * as decoding from 'lib0/decoding'
import * as encoding from 'lib0/encoding'
import { WebSocket } from 'ws'
import { WebsocketProvider } from 'y-websocket'
import * as Y from 'yjs'

export const ROOT = fileURLToPath(new URL('../..', import.meta.url))
export const COMMAND = join(ROOT, 'server/bin/chartloft.mjs')

export interface RunningServer {
  readonly url: string
  readonly port: number
  readonly dataDir: string
  readonly child: ChildProcess
  readonly stdout: () => string
  readonly stderr: () => string
  /** Ends it with a signal and waits; the exit code, or the signal's name where it died of it. */
  readonly stop: (signal?: NodeJS.Signals) => Promise<number | string>
}
export interface ServerOptions {
  readonly dataDir?: string
  readonly env?: { readonly [name: string]: string }
  readonly args?: readonly string[]
}

const folders: string[] = []
const children = new Set<ChildProcess>()

export function freshFolder(): string {
  const folder = mkdtempSync(join(tmpdir(), 'chartloft-test-'))
  folders.push(folder)
  return folder
}

/** Ends whatever a test file left running and removes its folders. */
export function cleanUp(): void {
  for (const child of children) child.kill('SIGKILL')
  children.clear()
  for (const folder of folders.splice(0)) rmSync(folder, { recursive: true, force: true })
}

/** Starts `chartloft serve` and waits until it listens. */
export async function startServer(options: ServerOptions = {}): Promise<RunningServer> {
  if (!existsSync(join(ROOT, 'server/dist/cli/index.js')))
    throw new Error('the server is not built: run "npm run build" first')
  const dataDir = options.dataDir ?? freshFolder()
  const child = spawn(process.execPath, [COMMAND, 'serve', ...(options.args ?? [])], {
    cwd: tmpdir(),
    env: { PATH: process.env['PATH'] ?? '', PORT: '0', DATA_DIR: dataDir, BOARDS_PER_MINUTE: '100000', ...options.env },
  })
  children.add(child)
  let stdout = ''
  let stderr = ''
  child.stdout?.setEncoding('utf8').on('data', (text: string) => (stdout += text))
  child.stderr?.setEncoding('utf8').on('data', (text: string) => (stderr += text))
  const ended = new Promise<number | string>((resolve) =>
    child.once('exit', (code, signal) => resolve(code ?? signal ?? -1)),
  )
  const port = await new Promise<number>((resolve, reject) => {
    const look = () => {
      const found = /"port":(\d+).*"msg":"listening"/.exec(stdout)
      if (found) resolve(Number(found[1]))
    }
    child.stdout?.on('data', look)
    void ended.then((code) => reject(new Error(`the server ended with ${code}: ${stderr}`)))
  })
  return {
    url: `http://127.0.0.1:${port}`,
    port,
    dataDir,
    child,
    stdout: () => stdout,
    stderr: () => stderr,
    async stop(signal = 'SIGTERM') {
      child.kill(signal)
      const code = await ended
      children.delete(child)
      return code
    },
  }
}

/** Root may write everywhere; without that right it is held to permissions as everybody is. */
const HELD_TO_PERMISSIONS = process.getuid?.() === 0 ? ['setpriv', '--bounding-set', '-dac_override'] : []

/** Runs the command line to its end; `mayWriteAnywhere` false: held to the permissions of files, whoever runs the tests. */
export async function runCommand(
  args: readonly string[],
  env: { readonly [name: string]: string } = {},
  mayWriteAnywhere = true,
): Promise<{ readonly code: number | null; readonly stdout: string; readonly stderr: string }> {
  const before = mayWriteAnywhere ? [] : HELD_TO_PERMISSIONS
  const [program = '', ...rest] = [...before, process.execPath, COMMAND, ...args]
  const child = spawn(program, rest, {
    cwd: tmpdir(),
    env: { PATH: process.env['PATH'] ?? '', ...env },
  })
  children.add(child)
  let stdout = ''
  let stderr = ''
  child.stdout.setEncoding('utf8').on('data', (text: string) => (stdout += text))
  child.stderr.setEncoding('utf8').on('data', (text: string) => (stderr += text))
  const code = await new Promise<number | null>((resolve) => child.once('close', resolve))
  children.delete(child)
  return { code, stdout, stderr }
}

export interface Answer {
  readonly status: number
  // reason: answers of a black box are looked into field by field
  // oxlint-disable-next-line typescript/no-explicit-any
  readonly body: any
  readonly headers: Headers
}

/** A browser as far as the server can tell: it keeps cookies and says where it comes from. */
export class Person {
  private readonly cookies = new Map<string, string>()
  boardId = ''
  userId = ''
  constructor(readonly server: Pick<RunningServer, 'url'>) {}

  /** The same browser, with its cookies, at a server that was started anew. */
  at(server: Pick<RunningServer, 'url'>): Person {
    const again = new Person(server)
    for (const [name, value] of this.cookies) again.cookies.set(name, value)
    return Object.assign(again, { boardId: this.boardId, userId: this.userId })
  }

  get cookie(): string {
    return [...this.cookies].map(([name, value]) => `${name}=${value}`).join('; ')
  }

  async call(
    method: string,
    path: string,
    body?: unknown,
    headers: { readonly [name: string]: string } = {},
  ): Promise<Answer> {
    const response = await fetch(this.server.url + path, {
      method,
      headers: {
        ...(body === undefined ? {} : { 'content-type': 'application/json' }),
        origin: this.server.url,
        ...(this.cookie === '' ? {} : { cookie: this.cookie }),
        ...headers,
      },
      ...(body === undefined ? {} : { body: typeof body === 'string' ? body : JSON.stringify(body) }),
    })
    for (const line of response.headers.getSetCookie()) {
      const [pair = ''] = line.split(';')
      const [name = '', value = ''] = pair.split('=')
      this.cookies.set(name, value)
    }
    const text = await response.text()
    return { status: response.status, body: text.startsWith('{') ? JSON.parse(text) : text, headers: response.headers }
  }

  /** Opens a link: `/b/<id>#<token>`. */
  async enter(link: string, name?: string): Promise<Answer> {
    const [path = '', token = ''] = link.split('#')
    this.boardId = path.split('/').at(-1) ?? ''
    const answer = await this.call('POST', '/api/session', { token, ...(name ? { name } : {}) })
    this.userId = answer.body.userId
    return answer
  }

  command(kind: string, fields: object = {}, commandId = newId()): Promise<Answer> {
    return this.call('POST', `/api/boards/${this.boardId}/commands`, { commandId, kind, ...fields })
  }

  async seq(): Promise<number> {
    return (await this.call('GET', `/api/boards/${this.boardId}/ledger?after=0`)).body.seq
  }

  /** A stock provider on this board. */
  provider(doc = new Y.Doc()): WebsocketProvider {
    const { cookie } = this
    const origin = this.server.url
    class Socket extends WebSocket {
      constructor(url: string | URL, protocols?: string | string[]) {
        super(url, protocols, { headers: { cookie, origin } })
      }
    }
    const provider = new WebsocketProvider(`${origin.replace('http', 'ws')}/ws`, this.boardId, doc, {
      WebSocketPolyfill: Socket as unknown as typeof globalThis.WebSocket,
      disableBc: true,
    })
    // It would complain of each message it has no use for: the server's own, 16 and up.
    for (let type = 16; type <= 21; type++) provider.messageHandlers[type] = () => undefined
    return provider
  }

  /** A bare socket on this board. */
  socket(headers: { readonly [name: string]: string } = {}): Wire {
    return new Wire(`${this.server.url.replace('http', 'ws')}/ws/${this.boardId}`, {
      cookie: this.cookie,
      origin: this.server.url,
      ...headers,
    })
  }
}

export interface Message {
  readonly type: number
  // oxlint-disable-next-line typescript/no-explicit-any -- reason: as above
  readonly json?: any
  readonly step?: number
  readonly payload?: Uint8Array
}

/** A socket that speaks frames by hand and remembers everything it heard. */
export class Wire {
  readonly socket: WebSocket
  readonly heard: Message[] = []
  readonly closed: Promise<{ code: number; reason: string }>
  readonly opened: Promise<number>
  private readonly listeners = new Set<() => void>()

  constructor(url: string, headers: { readonly [name: string]: string }) {
    this.socket = new WebSocket(url, { headers })
    this.socket.binaryType = 'nodebuffer'
    this.closed = new Promise((resolve) =>
      this.socket.once('close', (code, reason) => resolve({ code, reason: reason.toString() })),
    )
    this.opened = new Promise((resolve) => {
      this.socket.once('open', () => resolve(101))
      this.socket.once('unexpected-response', (_request, response) => {
        resolve(response.statusCode ?? 0)
        this.socket.terminate()
      })
    })
    this.socket.on('error', () => undefined)
    this.socket.on('message', (bytes: Buffer) => {
      this.heard.push(decodeMessage(bytes))
      for (const listener of this.listeners) listener()
    })
  }

  send(bytes: Uint8Array): void {
    this.socket.send(bytes)
  }

  sendJson(type: number, payload: unknown): void {
    const encoder = encoding.createEncoder()
    encoding.writeVarUint(encoder, type)
    encoding.writeVarString(encoder, JSON.stringify(payload))
    this.send(encoding.toUint8Array(encoder))
  }

  sendSync(step: 0 | 1 | 2, payload: Uint8Array): void {
    this.send(syncBytes(step, payload))
  }

  /** The first message heard, earlier or later, that fits. */
  async hear(accept: (message: Message) => boolean, ms = 10_000): Promise<Message> {
    const found = this.heard.find(accept)
    if (found) return found
    return new Promise((resolve, reject) => {
      const fail = (why: string) => {
        const notice = this.heard.findLast(({ type }) => type === 20)?.json
        reject(new Error(`nothing fitting was heard: ${why}${notice ? `; told: ${JSON.stringify(notice)}` : ''}`))
      }
      const timer = setTimeout(() => fail(`${ms} ms have passed`), ms)
      void this.closed.then(({ code, reason }) => fail(`closed with ${code} ${reason}`))
      const listener = () => {
        const message = this.heard.find(accept)
        if (!message) return
        clearTimeout(timer)
        this.listeners.delete(listener)
        resolve(message)
      }
      this.listeners.add(listener)
    })
  }
}

export function syncBytes(step: 0 | 1 | 2, payload: Uint8Array): Uint8Array {
  const encoder = encoding.createEncoder()
  encoding.writeVarUint(encoder, 0)
  encoding.writeVarUint(encoder, step)
  encoding.writeVarUint8Array(encoder, payload)
  return encoding.toUint8Array(encoder)
}

function decodeMessage(bytes: Uint8Array): Message {
  const decoder = decoding.createDecoder(bytes)
  const type = decoding.readVarUint(decoder)
  if (type >= 16) return { type, json: JSON.parse(decoding.readVarString(decoder)) }
  if (type === 0) return { type, step: decoding.readVarUint(decoder), payload: decoding.readVarUint8Array(decoder) }
  return { type, payload: decoding.readVarUint8Array(decoder) }
}

/** A seeded draw in [0, 1), so that a run can be had again. */
export function drawFrom(start: number): () => number {
  let state = start >>> 0
  return () => {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0
    return state / 2 ** 32
  }
}

let lastId = 0
/** A command id nobody has used. */
export const newId = (): string => `test-${process.pid}-${Date.now()}-${++lastId}`

/** Waits until something holds, asking again every few milliseconds. */
export async function until(holds: () => boolean | Promise<boolean>, what: string, ms = 15_000): Promise<void> {
  const end = Date.now() + ms
  while (!(await holds())) {
    if (Date.now() > end) throw new Error(`not in ${ms} ms: ${what}`)
    await new Promise((resolve) => setTimeout(resolve, 10))
  }
}

export interface Board {
  readonly boardId: string
  readonly links: { readonly leader: string; readonly member: string; readonly listener: string }
}

export async function newBoard(
  server: Pick<RunningServer, 'url'>,
  title = 'Boat shed',
  tune?: { format: string; data: string },
): Promise<Board> {
  const answer = await new Person(server).call('POST', '/api/boards', { title, ...(tune ? { tune } : {}) })
  if (answer.status !== 201) throw new Error(`no board: ${answer.status} ${JSON.stringify(answer.body)}`)
  return answer.body as Board
}

export async function personAt(server: Pick<RunningServer, 'url'>, link: string, name?: string): Promise<Person> {
  const person = new Person(server)
  const answer = await person.enter(link, name)
  if (answer.status !== 200) throw new Error(`no session: ${answer.status} ${JSON.stringify(answer.body)}`)
  return person
}
