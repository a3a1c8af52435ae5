/** The server's parts put together: what each needs of the others, in one place. */
import type { LedgerEntry } from '@chartloft/shared-theory'
import { CLOSE, type NoticeCode } from '@chartloft/shared-theory/board'
import type { Logger } from 'pino'
import { CoolDown } from './access/cool-down.js'
import { Buckets } from './access/rate.js'
import { openKeyring } from './access/secret.js'
import { Sessions } from './access/sessions.js'
import type { Config } from './config.js'
import { StoreError, messageOf } from './errors.js'
import { Commands } from './ledger/commands.js'
import { Ledgers } from './ledger/ledger.js'
import { LIMITS } from './limits.js'
import { createMetrics } from './metrics.js'
import { Polls } from './polls/polls.js'
import type { Relay } from './relay/relay.js'
import { startWatching } from './relay/watch.js'
import { Rooms } from './rooms/rooms.js'
import { Saver } from './rooms/saver.js'
import type { Services } from './services.js'
import { jsonFrame } from './socket/frames.js'
import type { Peer } from './socket/peer.js'
import type { Store } from './store/store.js'
import { timedStore } from './store/timed-store.js'
import type { MusicPool } from './workers/pool.js'
import type { Weigher } from './workers/weigher.js'

export interface Wiring {
  readonly services: Services
  readonly saver: Saver
  /** Every open socket. */
  readonly peers: Set<Peer>
  /** Keeps open boards in step with what other processes write to the store; answers with how to end it. */
  readonly watch: () => () => void
  readonly startDraining: () => void
}

export function wire(
  config: Config,
  log: Logger,
  openedStore: Store,
  pool: MusicPool,
  weigher: Weigher,
  relay: Relay | undefined,
): Wiring {
  const isShared = config.databaseUrl !== undefined
  const keyring = openKeyring(config.secretFile)
  const peers = new Set<Peer>()
  let isDraining = false
  const metrics = createMetrics({
    sockets: () => peers.size,
    rooms: () => rooms.size,
    ledgers: () => ledgers.size,
    ...(relay ? { relay: () => relay.figures() } : {}),
  })
  const store = timedStore(openedStore, clock, metrics.stored)
  const tellAll = (code: NoticeCode, message: string) => {
    for (const room of rooms.all()) room.tell(jsonFrame('notice', { code, message }))
  }
  const saver: Saver = new Saver(
    store,
    config.saveEveryMs,
    {
      saved: (lastIds, ms) => {
        metrics.saved(ms)
        for (const [boardId, id] of Object.entries(lastIds)) rooms.find(boardId)?.stored(id)
      },
      failed: (error) => {
        log.error({ reason: messageOf(error) }, 'the store cannot write')
        tellAll('disk', 'The server cannot save at the moment; your edits stay on this device.')
      },
      recovered: () => log.info('the store writes again'),
    },
    clock,
  )
  const ledgers = new Ledgers(store, clock)
  const polls = new Polls(store, now)
  const rooms: Rooms = new Rooms(
    {
      store,
      saver,
      isShared,
      ...(relay ? { relay } : {}),
      ledgerMoved: (boardId, seq) => {
        ledgers.catchUp(boardId, seq, (entry) => heard(boardId, entry)).catch(readFailed)
      },
      ended: (boardId) => end(boardId),
      clock,
      refused: metrics.refused,
      delivered: metrics.delivered,
      fault: (error) => log.error({ reason: messageOf(error) }, 'an update broke the document'),
      countPieces: (update) => weigher.countPieces(update),
      snapshot: async (boardId) => (await ledgers.get(boardId)).snapshot,
    },
    config.roomIdleMs,
  )
  const readFailed = (error: unknown) => log.error({ reason: messageOf(error) }, 'a ledger could not be read')
  const heard = (boardId: string, entry: LedgerEntry) => {
    rooms.find(boardId)?.tell(jsonFrame('ledger', entry))
    if (entry.command.kind === 'revokeLink') endSessions(peers, String(entry.command['linkId']))
  }
  const accepted = (boardId: string, entry: LedgerEntry) => {
    heard(boardId, entry)
    relay?.tellBoard(boardId, { kind: 'ledger', seq: entry.seq })
  }
  const end = (boardId: string) => {
    for (const peer of rooms.find(boardId)?.peers ?? [])
      peer.close(CLOSE.noBoard, 'deleted', 'The leader has deleted this board.')
    rooms.drop(boardId)
    ledgers.drop(boardId)
    polls.forget()
  }
  const services: Services = {
    config,
    store,
    keyring,
    sessions: new Sessions(store, keyring, config.publicUrl?.startsWith('https:') ?? false),
    ledgers,
    commands: new Commands({
      store,
      keyring,
      run: pool.run,
      now,
      ledgers,
      maxLedgerRows: config.maxLedgerRows,
      accepted,
      commanded: metrics.commanded,
      heard,
      isShared,
    }),
    polls,
    ballotPace: new Buckets(LIMITS.ballotsPerSecond, LIMITS.ballotsBurst, LIMITS.addressesRemembered),
    coolDown: new CoolDown(config.abusesPerMinute, config.coolDownMs),
    rooms,
    run: pool.run,
    metrics,
    log,
    maxBoards: config.maxBoards,
    now,
    clock,
    isDraining: () => isDraining,
    readiness: readinessProbe(store, () => isDraining, saver),
    diskFailed: (error) => log.error({ reason: messageOf(error) }, 'the store cannot write'),
    async deleteBoard(boardId) {
      await saver.flush()
      await store.deleteBoard(boardId)
      end(boardId)
      relay?.tellBoard(boardId, { kind: 'ended' })
    },
  }
  return {
    services,
    saver,
    peers,
    watch: () =>
      isShared
        ? startWatching({
            store,
            rooms,
            isHearing: () => relay?.isUp() ?? false,
            ledgerMoved: (boardId, seq) => ledgers.catchUp(boardId, seq, (entry) => heard(boardId, entry)),
            ended: end,
            failed: (error) => log.warn({ reason: messageOf(error) }, 'the store could not be asked how boards stand'),
          })
        : () => undefined,
    startDraining: () => {
      isDraining = true
    },
  }
}

const now = (): number => Date.now()
const clock = (): number => performance.now()

function endSessions(peers: Iterable<Peer>, linkId: string): void {
  for (const peer of peers) {
    if (peer.session.linkId === linkId)
      peer.close(CLOSE.revoked, 'revoked', 'The link you came with was revoked. Ask the leader for a new one.')
  }
}

/** Whether the server can take work: asked of the store by a real write, at most every two seconds. */
function readinessProbe(store: Store, isDraining: () => boolean, saver: Saver): Services['readiness'] {
  let last: { at: number; state: Promise<'ready' | 'disk'> } | undefined
  return async () => {
    if (isDraining()) return 'draining'
    if (saver.isFailing) return 'disk'
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
