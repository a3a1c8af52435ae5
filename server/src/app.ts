/** The server put together: store, rooms, ledgers, doors; started, swept, drained. */
import { availableParallelism } from 'node:os'
import type { AddressInfo } from 'node:net'
import type { LedgerEntry } from '@chartloft/shared-theory'
import { CLOSE } from '@chartloft/shared-theory/board'
import type { Logger } from 'pino'
import { Buckets } from './access/rate.js'
import { openKeyring } from './access/secret.js'
import { Sessions } from './access/sessions.js'
import type { Config } from './config.js'
import { StartError, StoreError, messageOf } from './errors.js'
import { createHttpServer } from './http/http.js'
import { Commands } from './ledger/commands.js'
import { Ledgers } from './ledger/ledger.js'
import { LIMITS } from './limits.js'
import { createMetrics } from './metrics.js'
import { Polls } from './polls/polls.js'
import { Room } from './rooms/room.js'
import { Rooms } from './rooms/rooms.js'
import { Saver } from './rooms/saver.js'
import type { Services } from './services.js'
import { jsonFrame } from './socket/frames.js'
import { attachSockets, type Sockets } from './socket/upgrade.js'
import { openWorkerStore } from './store/worker-store.js'
import type { Store } from './store/store.js'
import { MusicPool } from './workers/pool.js'

export interface App {
  readonly services: Services
  readonly port: number
  /** No new sockets, everything received on disk, all closed. */
  readonly drain: () => Promise<void>
}

const now = (): number => Date.now()
const clock = (): number => performance.now()

