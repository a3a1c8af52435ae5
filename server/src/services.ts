/** Everything the doors of the server (HTTP, sockets) need, put together once by app.ts. */
import type { Logger } from 'pino'
import type { CoolDown } from './access/cool-down.js'
import type { Buckets } from './access/rate.js'
import type { Keyring } from './access/secret.js'
import type { Sessions } from './access/sessions.js'
import type { Config } from './config.js'
import type { Commands } from './ledger/commands.js'
import type { Ledgers } from './ledger/ledger.js'
import type { Metrics } from './metrics.js'
import type { Polls } from './polls/polls.js'
import type { Rooms } from './rooms/rooms.js'
import type { Store } from './store/store.js'
import type { RunJob } from './workers/pool.js'

export interface Services {
  readonly config: Config
  readonly store: Store
  readonly keyring: Keyring
  readonly sessions: Sessions
  readonly ledgers: Ledgers
  readonly commands: Commands
  readonly polls: Polls
  readonly ballotPace: Buckets
  readonly coolDown: CoolDown
  readonly rooms: Rooms
  readonly run: RunJob
  readonly metrics: Metrics
  readonly log: Logger
  readonly maxBoards: number
  /** Epoch ms. */
  readonly now: () => number
  /** Monotonic ms: what clients' clocks are measured against. */
  readonly clock: () => number
  readonly isDraining: () => boolean
  readonly readiness: () => Promise<'ready' | 'draining' | 'disk'>
  readonly diskFailed: (error: unknown) => void
  readonly deleteBoard: (boardId: string) => Promise<void>
}
