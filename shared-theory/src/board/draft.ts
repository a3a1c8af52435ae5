/** The draft as clients read it, schema 1: whatever stands there, typed content comes out with issues, never an exception. */
import type { HandEdit, Issue, Option, PassPlan, Slot } from '../contract/index.js'
import type { CommentAnchor } from './bar-places.js'
import { BOARD_LIMITS } from './limits.js'
import { Reader, isObject } from './fields.js'
import { readEdit } from './read-edits.js'
import { optionFrom, passFrom, slotFrom } from './read-option.js'
import { parseSlotKey } from './slot.js'

export const DRAFT_SCHEMA = 1
/** Top-level names of the draft's document, and the shared type each one is. */
export const DRAFT_TYPES = {
  meta: 'map',
  roadmap: 'array',
  cards: 'map',
  options: 'map',
  trying: 'map',
  comments: 'map',
  notes: 'text',
} as const

export interface DraftEdit {
  readonly key: string
  readonly edit: HandEdit
}
export interface DraftCard {
  /** passId/sectionId */
  readonly key: string
  readonly note: string
  readonly edits: readonly DraftEdit[]
}
export interface DraftOption {
  readonly id: string
  readonly slot: Slot
  readonly option: Option
  readonly edits: readonly DraftEdit[]
  /** A claim: who it really was the server says by client id. */
  readonly by?: string
  readonly order: number
}
export interface DraftComment {
  readonly id: string
  readonly anchor: CommentAnchor
  readonly text: string
  readonly by: string
  /** Epoch ms, as the writer's clock had it. */
  readonly at: number
  readonly resolved: boolean
}
export interface Draft {
  readonly roadmap: readonly PassPlan[]
  readonly cards: readonly DraftCard[]
  /** By slot order as listed, then by id. */
  readonly options: readonly DraftOption[]
  readonly trying: { readonly [slotKey: string]: string }
  /** Oldest first. */
  readonly comments: readonly DraftComment[]
  readonly notes: string
}

/** Reads `doc.toJSON()` of a draft. What does not read is left out and told; it stays in the document untouched. */
export function readDraft(json: unknown): { readonly draft: Draft; readonly issues: readonly Issue[] } {
  const reader = new Reader()
  const root = isObject(json) ? json : {}
  if (!isObject(json)) reader.refuse('', 'the draft is no document')
  const schema = isObject(root['meta']) ? root['meta']['schema'] : undefined
  if (typeof schema === 'number' && schema > DRAFT_SCHEMA) {
    reader.refuse('meta/schema', `this draft was written by a newer version (${schema}); what this one knows is shown`)
  }
  const draft: Draft = {
    roadmap: listOf(root['roadmap'], BOARD_LIMITS.roadmapPasses).flatMap(
      (pass, index) => passFrom(reader, pass, `roadmap/${index}`) ?? [],
    ),
    cards: entriesOf(root['cards'], BOARD_LIMITS.draftCards).flatMap(
      ([key, card]) => cardFrom(reader, key, card) ?? [],
    ),
    options: entriesOf(root['options'], BOARD_LIMITS.draftOptions)
      .flatMap(([id, option]) => draftOptionFrom(reader, id, option) ?? [])
      .sort((a, b) => a.order - b.order || (a.id < b.id ? -1 : 1)),
    trying: Object.fromEntries(
      entriesOf(root['trying'], BOARD_LIMITS.places).filter(
        (entry): entry is [string, string] => typeof entry[1] === 'string' && parseSlotKey(entry[0]) !== undefined,
      ),
    ),
    comments: entriesOf(root['comments'], BOARD_LIMITS.draftComments)
      .flatMap(([id, comment]) => commentFrom(reader, id, comment) ?? [])
      .sort((a, b) => a.at - b.at || (a.id < b.id ? -1 : 1)),
    notes: textOf(root['notes'], BOARD_LIMITS.note),
  }
  return { draft, issues: reader.issues }
}

/** 'passId/sectionId/bar:tick:part', one key an edited thing, so that edits of different bars merge. */
export function editKey(edit: HandEdit): string {
  if (edit.kind === 'bars') {
    return typeof edit.at === 'string' ? `${edit.at}/bars` : `${edit.at.passId}/${edit.at.sectionId ?? ''}/bars`
  }
  const place = `${edit.at.pass}/${edit.at.sectionId}/${edit.at.bar}`
  if (edit.kind === 'melody') return `${place}:melody`
  return edit.kind === 'chord' ? `${place}:${edit.startTick}` : `${place}:${edit.startTick}:${edit.partId}`
}

