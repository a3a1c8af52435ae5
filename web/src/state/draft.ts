/** The draft on this page: read through the shared rules, written through small named edits that undo by person. */
import * as Y from 'yjs'
import type { HandEdit, Option, Slot } from '@chartloft/shared-theory'
import {
  DRAFT_SCHEMA,
  type Draft,
  type DraftComment,
  type DraftOption,
  editKey,
  optionWithEdits,
  readDraft,
  slotKey,
} from '@chartloft/shared-theory/board'
import { Cell } from './cell.js'
import { type Conflict, type ConflictNotes, Conflicts, type Writers } from './conflicts.js'
import { type LeafPath, readLeaf, writeLeaf } from './leaf.js'
import { type Merged, mergedBy } from './merge.js'
import { HOUSEKEEPING, MINE } from './origins.js'
import type { Deed, Step } from './steps.js'
import { type StepNotes, Undo } from './undo.js'

/** Reading the whole draft is cheap, but not for every keystroke of ten editors. */
const READ_EVERY_MS = 40

/** What a page remembers of its person's own work. */
export interface DraftNotes extends StepNotes, ConflictNotes {
  read(what: 'steps' | 'rewritten', otherwise: unknown): unknown
  write(what: 'steps' | 'rewritten', value: unknown): void
}

export class DraftStore {
  readonly doc: Y.Doc
  readonly view: Cell<Draft>
  readonly undoing: Undo
  readonly conflicts: Conflicts
  readonly #options: Y.Map<unknown>
  readonly #trying: Y.Map<unknown>
  readonly #comments: Y.Map<unknown>
  readonly #newId: () => string
  readonly #writers: Writers
  #reading: ReturnType<typeof setTimeout> | undefined

