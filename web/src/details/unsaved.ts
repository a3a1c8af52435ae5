/** What the leader has written on this page and not saved: it outlives a look at another page, and knows when others were quicker. */
import type { PartSpec, PassPlan } from '@chartloft/shared-theory'
import { Cell } from '../state/cell.js'
import type { Player } from './lineup-draft.js'

export class Unsaved<T, Saved> {
  /** Undefined while nothing differs from what is saved. */
  readonly value = new Cell<T | undefined>(undefined)
  #from: { readonly saved: string; readonly seq: number } | undefined

  /** Writes `next`; the first edit remembers what it started from. */
  edit(next: T, saved: Saved, seq: number): void {
    this.#from ??= { saved: JSON.stringify(saved), seq }
    this.value.set(next)
  }

  /** The ledger's place the edits were begun at: what a command says it has seen. */
  get baseSeq(): number {
    return this.#from?.seq ?? 0
  }

  /** Whether something else has been saved since. */
  isOvertaken(saved: Saved): boolean {
    return this.#from !== undefined && this.#from.saved !== JSON.stringify(saved)
  }

  /** Goes on with these edits over what others saved. */
  keepOver(saved: Saved, seq: number): void {
    if (this.#from) this.#from = { saved: JSON.stringify(saved), seq }
  }

  /** One's own save changed what these edits build on: they change along. */
  follow(change: (edited: T) => T, now?: { readonly saved: Saved; readonly seq: number }): void {
    if (this.value.value === undefined) return
    this.value.set(change(this.value.value))
    if (now) this.keepOver(now.saved, now.seq)
  }

  drop(): void {
    this.#from = undefined
    this.value.set(undefined)
  }
}

export interface UnsavedDetails {
  readonly lineup: Unsaved<readonly Player[], readonly PartSpec[]>
  readonly roadmap: Unsaved<readonly PassPlan[], readonly PassPlan[]>
}

const kept = new WeakMap<object, UnsavedDetails>()

/** The one of this board, for as long as its page lives. */
export function unsavedOf(room: object): UnsavedDetails {
  const known = kept.get(room)
  if (known) return known
  const fresh = {
    lineup: new Unsaved<readonly Player[], readonly PartSpec[]>(),
    roadmap: new Unsaved<readonly PassPlan[], readonly PassPlan[]>(),
  }
  kept.set(room, fresh)
  return fresh
}
