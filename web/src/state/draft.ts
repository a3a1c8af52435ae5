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

/** Marks transactions of this page, so that undo touches nobody else's edits. */
const MINE = Symbol('mine')
/** Reading the whole draft is cheap, but not for every keystroke of ten editors. */
const READ_EVERY_MS = 40

export class DraftStore {
  readonly doc: Y.Doc
  readonly view: Cell<Draft>
  readonly canUndo = new Cell(false)
  readonly canRedo = new Cell(false)
  /** An edit of mine that another person's edit of the same place replaced. */
  readonly overwritten = new Cell<{ readonly mine: HandEdit; readonly now: HandEdit | undefined } | undefined>(
    undefined,
  )
  readonly #options: Y.Map<unknown>
  readonly #trying: Y.Map<unknown>
  readonly #comments: Y.Map<unknown>
  readonly #cards: Y.Map<unknown>
  readonly #undo: Y.UndoManager
  readonly #newId: () => string
  /** My hand edits as I left them, to notice when somebody else's edit of the same place won. */
  readonly #mine = new Map<string, HandEdit>()
  #reading: ReturnType<typeof setTimeout> | undefined

  constructor(doc: Y.Doc, newId: () => string) {
    this.doc = doc
    this.#newId = newId
    doc.getMap('meta')
    doc.getArray('roadmap')
    this.#cards = doc.getMap('cards')
    this.#options = doc.getMap('options')
    this.#trying = doc.getMap('trying')
    this.#comments = doc.getMap('comments')
    const notes = doc.getText('notes')
    this.view = new Cell(this.#read())
    this.#undo = new Y.UndoManager([this.#cards, this.#options, this.#trying, this.#comments, notes], {
      trackedOrigins: new Set([MINE]),
    })
    const steps = () => {
      this.canUndo.set(this.#undo.undoStack.length > 0)
      this.canRedo.set(this.#undo.redoStack.length > 0)
    }
    this.#undo.on('stack-item-added', steps)
    this.#undo.on('stack-item-popped', steps)
    this.#undo.on('stack-cleared', steps)
    doc.on('afterTransaction', (transaction: Y.Transaction) => {
      if (transaction.changed.size === 0) return
      if (transaction.local) this.readNow()
      else this.#reading ??= setTimeout(() => this.readNow(), READ_EVERY_MS)
    })
  }

  readNow(): void {
    clearTimeout(this.#reading)
    this.#reading = undefined
    this.view.set(this.#read())
    this.#compareMine()
  }

  /** Two people in the same bar end with one edit; the other is told instead of left to wonder. */
  #compareMine(): void {
    for (const [key, mine] of this.#mine) {
      const [optionId = '', place = ''] = key.split(' ')
      const now = this.optionNamed(optionId)?.edits.find((held) => held.key === place)?.edit
      if (JSON.stringify(now) === JSON.stringify(mine)) continue
      this.#mine.delete(key)
      this.overwritten.set({ mine, now })
    }
  }

  #read(): Draft {
    return readDraft(this.doc.toJSON()).draft
  }

  undo(): void {
    this.#mine.clear()
    this.#undo.undo()
  }

  redo(): void {
    this.#mine.clear()
    this.#undo.redo()
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
    this.#change(() => {
      this.#put(slot, option, by)
      this.#trying.set(slotKey(slot), option.id)
    })
  }

  stopTrying(slot: Slot): void {
    if (!this.#trying.has(slotKey(slot))) return
    this.#change(() => this.#trying.delete(slotKey(slot)))
  }

  /** Lays a hand edit over an option; the same place edited again replaces it. */
  edit(slot: Slot, option: Option, edit: HandEdit, by: string): void {
    this.#mine.set(`${option.id} ${editKey(edit)}`, edit)
    this.#change(() => {
      const held = this.#put(slot, option, by)
      editsOf(held).set(editKey(edit), plain(edit))
    })
  }

  /** Takes a hand edit back. */
  unedit(optionId: string, key: string): void {
    const held = this.#options.get(optionId)
    this.#mine.delete(`${optionId} ${key}`)
    if (held instanceof Y.Map) this.#change(() => editsOf(held).delete(key))
  }

  comment(anchor: DraftComment['anchor'], text: string, by: string, at: number): void {
    this.#change(() => {
      const comment = new Y.Map<unknown>()
      comment.set('anchor', { ...anchor })
      comment.set('text', new Y.Text(text))
      comment.set('by', by)
      comment.set('at', at)
      comment.set('resolved', false)
      this.#comments.set(this.#newId(), comment)
    })
  }

  resolve(commentId: string, isResolved: boolean): void {
    const comment = this.#comments.get(commentId)
    if (comment instanceof Y.Map) this.#change(() => comment.set('resolved', isResolved))
  }

  removeComment(commentId: string): void {
    if (this.#comments.has(commentId)) this.#change(() => this.#comments.delete(commentId))
  }

  #put(slot: Slot, option: Option, by: string): Y.Map<unknown> {
    const held = this.#options.get(option.id)
    if (held instanceof Y.Map) {
      if (held.get('slot') !== slotKey(slot)) held.set('slot', slotKey(slot))
      return held
    }
    const entry = new Y.Map<unknown>()
    entry.set('slot', slotKey(slot))
    entry.set('option', plain(option))
    entry.set('edits', new Y.Map())
    entry.set('by', by)
    entry.set('order', this.#options.size)
    this.#options.set(option.id, entry)
    return entry
  }

  #change(edit: () => void): void {
    this.doc.transact(() => {
      const meta = this.doc.getMap('meta')
      if (meta.get('schema') === undefined) meta.set('schema', DRAFT_SCHEMA)
      edit()
    }, MINE)
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
