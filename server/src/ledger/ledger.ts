/** One board's ledger in memory: its folded state, when what last changed, and a queue that lets one command at a time through. */
import type { BoardState, LedgerEntry } from '@chartloft/shared-theory'
import { EMPTY_STATE, foldEntry, foldLedger, noteChange } from '@chartloft/shared-theory/board'
import { Refusal } from '../errors.js'
import { LIMITS } from '../limits.js'
import { jsonFrame } from '../socket/frames.js'
import type { Store } from '../store/store.js'

export class Ledger {
  private current: BoardState = EMPTY_STATE
  private readonly changedAt = new Map<string, number>()
  private queue: Promise<unknown> = Promise.resolve()
  private waiting = 0
  private frame: Uint8Array | undefined
  usedAt = 0

  private constructor(
    readonly boardId: string,
    private readonly store: Store,
  ) {}

  static async open(boardId: string, store: Store): Promise<Ledger> {
    const ledger = new Ledger(boardId, store)
    await ledger.catchUp(() => undefined)
    return ledger
  }

  get state(): BoardState {
    return this.current
  }

  get changes(): ReadonlyMap<string, number> {
    return this.changedAt
  }

  /** The state as a frame, made once a change. */
  get snapshot(): Uint8Array {
    this.frame ??= jsonFrame('ledger', { seq: this.current.seq, state: this.current })
    return this.frame
  }

  /** Runs one command after the other; rejects with Refusal 'too_fast' where too many wait. */
  async inTurn<T>(run: () => Promise<T>): Promise<T> {
    if (this.waiting >= LIMITS.commandQueue)
      throw new Refusal('too_fast', 'Too many commands wait for this board; try again in a moment.')
    this.waiting += 1
    const turn = this.queue.then(run, run)
    this.queue = turn.catch(() => undefined)
    try {
      return await turn
    } finally {
      this.waiting -= 1
    }
  }

  /** Takes an entry that is in the store; `tell` runs in the same instant, so that nobody who comes in meanwhile hears it twice or never. */
  async take(entry: LedgerEntry, tell: (entry: LedgerEntry) => void): Promise<void> {
    const earlier =
      entry.command.kind === 'restoreVersion' ? await this.stateAt(Number(entry.command['toSeq'])) : undefined
    this.current = foldEntry(this.current, entry, () => earlier)
    noteChange(this.changedAt, entry.command, entry.seq)
    this.frame = undefined
    tell(entry)
  }

  /** The state after an earlier row. */
  async stateAt(seq: number): Promise<BoardState> {
    const entries: LedgerEntry[] = []
    for await (const page of this.pages(0)) entries.push(...page)
    return foldLedger(entries.filter((entry) => entry.seq <= seq))
  }

  /** Takes the rows others have written to the store since, in order. */
  async catchUp(tell: (entry: LedgerEntry) => void): Promise<void> {
    for await (const page of this.pages(this.current.seq)) {
      for (const entry of page) await this.take(entry, tell)
    }
  }

  private async *pages(after: number): AsyncGenerator<readonly LedgerEntry[]> {
    let last = after
    for (;;) {
      const page = await this.store.entries(this.boardId, last, LIMITS.ledgerPage)
      if (page.length === 0) return
      yield page
      last = page.at(-1)?.seq ?? last
      if (page.length < LIMITS.ledgerPage) return
    }
  }
}

/** Ledgers in use, opened once each. */
export class Ledgers {
  private readonly held = new Map<string, Promise<Ledger>>()

  constructor(
    private readonly store: Store,
    private readonly now: () => number,
  ) {}

  /** Rejects with Refusal 'not_found' where there is no such board. */
  async get(boardId: string): Promise<Ledger> {
    let opening = this.held.get(boardId)
    if (!opening) {
      opening = this.open(boardId)
      this.held.set(boardId, opening)
      opening.catch(() => this.held.delete(boardId))
    }
    const ledger = await opening
    ledger.usedAt = this.now()
    return ledger
  }

  get size(): number {
    return this.held.size
  }

  /** Of a ledger in use: takes in the rows up to `seq` another process has written. */
  async catchUp(boardId: string, seq: number, heard: (entry: LedgerEntry) => void): Promise<void> {
    const ledger = await this.held.get(boardId)
    if (ledger && ledger.state.seq < seq)
      await ledger.inTurn(() => (ledger.state.seq < seq ? ledger.catchUp(heard) : Promise.resolve()))
  }

  drop(boardId: string): void {
    this.held.delete(boardId)
  }

  /** Forgets ledgers unused since `before`, but for those `isNeeded`. */
  async sweep(before: number, isNeeded: (boardId: string) => boolean): Promise<void> {
    for (const [boardId, opening] of this.held) {
      const ledger = await opening.catch(() => undefined)
      if (ledger && ledger.usedAt < before && !isNeeded(boardId)) this.held.delete(boardId)
    }
  }

  private async open(boardId: string): Promise<Ledger> {
    const board = await this.store.board(boardId)
    if (!board) throw new Refusal('not_found', 'There is no such board.')
    return Ledger.open(boardId, this.store)
  }
}