/** Opens the store and listens. Rejects with StartError where it cannot. */
export async function startApp(config: Config, log: Logger): Promise<App> {
  const store = await openStore(config)
  const keyring = openKeyring(config.secretFile)
  const pool = new MusicPool(Math.max(1, Math.min(2, availableParallelism() - 1)), (job, reason) =>
    log.error({ job, reason }, 'music job failed'),
  )
  let isDraining = false
  let sockets: Sockets | undefined
  const metrics = createMetrics({ sockets: () => sockets?.count() ?? 0, rooms: () => rooms.size })
  const tellDisk = (error: unknown) => {
    log.error({ reason: messageOf(error) }, 'the store cannot write')
    for (const room of rooms.all())
      room.tell(
        jsonFrame('notice', {
          code: 'disk',
          message: 'The server cannot save at the moment; your edits stay on this device.',
        }),
      )
  }
  const saver: Saver = new Saver(
    store,
    config.saveEveryMs,
    {
      saved: (lastIds, ms) => {
        metrics.saved(ms)
        for (const [boardId, id] of Object.entries(lastIds)) rooms.find(boardId)?.stored(id)
      },
      failed: tellDisk,
      recovered: () => log.info('the store writes again'),
    },
    clock,
  )
  const ledgers = new Ledgers(store, clock)
  const rooms: Rooms = new Rooms(
    {
      store,
      saver,
      clock,
      refused: metrics.refused,
      fault: (error) => log.error({ reason: messageOf(error) }, 'an update broke the document'),
      snapshot: async (boardId) => (await ledgers.get(boardId)).snapshot,
    },
    config.roomIdleMs,
  )
  const accepted = (boardId: string, entry: LedgerEntry) => {
    rooms.find(boardId)?.tell(jsonFrame('ledger', entry))
    if (entry.command.kind === 'revokeLink') endSessionsOf(String(entry.command['linkId']))
  }
  const endSessionsOf = (linkId: string) => {
    for (const peer of sockets?.peers() ?? []) {
      if (peer.session.linkId === linkId)
        peer.close(CLOSE.revoked, 'revoked', 'The link you came with was revoked. Ask the leader for a new one.')
    }
  }
  const prepare = { store, keyring, run: pool.run, now }
  const readiness = readinessProbe(store, () => isDraining, now)
  const services: Services = {
    config,
    store,
    keyring,
    sessions: new Sessions(store, keyring, config.publicUrl?.startsWith('https:') ?? false),
    ledgers,
    commands: new Commands({ ...prepare, ledgers, maxLedgerRows: config.maxLedgerRows, accepted }),
    polls: new Polls(store, now),
    ballotPace: new Buckets(20, 100, LIMITS.addressesRemembered),
    rooms,
    run: pool.run,
    metrics,
    log,
    maxBoards: config.maxBoards,
    now,
    clock,
    isDraining: () => isDraining,
    readiness,
    diskFailed: (error) => log.error({ reason: messageOf(error) }, 'the store cannot write'),
    async deleteBoard(boardId) {
      await saver.flush()
      await store.deleteBoard(boardId)
      for (const peer of rooms.find(boardId)?.peers ?? [])
        peer.close(CLOSE.noBoard, 'deleted', 'The leader has deleted this board.')
      rooms.drop(boardId)
      ledgers.drop(boardId)
    },
  }
  const server = createHttpServer(services)
  sockets = attachSockets(server, services)
  const open = sockets
  await new Promise<void>((resolve, reject) => {
    server.once('error', (error: NodeJS.ErrnoException) => reject(new StartError(listenProblem(error, config))))
    server.listen(config.port, config.host, resolve)
  }).catch(async (error: unknown) => {
    await store.close()
    throw error
  })
  pool.warm()
  const timers = [
    setInterval(() => void sweep().catch(tellDisk), LIMITS.sweepEveryMs),
    setInterval(() => {
      for (const peer of open.peers()) peer.keepAlive(Room.KEEP_ALIVE)
    }, LIMITS.keepAliveMs),
  ]
  let isSweeping = false
  const sweep = async () => {
    for (const peer of open.peers()) {
      peer.tend(clock())
      const { expiresAt } = peer.session
      if (expiresAt !== undefined && expiresAt <= now())
        peer.close(CLOSE.revoked, 'revoked', 'The link you came with has expired. Ask the leader for a new one.')
    }
    if (isSweeping) return
    isSweeping = true
    try {
      for (const { boardId, pollId } of await store.duePolls(now()))
        await services.commands.giveAsServer(boardId, 'closePoll', { pollId })
      await rooms.sweep(clock())
      await ledgers.sweep(clock() - config.roomIdleMs - 1000, (boardId) => rooms.find(boardId) !== undefined)
    } finally {
      isSweeping = false
    }
  }

  return {
    services,
    port: (server.address() as AddressInfo).port,
    async drain() {
      isDraining = true
      for (const timer of timers) clearInterval(timer)
      const closed = new Promise<void>((resolve) => server.close(() => resolve()))
      for (const peer of open.peers())
        peer.close(CLOSE.tryLater, 'draining', 'The server restarts; your edits are safe and you will be reconnected.')
      server.closeIdleConnections()
      await saver.flush()
      await Promise.race([closed, new Promise((resolve) => setTimeout(resolve, LIMITS.drainMs / 2).unref())])
      server.closeAllConnections()
      await saver.flush()
      await pool.close()
      await store.close()
    },
  }
}

async function openStore(config: Config): Promise<Store> {
  try {
    const store = await openWorkerStore({ dataDir: config.dataDir, maxDataMb: config.maxDataMb })
    await store.probe(Date.now())
    return store
  } catch (error) {
    throw new StartError(`DATA_DIR '${config.dataDir}' cannot be used: ${messageOf(error)}.`)
  }
}

/** Whether the server can take work: asked of the store by a real write, at most every two seconds. */
function readinessProbe(store: Store, isDraining: () => boolean, now: () => number): Services['readiness'] {
  let last: { at: number; state: Promise<'ready' | 'disk'> } | undefined
  return async () => {
    if (isDraining()) return 'draining'
    if (!last || now() - last.at >= LIMITS.probeEveryMs) {
      const state = store.probe(now()).then(
        () => 'ready' as const,
        (error: unknown) =>
          error instanceof StoreError && error.code === 'busy' ? ('ready' as const) : ('disk' as const),
      )
      last = { at: now(), state }
    }
    return last.state
  }
}

function listenProblem(error: NodeJS.ErrnoException, { host, port }: Config): string {
  if (error.code === 'EADDRINUSE')
    return `PORT ${port} on ${host} is in use by another program; choose another with PORT or --port.`
  if (error.code === 'EACCES') return `PORT ${port} on ${host} may not be opened by this user; choose one from 1024 up.`
  return `HOST ${host}, PORT ${port} cannot be opened: ${error.message}.`
}
