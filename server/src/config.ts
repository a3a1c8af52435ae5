/** The environment as a typed configuration: every variable checked, a broken value ends the start with one clear line. */
import { join } from 'node:path'
import { isNetwork } from './access/networks.js'
import { StartError } from './errors.js'

export interface Config {
  readonly port: number
  readonly host: string
  readonly dataDir: string
  /** Postgres in place of the file in `dataDir`: what several processes can share. */
  readonly databaseUrl?: string
  /** Through which several processes of one database serve the same rooms. */
  readonly redisUrl?: string
  readonly secretFile: string
  /** Without a trailing slash; links and the Origin rule follow it. */
  readonly publicUrl?: string
  readonly logLevel: (typeof LOG_LEVELS)[number]
  readonly openBoardCreation: boolean
  /** Proxies in front whose X-Forwarded-For is believed. */
  readonly trustProxy: number
  readonly maxBoards: number
  readonly maxDataMb: number
  readonly maxLedgerRows: number
  readonly roomIdleMs: number
  readonly saveEveryMs: number
  readonly maxSockets: number
  readonly maxSocketsPerAddress: number
  readonly boardsPerMinute: number
  readonly sessionsPerMinute: number
  readonly socketMessagesPerSecond: number
  /** Asks every socket this often whether its other end is still there. */
  readonly keepAliveMs: number
  /** Addresses and networks, besides this machine, that may read `/metrics`. */
  readonly metricsFrom: readonly string[]
  /** Closings for abuse a session may have in a minute, an address four times as many, before it has to wait. */
  readonly abusesPerMinute: number
  readonly coolDownMs: number
}

const LOG_LEVELS = ['fatal', 'error', 'warn', 'info', 'debug', 'trace', 'silent'] as const

type Environment = { readonly [name: string]: string | undefined }

/** Reads what `serve` needs; empty values count as absent. Throws StartError naming the variable. */
export function readConfig(environment: Environment): Config {
  const text = (name: string) => environment[name]?.trim() || undefined
  const integer = (name: string, fallback: number, least: number, most: number): number => {
    const value = text(name)
    if (value === undefined) return fallback
    const number = Number(value)
    if (!/^\d+$/.test(value) || number < least || number > most) {
      throw new StartError(`${name} must be a whole number from ${least} to ${most}, not '${value}'.`)
    }
    return number
  }
  const databaseUrl = serviceUrl('DATABASE_URL', text('DATABASE_URL'), ['postgres:', 'postgresql:'])
  const redisUrl = serviceUrl('REDIS_URL', text('REDIS_URL'), ['redis:', 'rediss:'])
  if (redisUrl !== undefined && databaseUrl === undefined)
    throw new StartError('REDIS_URL needs DATABASE_URL: several processes can share a Postgres database, not a file.')
  const dataDir = text('DATA_DIR') ?? './data'
  const publicUrl = publicUrlOf(text('PUBLIC_URL'))
  return {
    port: integer('PORT', 8080, 0, 65_535),
    host: hostOf(text('HOST')),
    dataDir,
    secretFile: text('SECRET_FILE') ?? join(dataDir, 'secret'),
    ...(databaseUrl === undefined ? {} : { databaseUrl }),
    ...(redisUrl === undefined ? {} : { redisUrl }),
    ...(publicUrl === undefined ? {} : { publicUrl }),
    logLevel: choice('LOG_LEVEL', text('LOG_LEVEL'), LOG_LEVELS, 'info'),
    openBoardCreation: choice('OPEN_BOARD_CREATION', text('OPEN_BOARD_CREATION'), ['true', 'false'], 'true') === 'true',
    trustProxy: integer('TRUST_PROXY', 0, 0, 16),
    maxBoards: integer('MAX_BOARDS', 10_000, 1, 10_000_000),
    maxDataMb: integer('MAX_DATA_MB', 4096, 1, 10_000_000),
    maxLedgerRows: integer('MAX_LEDGER_ROWS', 20_000, 10, 10_000_000),
    roomIdleMs: integer('ROOM_IDLE_MS', 60_000, 0, 86_400_000),
    saveEveryMs: integer('SAVE_EVERY_MS', 8, 0, 1000),
    maxSockets: integer('MAX_SOCKETS', 5000, 1, 1_000_000),
    maxSocketsPerAddress: integer('MAX_SOCKETS_PER_ADDRESS', 200, 1, 1_000_000),
    boardsPerMinute: integer('BOARDS_PER_MINUTE', 30, 1, 1_000_000),
    sessionsPerMinute: integer('SESSIONS_PER_MINUTE', 600, 1, 1_000_000),
    socketMessagesPerSecond: integer('SOCKET_MESSAGES_PER_SECOND', 100, 1, 1_000_000),
    keepAliveMs: integer('KEEP_ALIVE_MS', 20_000, 100, 3_600_000),
    metricsFrom: networks('METRICS_FROM', text('METRICS_FROM')),
    abusesPerMinute: integer('ABUSES_PER_MINUTE', 10, 1, 1_000_000),
    coolDownMs: integer('COOL_DOWN_MS', 30_000, 0, 3_600_000),
  }
}

function choice<T extends string>(name: string, value: string | undefined, choices: readonly T[], fallback: T): T {
  if (value === undefined) return fallback
  const found = choices.find((known) => known === value)
  if (found === undefined) throw new StartError(`${name} must be one of ${choices.join(', ')}, not '${value}'.`)
  return found
}

/** Comma-separated addresses and networks, as '10.0.0.5, 172.16.0.0/12'. */
function networks(name: string, value: string | undefined): readonly string[] {
  const given = (value ?? '').split(',').map((one) => one.trim())
  const named = given.filter((one) => one !== '')
  for (const one of named) {
    if (!isNetwork(one)) throw new StartError(`${name} takes addresses and networks like 172.16.0.0/12, not '${one}'.`)
  }
  return named
}

function hostOf(value: string | undefined): string {
  if (value === undefined) return '127.0.0.1'
  if (!/^[A-Za-z0-9.:_-]{1,255}$/.test(value))
    throw new StartError(`HOST must be an address or a host name, not '${value}'.`)
  return value
}

function publicUrlOf(value: string | undefined): string | undefined {
  if (value === undefined) return undefined
  const url = URL.canParse(value) ? new URL(value) : undefined
  if (
    !url ||
    !['http:', 'https:'].includes(url.protocol) ||
    url.search !== '' ||
    url.hash !== '' ||
    url.pathname !== '/'
  ) {
    throw new StartError(
      `PUBLIC_URL must be an address like https://band.example with nothing after the host, not '${value}'.`,
    )
  }
  return url.origin
}

/** The value is not repeated in the message: it may hold a password. */
function serviceUrl(name: string, value: string | undefined, protocols: readonly string[]): string | undefined {
  if (value === undefined) return undefined
  const url = URL.canParse(value) ? new URL(value) : undefined
  if (!url || !protocols.includes(url.protocol) || url.hostname === '')
    throw new StartError(`${name} must be an address like ${protocols[0]}//user:password@host/name.`)
  return value
}
