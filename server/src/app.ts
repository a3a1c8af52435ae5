/** A server's life: opened, filled, listening, drained. */
import type { Server } from 'node:http'
import type { AddressInfo } from 'node:net'
import { availableParallelism } from 'node:os'
import { CLOSE } from '@chartloft/shared-theory/board'
import type { Logger } from 'pino'
import { randomId } from './access/secret.js'
import type { Config } from './config.js'
import { StartError, messageOf } from './errors.js'
import { createHttpServer } from './http/http.js'
import { LIMITS } from './limits.js'
import { openRedisRelay } from './relay/redis-relay.js'
import type { Relay } from './relay/relay.js'
import type { Services } from './services.js'
import { attachSockets } from './socket/upgrade.js'
import { openStore } from './store/open-store.js'
import type { Store } from './store/store.js'
import { startSweeping } from './sweep.js'
import { wire, type Wiring } from './wiring.js'
import { MusicPool } from './workers/pool.js'
import { Weigher } from './workers/weigher.js'

export interface App {
  readonly services: Services
  readonly port: number
  /** No new sockets, everything received on disk, all closed. */
  readonly drain: () => Promise<void>
}

/** Opens the store, lets `prepareBoards` do what must be there before anybody comes, and listens. Rejects with StartError where it cannot. */
export async function startApp(
  config: Config,
  log: Logger,
  prepareBoards: (services: Services) => Promise<void> = () => Promise.resolve(),
): Promise<App> {
  const store = await openStore(config, (error) =>
    log.warn({ reason: messageOf(error) }, 'a database connection was lost'),
  )
  const relay = await openRelay(config, log, store)
  const pool = new MusicPool(Math.max(1, Math.min(2, availableParallelism() - 1)), (job, reason) =>
    log.error({ job, reason }, 'music job failed'),
  )
  const weigher = new Weigher()
  try {
    const wiring = wire(config, log, store, pool, weigher, relay)
    const server = createHttpServer(wiring.services)
    attachSockets(server, wiring.services, wiring.peers)
    pool.warm()
    await prepareBoards(wiring.services)
    await listen(server, config)
    const stopSweeping = startSweeping(wiring)
    const stopWatching = wiring.watch()
    return {
      services: wiring.services,
      port: (server.address() as AddressInfo).port,
      async drain() {
        stopSweeping()
        stopWatching()
        await drain(wiring, server)
        await relay?.close()
        await pool.close()
        await weigher.close()
        await store.close()
      },
    }
  } catch (error) {
    await pool.close()
    await relay?.close()
    await store.close()
    throw error
  }
}

async function openRelay(config: Config, log: Logger, store: Store): Promise<Relay | undefined> {
  if (config.redisUrl === undefined) return undefined
  try {
    return await openRedisRelay(config.redisUrl, randomId(), {
      clock: () => performance.now(),
      log: (level, message, reason) => log[level](reason === undefined ? {} : { reason }, message),
    })
  } catch (error) {
    await store.close()
    throw error
  }
}

async function listen(server: Server, config: Config): Promise<void> {
  await new Promise<void>((resolve, reject) => {
    server.once('error', (error: NodeJS.ErrnoException) => reject(new StartError(listenProblem(error, config))))
    server.listen(config.port, config.host, resolve)
  })
}

/** Everybody is told and closed; what they had sent goes to disk; requests under way are answered, within limits. */
async function drain({ services, peers, saver, startDraining }: Wiring, server: Server): Promise<void> {
  startDraining()
  const closed = new Promise<void>((resolve) => server.close(() => resolve()))
  for (const peer of peers)
    peer.close(CLOSE.tryLater, 'draining', 'The server restarts; your edits are safe and you will be reconnected.')
  server.closeIdleConnections()
  await saver.flush()
  await Promise.race([closed, new Promise((resolve) => setTimeout(resolve, LIMITS.drainMs / 2).unref())])
  server.closeAllConnections()
  await saver.flush()
  if (saver.isFailing) services.log.error('the store refused the last edits')
}

function listenProblem(error: NodeJS.ErrnoException, { host, port }: Config): string {
  if (error.code === 'EADDRINUSE')
    return `PORT ${port} on ${host} is in use by another program; choose another with PORT or --port.`
  if (error.code === 'EACCES') return `PORT ${port} on ${host} may not be opened by this user; choose one from 1024 up.`
  return `HOST ${host}, PORT ${port} cannot be opened: ${error.message}.`
}
