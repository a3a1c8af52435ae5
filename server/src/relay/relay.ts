/** How one board's rooms in several processes hear of each other. What a relay carries is on its way only: the store is what holds, and whoever has
 *  missed something reads it there. */
import type { TransportFrom } from '@chartloft/shared-theory/board'
import type { AuthorRecord } from '../store/store.js'

/** Somebody's presence, with the user it belongs to as their own process knows it. */
export interface PresenceTold {
  readonly clientId: number
  readonly clock: number
  readonly state: string
  readonly userId: string
}

export type Message =
  /** A change of the draft that its process has checked and taken in. */
  | { readonly kind: 'update'; readonly bytes: Uint8Array }
  /** Whose Yjs client ids are; before the first update that uses them. */
  | { readonly kind: 'authors'; readonly authors: readonly AuthorRecord[] }
  | { readonly kind: 'presence'; readonly entries: readonly PresenceTold[] }
  /** Who has sockets in this process, and the ids they brought in there. */
  | { readonly kind: 'live'; readonly live: { readonly [userId: string]: readonly number[] } }
  /** Its `startsAt` on the clock all processes can ask. */
  | { readonly kind: 'transport'; readonly transport: TransportFrom }
  /** The store has ledger rows up to `seq`. */
  | { readonly kind: 'ledger'; readonly seq: number }
  /** What this process told up to its entry `through` is in the store: the last of it in row `id`, where all of that row was told. */
  | { readonly kind: 'stored'; readonly through: number; readonly id?: number }
  /** Somebody new here, or back after a gap: the others tell what they have and read the store. */
  | { readonly kind: 'hello' }
  | { readonly kind: 'state'; readonly to: string }
  /** This process has left the room. */
  | { readonly kind: 'gone' }
  /** The board is deleted. */
  | { readonly kind: 'ended' }

/** What a room does with what it hears. `from` is a process's room; entries of it are counted from 1. */
export interface LineHooks {
  readonly hear: (message: Message, from: string, entry: number) => void
  /** Its own message, in the order in which everybody hears them. */
  readonly hearOwn: (message: Message) => void
  /** Entries of a room elsewhere up to this one may have been lost on the way. */
  readonly missed: (from: string, entry: number) => void
  /** The connection is back after it was gone: everybody reads the store, and says hello again. */
  readonly resumed: () => Promise<void>
  /** A process has left the room or has died; resolves once nothing of it that is on its way is needed any more. */
  readonly gone: (from: string) => Promise<void>
}

/** One room's line to the same room elsewhere. */
export interface Line {
  readonly speaker: string
  /** False where nobody else has the room open: then it is not said. */
  tell(message: Message): boolean
  /** Ends the entry that is being gathered: whatever was told until now is in entries up to this one, and nothing told later is. */
  mark(): number
  /** Hears from now on, first what came since the line was opened. */
  start(hooks: LineHooks): void
  /** Resolves once everybody who is there has told what they have, or does not answer. */
  readonly ready: Promise<void>
  close(): void
}

export interface Relay {
  open(boardId: string): Line
  /** A word to whoever has the board's room open, from a process that need not. */
  tellBoard(boardId: string, message: Message): void
  /** Whether messages get through at the moment. */
  isUp(): boolean
  readonly figures: () => { readonly isUp: boolean; readonly told: number; readonly heard: number }
  /** How far the clock that all processes can ask is ahead of `clock` here, ms. Rejects where it cannot be asked. */
  sharedOffset(): Promise<number>
  close(): Promise<void>
}
