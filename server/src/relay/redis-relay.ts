/** A relay over Redis streams: one stream a board. One connection says, another waits for news of all open boards at once. */
import { Redis } from 'ioredis'
import { StartError, messageOf } from '../errors.js'
import { LIMITS } from '../limits.js'
import { type Entry, entryFields, entryOf } from './entry.js'
import { StreamLine } from './line.js'
import type { Line, Message, Relay } from './relay.js'

const PREFIX = 'chartloft:'
const streamOf = (boardId: string) => `${PREFIX}board:${boardId}`
const hereOf = (boardId: string) => `${PREFIX}here:${boardId}`
const aliveOf = (processId: string) => `${PREFIX}alive:${processId}`
/** A room's name in its stream: process and number. */
const processOf = (speaker: string): string => speaker.split('.')[0] ?? ''

const FIRST = '0-0'
const BLOCK_MS = 2000
/** A reading that has not come back by now never will. */
const READ_MS = BLOCK_MS + 3000
const COMMAND_MS = 2000
const CONNECT_MS = 5000
const CLOCK_SAMPLES = 3
/** For every stream waited for, this much more time between two readings. */
const READ_MS_A_STREAM = 0.02

export interface RelayHooks {
  readonly clock: () => number
  readonly log: (level: 'info' | 'warn', message: string, reason?: string) => void
}

/** Connects. Rejects with StartError where Redis cannot be reached. */
export async function openRedisRelay(redisUrl: string, processId: string, hooks: RelayHooks): Promise<Relay> {
  const options = {
    lazyConnect: true,
    connectTimeout: CONNECT_MS,
    keepAlive: 10_000,
    enableOfflineQueue: false,
    maxRetriesPerRequest: 0,
    retryStrategy: (attempt: number) => Math.min(50 * attempt, 1000),
  }
  const commands = new Redis(redisUrl, { ...options, commandTimeout: COMMAND_MS })
  const reader = new Redis(redisUrl, options)
  let reason = ''
  for (const connection of [commands, reader])
    connection.on('error', (error: Error) => {
      reason = messageOf(error)
    })
  try {
    await Promise.all([commands.connect(), reader.connect()])
    await commands.ping()
  } catch (error) {
    commands.disconnect()
    reader.disconnect()
    throw new StartError(`REDIS_URL cannot be used: ${reason || messageOf(error)}.`)
  }
  return new RedisRelay(commands, reader, processId, hooks)
}

class RedisRelay implements Relay {
  private readonly lines = new Map<string, StreamLine>()
  private lineCount = 0
  private up = true
  private upSince: number
  private isClosed = false
  private told = 0
  private heard = 0
  private offset: { readonly at: number; readonly value: Promise<number> } | undefined
  /** Processes that did not answer last time. */
  private missing = new Set<string>()
  private readonly wakeKey: string
  private wakeCursor = FIRST
  private runId = ''
  private readonly timers: NodeJS.Timeout[] = []
  private readonly reading: Promise<void>

  constructor(
    private readonly commands: Redis,
    private readonly reader: Redis,
    private readonly processId: string,
    private readonly hooks: RelayHooks,
  ) {
    this.wakeKey = `${PREFIX}wake:${processId}`
    this.upSince = hooks.clock()
    commands.on('close', () => this.failed('the connection ended'))
    commands.on('ready', () => void this.recover())
    this.timers.push(setInterval(() => void this.lookWhoLives(), LIMITS.relayAliveMs))
    void this.lookWhoLives()
    void this.findPlace().catch(() => undefined)
    this.reading = this.read()
  }

  isUp(): boolean {
    return this.up
  }

  figures() {
    return { isUp: this.up, told: this.told, heard: this.heard }
  }

  open(boardId: string): Line {
    const line: StreamLine = new StreamLine(
      `${this.processId}.${++this.lineCount}`,
      {
        add: (entry) => this.add(boardId, entry),
        trim: (before) => this.trim(boardId, before),
        closed: () => {
          if (this.lines.get(boardId) === line) this.lines.delete(boardId)
          this.commands.hdel(hereOf(boardId), line.speaker).catch(() => undefined)
        },
      },
      this.hooks.clock,
    )
    this.lines.set(boardId, line)
    this.others(boardId, line).then(
      (others) => {
        line.greet(others)
        this.wake()
      },
      (error: unknown) => {
        line.doWithout()
        this.failed(messageOf(error))
      },
    )
    return line
  }

  tellBoard(boardId: string, message: Message): void {
    this.add(boardId, { speaker: '', count: 0, messages: [message] })
  }

  /** Of a few questions the one answered fastest is believed. */
  sharedOffset(): Promise<number> {
    const now = this.hooks.clock()
    if (!this.offset || now - this.offset.at > 1000) this.offset = { at: now, value: this.askOffset() }
    return this.offset.value
  }

  async close(): Promise<void> {
    this.isClosed = true
    for (const timer of this.timers) clearInterval(timer)
    for (const line of this.lines.values()) line.close()
    await this.commands.del(aliveOf(this.processId), this.wakeKey).catch(() => undefined)
    this.reader.disconnect()
    this.commands.disconnect()
    await this.reading
  }

  private async askOffset(): Promise<number> {
    let best = { roundTrip: Infinity, offset: 0 }
    for (let sample = 0; sample < CLOCK_SAMPLES; sample++) {
      const before = this.hooks.clock()
      const [seconds, micros] = await this.commands.time()
      const after = this.hooks.clock()
      const offset = Number(seconds) * 1000 + Number(micros) / 1000 - (before + after) / 2
      if (after - before < best.roundTrip) best = { roundTrip: after - before, offset }
    }
    return best.offset
  }

