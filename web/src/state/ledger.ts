/** The ledger as this page knows it: a snapshot to start from, then one row after another, folded by the shared rules. */
import type { BoardState, LedgerEntry } from '@chartloft/shared-theory'
import { foldEntry, foldLedger, type LedgerMessage } from '@chartloft/shared-theory/board'
import { Cell } from './cell.js'

export class LedgerCache {
  readonly state = new Cell<BoardState | undefined>(undefined)
  /** Every row, for the history page; empty until asked for. */
  readonly entries = new Cell<readonly LedgerEntry[]>([])
  /** The newest row as it arrived live, for announcements. */
  readonly newest = new Cell<LedgerEntry | undefined>(undefined)
  readonly #fetchAfter: (seq: number) => Promise<readonly LedgerEntry[]>
  #whole = false
  /** The state is the one this browser kept; whatever the server says replaces it. */
  isKept = false
  #loading: Promise<void> | undefined

  constructor(fetchAfter: (seq: number) => Promise<readonly LedgerEntry[]>) {
    this.#fetchAfter = fetchAfter
  }

  /** Shows the last state this browser saw, until the server says how things stand. */
  openKept(state: BoardState): void {
    if (this.state.value) return
    this.isKept = true
    this.state.set(state)
  }

  hear(message: LedgerMessage): void {
    if ('state' in message) {
      // The same row again is the same state: nothing is drawn anew.
      if (this.isKept || !this.state.value || message.seq > this.state.value.seq) this.state.set(message.state)
      this.isKept = false
      if (this.#whole) void this.#catchUp()
      return
    }
    this.take(message)
  }

  /** One accepted row, from the socket or as the answer to our own command; rows seen before are skipped. */
  take(entry: LedgerEntry): void {
    const state = this.state.value
    if (!state || entry.seq <= state.seq) return
    if (entry.seq > state.seq + 1 || entry.command.kind === 'restoreVersion') {
      // A gap, or a row that needs older states: the rows are fetched and folded from the beginning.
      void this.loadAll(true)
    } else {
      if (this.#whole) this.entries.set([...this.entries.value, entry])
      this.state.set(foldEntry(state, entry, () => undefined))
    }
    this.newest.set(entry)
  }

  /** Fetches the whole history once. */
  async loadAll(again = false): Promise<void> {
    if (this.#whole && !again) return
    this.#loading ??= this.#fetchAfter(0)
      .then((entries) => {
        this.#whole = true
        this.entries.set(entries)
        const state = foldLedger(entries)
        if (state.seq >= (this.state.value?.seq ?? 0)) this.state.set(state)
      })
      .finally(() => {
        this.#loading = undefined
      })
    await this.#loading
  }

  async #catchUp(): Promise<void> {
    const last = this.entries.value.at(-1)?.seq ?? 0
    if (last >= (this.state.value?.seq ?? 0)) return
    const more = await this.#fetchAfter(last)
    this.entries.set([...this.entries.value, ...more.filter((entry) => entry.seq > last)])
  }

  /** The state after a row, for reading history; needs `loadAll` first. */
  stateAt(seq: number): BoardState {
    return foldLedger(this.entries.value.filter((entry) => entry.seq <= seq))
  }
}
