/** What this browser notes of its person's own work on one board, so that a reload while offline forgets none of it. */

/** `localStorage`, or nothing where the browser keeps nothing. */
export type NoteStore = Pick<Storage, 'getItem' | 'setItem' | 'removeItem'> | undefined

/** Pages opened on a board, each with a Yjs client id of its own; older ones matter only for edits made very long ago. */
const MOST_IDS = 40

export class OwnNotes {
  readonly #store: NoteStore
  readonly #boardId: string
  /** Names this page among several of one browser. */
  readonly #page: string
  #isForgotten = false

  constructor(store: NoteStore, boardId: string, page: string) {
    this.#store = store
    this.#boardId = boardId
    this.#page = page
  }

  /** How many edits of this browser no server has answered yet. */
  get waiting(): number {
    const held = this.#read<{ readonly [page: string]: number }>('waiting', {})
    return Object.values(held).reduce((sum, count) => sum + (Number.isSafeInteger(count) ? count : 0), 0)
  }

  /** Edits of earlier pages of this browser that no server has answered yet; they are this page's to send now. */
  takeWaiting(): number {
    const { waiting } = this
    this.#write('waiting', { [this.#page]: waiting })
    return waiting
  }

  setWaiting(count: number): void {
    const { [this.#page]: _mine, ...others } = this.#read<{ readonly [page: string]: number }>('waiting', {})
    this.#write('waiting', count > 0 ? { ...others, [this.#page]: count } : others)
  }

  /** Yjs client ids this browser has written under on this board, the given one among them. */
  clientIds(present: number): ReadonlySet<number> {
    const held = this.#read<readonly number[]>('ids', [])
    const ids = [...(Array.isArray(held) ? held : []), present].slice(-MOST_IDS)
    this.#write('ids', ids)
    return new Set(ids)
  }

  read<T>(what: 'steps' | 'rewritten' | 'prints', otherwise: T): T {
    return this.#read(what, otherwise)
  }

  write(what: 'steps' | 'rewritten' | 'prints', value: unknown): void {
    this.#write(what, value)
  }

  /** Removes everything, and notes nothing more. */
  forget(): void {
    this.#isForgotten = true
    for (const what of ['waiting', 'ids', 'steps', 'rewritten', 'prints']) {
      try {
        this.#store?.removeItem(this.#key(what))
      } catch {
        // reason: without storage there is nothing to forget
      }
    }
  }

  #key(what: string): string {
    return `chartloft:${this.#boardId}:${what}`
  }

  #read<T>(what: string, otherwise: T): T {
    try {
      const held = JSON.parse(this.#store?.getItem(this.#key(what)) ?? 'null') as T | null
      return typeof held === 'object' && held !== null ? held : otherwise
    } catch {
      return otherwise
    }
  }

  #write(what: string, value: unknown): void {
    if (this.#isForgotten) return
    try {
      this.#store?.setItem(this.#key(what), JSON.stringify(value))
    } catch {
      // reason: a full or private storage forgets this across a reload; the edits themselves are kept elsewhere
    }
  }
}