  /** Rooms of this board in other processes that live. */
  private async others(boardId: string, line: StreamLine): Promise<readonly string[]> {
    const key = hereOf(boardId)
    await this.commands.hset(key, line.speaker, '1')
    await this.commands.expire(key, LIMITS.relayForgottenS)
    const speakers = (await this.commands.hkeys(key)).filter((speaker) => processOf(speaker) !== this.processId)
    if (speakers.length === 0) return []
    const alive = await this.commands.mget(speakers.map((speaker) => aliveOf(processOf(speaker))))
    return speakers.filter((_speaker, index) => alive[index] !== null)
  }

  private add(boardId: string, entry: Entry): void {
    const key = streamOf(boardId)
    this.told += 1
    const added = this.commands.xadd(key, '*', ...entryFields(entry))
    added.catch((error: unknown) => this.failed(messageOf(error)))
    // A stream of words nobody may ever hear: it goes by itself.
    if (entry.speaker === '' || entry.count === 1)
      this.commands.expire(key, LIMITS.relayForgottenS).catch(() => undefined)
  }

  private trim(boardId: string, before: string): void {
    const key = streamOf(boardId)
    this.commands.xtrim(key, 'MINID', before).catch(() => undefined)
    this.commands.expire(key, LIMITS.relayForgottenS).catch(() => undefined)
  }

  private failed(reason: string): void {
    if (!this.up || this.isClosed) return
    this.up = false
    this.hooks.log('warn', 'processes do not hear each other: what they save meets in the store only', reason)
    setTimeout(() => void this.recover(), 1000).unref()
  }

  private async recover(): Promise<void> {
    if (this.up || this.isClosed) return
    try {
      await this.findPlace()
      await this.commands.set(aliveOf(this.processId), '1', 'PX', LIMITS.relayDeadAfterMs)
    } catch {
      // Where the connection is gone, its being ready again comes here too.
      setTimeout(() => void this.recover(), 1000).unref()
      return
    }
    if (this.up) return
    this.up = true
    this.upSince = this.hooks.clock()
    this.hooks.log('info', 'processes hear each other again')
    for (const [boardId, line] of this.lines)
      this.others(boardId, line)
        .then((others) => line.resume(others))
        .catch((error: unknown) => this.failed(messageOf(error)))
    this.wake()
  }

  /** A Redis that was started anew may have lost its streams, and count entries on from an earlier time. What is then read twice is told by its count. */
  private async findPlace(): Promise<void> {
    const runId = /run_id:(\w+)/.exec(await this.commands.info('server'))?.[1] ?? ''
    if (this.runId !== '' && runId !== this.runId) {
      this.wakeCursor = FIRST
      for (const line of this.lines.values()) line.cursor = FIRST
    }
    this.runId = runId
  }

  /** Ends a reading that waits, so that the next asks for the boards that have come too. */
  private wake(): void {
    this.commands.xadd(this.wakeKey, 'MAXLEN', 1, '*', 'w', '1').catch(() => undefined)
    this.commands.expire(this.wakeKey, 3600).catch(() => undefined)
  }

  private async read(): Promise<void> {
    while (!this.isClosed) {
      const lines = [...this.lines]
      const began = this.hooks.clock()
      try {
        const news = await this.readOnce(lines)
        for (const [key, entries] of news ?? []) this.deal(key, entries)
      } catch (error) {
        this.failed(messageOf(error))
        await pause(200)
      }
      const rest = began + LIMITS.relayReadMs + lines.length * READ_MS_A_STREAM - this.hooks.clock()
      if (rest > 0) await pause(rest)
    }
  }

  private async readOnce(lines: readonly (readonly [string, StreamLine])[]) {
    const keys = [this.wakeKey, ...lines.map(([boardId]) => streamOf(boardId))]
    const cursors = [this.wakeCursor, ...lines.map(([, line]) => line.cursor)]
    // A network that swallows answers.
    const late = setTimeout(() => this.reader.disconnect(true), READ_MS)
    try {
      return await this.reader.xread('COUNT', 500, 'BLOCK', BLOCK_MS, 'STREAMS', ...keys, ...cursors)
    } finally {
      clearTimeout(late)
    }
  }

  private deal(key: string, entries: readonly [string, string[]][]): void {
    if (key === this.wakeKey) {
      this.wakeCursor = entries.at(-1)?.[0] ?? this.wakeCursor
      return
    }
    const line = this.lines.get(key.slice(streamOf('').length))
    if (!line) return
    this.heard += entries.length
    for (const [id, fields] of entries) line.take(id, entryOf(fields, line.speaker))
  }

  /** Says that this process lives, and finds those that no longer do. After a gap everybody has time to say so again. */
  private async lookWhoLives(): Promise<void> {
    try {
      await this.commands.set(aliveOf(this.processId), '1', 'PX', LIMITS.relayDeadAfterMs)
      const speakers = [...this.lines.values()].flatMap((line) => [...line.others()])
      const processes = [...new Set(speakers.map(processOf))].filter((one) => one !== this.processId)
      if (processes.length === 0) return
      const alive = await this.commands.mget(processes.map(aliveOf))
      const silent = new Set(processes.filter((_process, index) => alive[index] === null))
      const dead = [...silent].filter((one) => this.missing.has(one))
      this.missing = silent
      if (this.hooks.clock() - this.upSince < LIMITS.relayDeadAfterMs) return
      for (const [boardId, line] of this.lines)
        for (const speaker of line.others()) {
          if (!dead.includes(processOf(speaker))) continue
          line.lose(speaker)
          await this.commands.hdel(hereOf(boardId), speaker)
        }
    } catch {
      // Told where something is said.
    }
  }
}

const pause = (ms: number): Promise<void> => new Promise((resolve) => setTimeout(resolve, ms))
