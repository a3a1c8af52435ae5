/** Places that two people rewrote without seeing each other's: told until settled, across a reload too. */
import type { Doc } from 'yjs'
import type { HandEdit } from '@chartloft/shared-theory'
import { readDraft } from '@chartloft/shared-theory/board'
import { Cell } from './cell.js'
import { isHolder, isLeaf, type LeafPath, readLeaf, sameValue } from './leaf.js'
import type { Rewritten } from './merge.js'

/** One person's side of it. */
export interface Conflict {
  /** A single value's, or that of a map both made, where which of its values both wrote is not known here. */
  readonly path: LeafPath
  readonly mineStands: boolean
  readonly mine: unknown
  /** Undefined where only that they wrote is known, not what. */
  readonly theirs?: unknown
  /** Yjs client id the other one wrote under. */
  readonly other: number
  /** Which of the edits of that id it was; unknown in notes of earlier versions. */
  readonly at?: number
  /** Their name, where it was known when it was found. */
  readonly who?: string
}

/** Who wrote what under a Yjs client id, as far as this page knows; an id's edits need not all be its owner's. */
export interface Writers {
  isMine(client: number, clock?: number): boolean
  nameOf?(client: number, clock: number): string | undefined
}

export interface ConflictNotes {
  read(what: 'rewritten', otherwise: unknown): unknown
  write(what: 'rewritten', value: unknown): void
}

/** More at once nobody reads; the oldest give way. */
const MOST = 30

export class Conflicts {
  readonly open: Cell<readonly Conflict[]>
  readonly #doc: Doc
  readonly #writers: Writers
  readonly #notes: ConflictNotes | undefined

  constructor(doc: Doc, writers: Writers, notes?: ConflictNotes) {
    this.#doc = doc
    this.#writers = writers
    this.#notes = notes
    this.open = new Cell(conflictsFrom(notes?.read('rewritten', [])))
  }

  take(rewritten: readonly Rewritten[]): void {
    const found = rewritten.flatMap(({ path, stands, lost }): Conflict[] => {
      const mineStands = this.#writers.isMine(stands.client, stands.clock)
      if (mineStands === this.#writers.isMine(lost.client, lost.clock)) return []
      const [mine, theirs] = mineStands ? [stands, lost] : [lost, stands]
      if (mine.value === undefined) return []
      const known = theirs.value === undefined ? {} : { theirs: theirs.value }
      const who = this.#writers.nameOf?.(theirs.client, theirs.clock)
      const other = { other: theirs.client, at: theirs.clock }
      return [{ path, mineStands, mine: mine.value, ...other, ...known, ...(who ? { who } : {}) }]
    })
    if (found.length === 0) return
    const others = this.open.value.filter((known) => !found.some((one) => sameValue(one.path, known.path)))
    this.#set([...others, ...found].slice(-MOST))
  }

  settle(conflict: Conflict): void {
    this.#set(this.open.value.filter((one) => !sameValue(one.path, conflict.path)))
  }

  /** Drops what somebody has settled meanwhile by writing something else there. */
  look(): void {
    const still = this.open.value.filter(({ path, mineStands, mine, theirs }) => {
      const now = readLeaf(this.#doc, path)
      return isHolder(path) ? now !== undefined : sameValue(now, mineStands ? mine : theirs)
    })
    if (still.length < this.open.value.length) this.#set(still)
  }

  #set(open: readonly Conflict[]): void {
    this.open.set(open)
    this.#notes?.write('rewritten', open)
  }
}

function conflictsFrom(value: unknown): readonly Conflict[] {
  if (!Array.isArray(value)) return []
  return value.filter((one): one is Conflict => {
    const held = one as Partial<Conflict> | null
    return (
      Array.isArray(held?.path) && (isLeaf(held.path) || isHolder(held.path)) && typeof held.mineStands === 'boolean'
    )
  })
}

/** A hand edit that stood in a draft, read by the shared rules; undefined where it is none. */
export function editFrom(value: unknown): HandEdit | undefined {
  return readDraft({ cards: { read: { edits: { one: value } } } }).draft.cards[0]?.edits[0]?.edit
}
