/** One person's own edits, in the words' terms: what was done, and how it is undone where nobody has changed it since. */
import type * as Y from 'yjs'
import type { HandEdit } from '@chartloft/shared-theory'
import { type LeafPath, readLeaf, sameValue, writeLeaf } from './leaf.js'

/** What a step was, for its label. */
export type Deed =
  | { readonly kind: 'edit' | 'unedit'; readonly edit: HandEdit }
  | { readonly kind: 'try'; readonly title: string }
  | { readonly kind: 'stop-trying' }
  | { readonly kind: 'take-mine' }
  | { readonly kind: 'comment' | 'other' }

export interface Change {
  readonly path: LeafPath
  /** Undefined: nothing stood there. */
  readonly before?: unknown
  readonly after?: unknown
}
export interface Step {
  readonly deed: Deed
  /** Empty for what was written by other means than one value at a path: that is undone while the page is open, not after a reload. */
  readonly changes: readonly Change[]
}
export type Way = 'undo' | 'redo'

/** Whether a step still has something to take back (or to do again): what it wrote stands as it left it. */
export function applies(doc: Y.Doc, { changes }: Step, way: Way): boolean {
  if (changes.length === 0) return true
  return changes.some(
    ({ path, before, after }) =>
      !sameValue(before, after) && sameValue(readLeaf(doc, path), way === 'undo' ? after : before),
  )
}

/** Writes the other side of a step wherever nobody has changed it since. */
export function applyStep(doc: Y.Doc, { changes }: Step, way: Way): void {
  for (const { path, before, after } of way === 'undo' ? changes.toReversed() : changes) {
    const [from, to] = way === 'undo' ? [after, before] : [before, after]
    if (sameValue(readLeaf(doc, path), from)) writeLeaf(doc, path, to)
  }
}

/** Steps as they were noted before a reload; what does not read is left out. */
export function stepsFrom(value: unknown): readonly Step[] {
  if (!Array.isArray(value)) return []
  return value.filter((step): step is Step => {
    const held = step as Partial<Step> | null
    return typeof held?.deed?.kind === 'string' && Array.isArray(held.changes) && held.changes.every(isChange)
  })
}

function isChange(value: unknown): boolean {
  const path = (value as Partial<Change> | null)?.path
  return Array.isArray(path) && path.every((key) => typeof key === 'string')
}