  /** `writers`: whose a Yjs client id is; this person's are those of this page and of earlier ones. */
  constructor(doc: Y.Doc, newId: () => string, notes?: DraftNotes, writers?: Writers) {
    this.doc = doc
    this.#newId = newId
    doc.getMap('meta')
    doc.getArray('roadmap')
    const cards = doc.getMap('cards')
    this.#options = doc.getMap('options')
    this.#trying = doc.getMap('trying')
    this.#comments = doc.getMap('comments')
    const text = doc.getText('notes')
    this.view = new Cell(this.#read())
    this.#writers = writers ?? { isMine: (client) => client === doc.clientID }
    this.undoing = new Undo(doc, [cards, this.#options, this.#trying, this.#comments, text], MINE, notes)
    this.conflicts = new Conflicts(doc, this.#writers, notes)
    doc.on('afterTransaction', (transaction: Y.Transaction) => {
      if (transaction.changed.size === 0) return
      if (transaction.local) return this.readNow()
      this.#settle(mergedBy(transaction))
      this.#reading ??= setTimeout(() => this.readNow(), READ_EVERY_MS)
    })
  }

  readNow(): void {
    clearTimeout(this.#reading)
    this.#reading = undefined
    this.view.set(this.#read())
    this.undoing.look()
    this.conflicts.look()
  }

  #read(): Draft {
    return readDraft(this.doc.toJSON()).draft
  }

  /** After a merge: what one map hid of another is put back where its place is free; who rewrote the same place is told. */
  #settle({ rewritten, hidden }: Merged): void {
    const lost = hidden.filter(({ by }) => by.some((client) => this.#writers.isMine(client)))
    if (lost.length > 0) {
      this.doc.transact(() => {
        for (const { path, value } of lost) {
          this.#holderOf(path)
          if (readLeaf(this.doc, path) === undefined) writeLeaf(this.doc, path, value)
        }
      }, HOUSEKEEPING)
    }
    this.conflicts.take(rewritten)
  }

  #holderOf([root, id, , key]: LeafPath): void {
    const entry = key === undefined ? undefined : this.doc.getMap(root).get(id as string)
    if (entry instanceof Y.Map) editsOf(entry)
  }

  /** Takes back this person's newest step that nobody has changed since; returns it. */
  undo(): Step | undefined {
    return this.undoing.undo()
  }

  redo(): Step | undefined {
    return this.undoing.redo()
  }

  /** Of a place two people rewrote: one side for good. It can be taken back like any edit. */
  take(conflict: Conflict, side: 'mine' | 'theirs'): void {
    const value = conflict[side]
    this.conflicts.settle(conflict)
    if (value !== undefined) this.#write(conflict.path, value, { kind: 'take-mine' })
  }

  /** The option the band hears at a slot now, hand edits laid over it. */
  tried(slot: Slot): Option | undefined {
    const id = this.view.value.trying[slotKey(slot)]
    const held = this.view.value.options.find((option) => option.id === id && option.slot.decision === slot.decision)
    return held && optionWithEdits(held)
  }

  /** An option as it stands in the draft (with its hand edits), or as it was proposed. */
  current(option: Option): Option {
    const held = this.optionNamed(option.id)
    return held && held.option.kind === option.kind ? optionWithEdits(held) : option
  }

  optionNamed(id: string): DraftOption | undefined {
    return this.view.value.options.find((option) => option.id === id)
  }

  try(slot: Slot, option: Option, by: string): void {
    this.#hold(slot, option, by)
    this.#write(['trying', slotKey(slot)], option.id, { kind: 'try', title: option.title })
  }

  stopTrying(slot: Slot): void {
    this.#write(['trying', slotKey(slot)], undefined, { kind: 'stop-trying' })
  }

  /** Lays a hand edit over an option; the same place edited again replaces it. */
  edit(slot: Slot, option: Option, edit: HandEdit, by: string): void {
    this.#hold(slot, option, by)
    this.#write(['options', option.id, 'edits', editKey(edit)], plain(edit), { kind: 'edit', edit })
  }

  /** Takes a hand edit back. */
  unedit(optionId: string, key: string): void {
    const edit = this.optionNamed(optionId)?.edits.find((held) => held.key === key)?.edit
    this.#write(['options', optionId, 'edits', key], undefined, edit ? { kind: 'unedit', edit } : { kind: 'other' })
  }

  comment(anchor: DraftComment['anchor'], text: string, by: string, at: number): void {
    // In the order of their names, as a comment is read back.
    const comment = { anchor: plain(anchor), at, by, resolved: false, text }
    this.#write(['comments', this.#newId()], comment, { kind: 'comment' })
  }

  resolve(commentId: string, isResolved: boolean): void {
    if (this.#comments.get(commentId) instanceof Y.Map)
      this.#write(['comments', commentId, 'resolved'], isResolved, { kind: 'comment' })
  }

  removeComment(commentId: string): void {
    this.#write(['comments', commentId], undefined, { kind: 'comment' })
  }

  /** Makes room for an option without that counting as an edit: taking one's own edits back leaves it, with what others wrote in it. */
  #hold(slot: Slot, option: Option, by: string): void {
    const held = this.#options.get(option.id)
    const key = slotKey(slot)
    if (held instanceof Y.Map && held.get('slot') === key && held.get('edits') instanceof Y.Map) return
    this.#transact(() => {
      if (held instanceof Y.Map) {
        held.set('slot', key)
        editsOf(held)
        return
      }
      const entry = new Y.Map<unknown>()
      entry.set('slot', key)
      entry.set('option', plain(option))
      entry.set('edits', new Y.Map())
      entry.set('by', by)
      entry.set('order', this.#options.size)
      this.#options.set(option.id, entry)
    }, HOUSEKEEPING)
  }

  /** Writes one value as one step; nothing happens where it stands already. */
  #write(path: LeafPath, after: unknown, deed: Deed): void {
    const before = readLeaf(this.doc, path)
    if (before === after) return
    const change = {
      path,
      ...(before === undefined ? {} : { before }),
      ...(after === undefined ? {} : { after }),
    }
    this.undoing.do({ deed, changes: [change] }, () =>
      this.#transact(() => {
        this.#holderOf(path)
        writeLeaf(this.doc, path, after)
      }, MINE),
    )
  }

  #transact(edit: () => void, origin: symbol): void {
    this.doc.transact(() => {
      const meta = this.doc.getMap('meta')
      if (meta.get('schema') === undefined) meta.set('schema', DRAFT_SCHEMA)
      edit()
    }, origin)
  }
}

function editsOf(entry: Y.Map<unknown>): Y.Map<unknown> {
  const held = entry.get('edits')
  if (held instanceof Y.Map) return held
  const edits = new Y.Map<unknown>()
  entry.set('edits', edits)
  return edits
}

/** Shared types hold plain JSON only. */
const plain = (value: unknown): unknown => JSON.parse(JSON.stringify(value))
