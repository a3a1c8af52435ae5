/** What a room needs of the server around it. */
import type { Relay } from '../relay/relay.js'
import type { Store } from '../store/store.js'
import type { Saver } from './saver.js'

export interface RoomServices {
  readonly store: Store
  readonly saver: Saver
  /** Whether other processes may write to the same store. */
  readonly isShared?: boolean
  readonly relay?: Relay
  /** Another process has written ledger rows, or may have. */
  readonly ledgerMoved?: (boardId: string, seq: number) => void
  /** Another process has deleted the board. */
  readonly ended?: (boardId: string) => void
  /** Server monotonic clock, ms: the one clients' clocks are measured against. */
  readonly clock: () => number
  readonly refused: (reason: string) => void
  readonly delivered?: (frames: number) => void
  readonly fault: (error: unknown) => void
  /** How many pieces an update has, counted elsewhere; undefined where it does not decode. Rejects where nobody can count now. */
  readonly countPieces: (update: Uint8Array) => Promise<number | undefined>
  /** Frame of the ledger's state, for whoever comes in or has caught up. */
  readonly snapshot: (boardId: string) => Promise<Uint8Array>
}