/** An option with what was changed by hand laid over what was proposed; of two edits of one thing the later stands. */
export function optionWithEdits({ option, edits }: Pick<DraftOption, 'option' | 'edits'>): Option {
  if (edits.length === 0) return option
  const changed = new Set(edits.map(({ edit }) => editKey(edit)))
  const kept = (option.handEdits ?? []).filter((edit) => !changed.has(editKey(edit)))
  return { ...option, handEdits: [...kept, ...edits.map(({ edit }) => edit)] }
}

function cardFrom(reader: Reader, key: string, value: unknown): DraftCard | undefined {
  if (!isObject(value)) return reader.refuse(`cards/${key}`, 'a card was expected here')
  return {
    key,
    note: textOf(value['note'], BOARD_LIMITS.note),
    edits: editsFrom(reader, value['edits'], `cards/${key}/edits`),
  }
}

function draftOptionFrom(reader: Reader, id: string, value: unknown): DraftOption | undefined {
  const path = `options/${id}`
  if (!isObject(value)) return reader.refuse(path, 'an option was expected here')
  const option = optionFrom(reader, value['option'], `${path}/option`)
  const slot =
    typeof value['slot'] === 'string' ? parseSlotKey(value['slot']) : slotFrom(reader, value['slot'], `${path}/slot`)
  if (!option) return undefined
  if (!slot) return reader.refuse(`${path}/slot`, 'this option belongs to no decision')
  if (slot.decision !== option.kind)
    return reader.refuse(`${path}/slot`, `a ${option.kind} option cannot answer the ${slot.decision} decision`)
  return {
    id,
    slot,
    option,
    edits: editsFrom(reader, value['edits'], `${path}/edits`),
    ...(typeof value['by'] === 'string' ? { by: value['by'].slice(0, BOARD_LIMITS.personName) } : {}),
    order: typeof value['order'] === 'number' && Number.isFinite(value['order']) ? value['order'] : 0,
  }
}

function editsFrom(reader: Reader, value: unknown, path: string): readonly DraftEdit[] {
  return entriesOf(value, BOARD_LIMITS.edits)
    .sort(([a], [b]) => (a < b ? -1 : a > b ? 1 : 0))
    .flatMap(([key, held]) => {
      const edit = readEdit(reader, held, `${path}/${key}`)
      return edit ? [{ key, edit }] : []
    })
}

const ANCHOR = /^([^/]{1,120})\/([^/]{1,120})\/(\d{1,4})$/

function commentFrom(reader: Reader, id: string, value: unknown): DraftComment | undefined {
  const path = `comments/${id}`
  if (!isObject(value)) return reader.refuse(path, 'a comment was expected here')
  const anchor = anchorFrom(value['anchor'])
  if (!anchor) return reader.refuse(`${path}/anchor`, 'this comment points at no bar')
  return {
    id,
    anchor,
    text: textOf(value['text'], BOARD_LIMITS.comment),
    by: textOf(value['by'], BOARD_LIMITS.personName),
    at: typeof value['at'] === 'number' && Number.isFinite(value['at']) ? value['at'] : 0,
    resolved: value['resolved'] === true,
  }
}

/** 'passId/sectionId/bar' or its parts as an object, with what the bar was made from where that was kept. */
function anchorFrom(value: unknown): CommentAnchor | undefined {
  if (typeof value === 'string') {
    const found = ANCHOR.exec(value)
    return found ? { passId: found[1] as string, sectionId: found[2] as string, bar: Number(found[3]) } : undefined
  }
  if (!isObject(value)) return undefined
  const { passId, sectionId, bar, optionId } = value
  if (typeof passId !== 'string' || typeof sectionId !== 'string' || !isCount(bar)) return undefined
  const counts = ['tuneBar', 'turn', 'part'].flatMap((name) => (isCount(value[name]) ? [[name, value[name]]] : []))
  return {
    passId,
    sectionId,
    bar,
    ...(Object.fromEntries(counts) as { tuneBar?: number; turn?: number; part?: number }),
    ...(typeof optionId === 'string' && optionId.length <= 400 ? { optionId } : {}),
  }
}

const isCount = (value: unknown): value is number => Number.isSafeInteger(value) && (value as number) >= 0

const listOf = (value: unknown, most: number): readonly unknown[] => (Array.isArray(value) ? value.slice(0, most) : [])
const entriesOf = (value: unknown, most: number): [string, unknown][] =>
  isObject(value)
    ? Object.entries(value)
        .slice(0, most)
        .filter(([key]) => key.length <= 400)
    : []
const textOf = (value: unknown, most: number): string => (typeof value === 'string' ? value.slice(0, most) : '')
