/** One room's stream: what this process says into it, gathered, and what it hears there, in order, each once. */
import { LIMITS } from '../limits.js'
import { compareIds, type Entry } from './entry.js'
import type { Line, LineHooks, Message } from './relay.js'

interface Speaker {
  count: number
  /** Entries with edits that are not known to be in the store. */
  unsaved: { readonly count: number; readonly id: string }[]
}

/** What a line needs of its connection. */
export interface LineConnection {
  /** Adds an entry; failures are the connection's to deal with. */
  readonly add: (entry: Entry) => void
  readonly trim: (before: string) => void
  readonly closed: () => void
}

export class StreamLine implements Line {
  /** The last entry read. */
  cursor = '0-0'
  readonly ready: Promise<void>
  private count = 0
  private queue: Message[] = []
  private timer: NodeJS.Timeout | undefined
  private readonly speakers = new Map<string, Speaker>()
  private readonly own: Speaker = { count: 0, unsaved: [] }
  private hooks: LineHooks | undefined
  private early: (() => void)[] = []
  private awaited: Set<string> | undefined
  private hasArrived = false
  private trimmedAt = -Infinity
  private markReady: () => void = () => undefined

  constructor(
    readonly speaker: string,
    private readonly connection: LineConnection,
    private readonly clock: () => number,
  ) {
    this.ready = new Promise((resolve) => {
      this.markReady = resolve
    })
    setTimeout(() => this.markReady(), LIMITS.relayReadyMs).unref()
  }

  /** Rooms elsewhere that were heard lately. */
  others(): Iterable<string> {
    return this.speakers.keys()
  }

  /** Nobody else has this room open, as far as is known: whoever opens it says so first. */
  get isAlone(): boolean {
    return this.hasArrived && this.awaited?.size === 0 && this.speakers.size === 0
  }

  tell(message: Message): boolean {
    if (this.isAlone && message.kind !== 'hello' && message.kind !== 'gone') return false
    this.queue.push(message)
    this.timer ??= setTimeout(() => this.send(), LIMITS.relayTogetherMs)
    return true
  }

  mark(): number {
    this.send()
    return this.count
  }

  start(hooks: LineHooks): void {
    this.hooks = hooks
    for (const act of this.early.splice(0)) act()
  }

  /** The connection is there: `others` should tell what they have before anybody comes in here. */
  greet(others: Iterable<string>): void {
    this.awaited = new Set(others)
    this.tell({ kind: 'hello' })
  }

  /** Nobody can be asked: the store is all there is. */
  doWithout(): void {
    this.markReady()
  }

  async resume(others: Iterable<string>): Promise<void> {
    this.awaited = new Set(others)
    await this.hooks?.resumed()
    this.greet(this.awaited)
  }

  take(id: string, entry: Entry | undefined): void {
    this.cursor = id
    if (!entry) return
    if (entry.speaker === this.speaker) this.takeOwn(id, entry)
    else this.takeOther(id, entry)
    this.lookReady()
  }

  /** A process is no more, or has left: its unsaved edits are looked after, then forgotten here. */
  lose(speaker: string): void {
    this.awaited?.delete(speaker)
    this.lookReady()
    this.later((hooks) => {
      void hooks.gone(speaker).then(() => this.speakers.delete(speaker))
    })
  }

  close(): void {
    this.tell({ kind: 'gone' })
    this.send()
    this.markReady()
    this.hooks = undefined
    this.early = []
    this.connection.closed()
  }

  private send(): void {
    clearTimeout(this.timer)
    this.timer = undefined
    const messages = this.queue
    this.queue = []
    if (messages.length > 0) this.connection.add({ speaker: this.speaker, count: ++this.count, messages })
  }

  private takeOwn(id: string, entry: Entry): void {
    this.note(this.speaker, id, entry)
    for (const message of entry.messages) {
      if (message.kind === 'hello') this.hasArrived = true
      this.later((hooks) => hooks.hearOwn(message))
      if (message.kind === 'stored') this.trim(id)
    }
  }

  private takeOther(id: string, entry: Entry): void {
    const { speaker, count, messages } = entry
    if (speaker !== '') {
      const known = this.speakers.get(speaker)
      // Told again: at least once is what streams promise.
      if (known && count <= known.count) return
      if (count !== (known?.count ?? 0) + 1) this.later((hooks) => hooks.missed(speaker, count - 1))
      this.note(speaker, id, entry)
    }
    for (const message of messages) {
      if (message.kind === 'gone') this.lose(speaker)
      else if (this.hasArrived || message.kind === 'update' || message.kind === 'stored' || message.kind === 'authors')
        // Of what was said before this room came only edits matter: the rest is told anew.
        this.later((hooks) => hooks.hear(message, speaker, count))
      if (message.kind === 'state' && message.to === this.speaker) this.awaited?.delete(speaker)
    }
  }

  /** Counts an entry, and remembers where it lies until its edits are in the store. */
  private note(from: string, id: string, { count, messages }: Entry): void {
    const isOwn = from === this.speaker
    const speaker = isOwn ? this.own : (this.speakers.get(from) ?? { count: 0, unsaved: [] })
    if (!isOwn) this.speakers.set(from, speaker)
    speaker.count = count
    if (messages.some(({ kind }) => kind === 'update')) speaker.unsaved.push({ count, id })
    for (const message of messages)
      if (message.kind === 'stored') speaker.unsaved = speaker.unsaved.filter((one) => one.count > message.through)
  }

  /** Takes away what the store has, but for the last seconds: a reader that is slow finds its place. */
  private trim(lastId: string): void {
    const now = this.clock()
    if (now - this.trimmedAt < LIMITS.relayTrimMs) return
    this.trimmedAt = now
    const old = `${Number(lastId.split('-')[0]) - LIMITS.relayKeepMs}-0`
    const first = [this.own, ...this.speakers.values()].flatMap(({ unsaved }) =>
      unsaved.slice(0, 1).map(({ id }) => id),
    )
    const [before = old] = [old, ...first].toSorted(compareIds)
    this.connection.trim(before)
  }

  private lookReady(): void {
    if (this.hasArrived && this.awaited?.size === 0) this.later(() => this.markReady())
  }

  private later(act: (hooks: LineHooks) => void): void {
    const { hooks } = this
    if (hooks) act(hooks)
    else
      this.early.push(() => {
        if (this.hooks) act(this.hooks)
      })
  }
}
