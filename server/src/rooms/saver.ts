/** Group commit: what all rooms changed in a few milliseconds goes to disk in one transaction, then everybody concerned is told. */
import type { AuthorRecord, DraftUpdate, Store } from '../store/store.js'

/** Somebody waiting to hear that what came before is on disk. */
export interface Waiting {
  /** Called when the batch is cut: what may be said once it is stored. */
  mark(): () => void
}

export interface SaverHooks {
  readonly saved: (lastIds: { readonly [boardId: string]: number }, ms: number) => void
  /** The store refused; everything is kept and tried again. */
  readonly failed: (error: unknown) => void
  readonly recovered: () => void
}

const RETRY_MS = 1000
/** While edits keep coming, this many times the usual pause lies between the beginnings of two commits: a sync to disk costs the same for one edit
 *  and for fifty. On a slow disk the pause is shorter by what the sync took, so that nobody waits for both. */
const STEADY = 5
/** Commits this close together are a steady stream of edits. */
const STEADY_WITHIN_MS = 60

export class Saver {
  private updates: DraftUpdate[] = []
  private authors: AuthorRecord[] = []
  private waiting = new Set<Waiting>()
  private timer: NodeJS.Timeout | undefined
  private running: Promise<void> | undefined
  private failing = false
  private isCutting = false
  private beganAt = -Infinity
  private committedAt = -Infinity

  constructor(
    private readonly store: Pick<Store, 'appendUpdates'>,
    private readonly everyMs: number,
    private readonly hooks: SaverHooks,
    private readonly now: () => number,
  ) {}

  /** True while the store refuses writes. */
  get isFailing(): boolean {
    return this.failing
  }

  add(update: DraftUpdate): void {
    this.updates.push(update)
    this.schedule(this.pauseMs())
  }

  addAuthor(author: AuthorRecord): void {
    this.authors.push(author)
    this.schedule(this.pauseMs())
  }

  /** Tells `waiting` once everything added so far is on disk. */
  tellWhenSaved(waiting: Waiting): void {
    this.waiting.add(waiting)
    this.schedule(this.pauseMs())
  }

  /** Everything added so far is on disk, or the store has refused it (then `isFailing`). */
  async flush(): Promise<void> {
    await this.running
    if (this.isIdle()) return
    await this.run()
  }

  /** The first edit after a quiet moment goes to disk soon; in a stream of them more are gathered. */
  private pauseMs(): number {
    const now = this.now()
    if (now - this.committedAt >= STEADY_WITHIN_MS) return this.everyMs
    return Math.max(this.everyMs, this.beganAt + this.everyMs * STEADY - now)
  }

  private isIdle(): boolean {
    return this.updates.length === 0 && this.authors.length === 0 && this.waiting.size === 0
  }

  private schedule(ms: number): void {
    if (this.timer || this.running || this.isCutting) return
    this.timer = setTimeout(() => void this.run(), ms)
  }

  private run(): Promise<void> {
    clearTimeout(this.timer)
    this.timer = undefined
    this.running ??= this.commit().finally(() => {
      this.running = undefined
      if (!this.isIdle()) this.schedule(this.failing ? RETRY_MS : this.pauseMs())
    })
    return this.running
  }

  private async commit(): Promise<void> {
    const waiting = [...this.waiting]
    this.waiting = new Set()
    // What is said may have to stand on more: that still goes into this commit.
    this.isCutting = true
    const tell = waiting.map((one) => one.mark())
    this.isCutting = false
    const { updates, authors } = this
    this.updates = []
    this.authors = []
    const began = this.now()
    this.beganAt = began
    try {
      const lastIds = updates.length + authors.length > 0 ? await this.store.appendUpdates(updates, authors) : {}
      if (this.failing) {
        this.failing = false
        this.hooks.recovered()
      }
      this.committedAt = this.now()
      this.hooks.saved(lastIds, this.committedAt - began)
      for (const say of tell) say()
    } catch (error) {
      this.updates = [...updates, ...this.updates]
      this.authors = [...authors, ...this.authors]
      for (const one of waiting) this.waiting.add(one)
      const isNew = !this.failing
      this.failing = true
      if (isNew) this.hooks.failed(error)
    }
  }
}
