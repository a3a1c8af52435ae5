/**
 * What a merge did to people's work. Of two values written at one place by people who did not see each other's, one stands: that is told.
 * Of two maps made at one place, one hides the other with all it holds: that is put together again.
 */
import * as Y from 'yjs'
import { isHolder, isLeaf, type LeafPath, pathOf, sameValue } from './leaf.js'

/** Two people wrote the same place without seeing each other's. */
export interface Rewritten {
  /** A single value's; or a map's, where of two made at once one was swept away before its content came through. */
  readonly path: LeafPath
  readonly stands: Written
  /** Its value is unknown where only that it was written has come through. */
  readonly lost: Written
}
export interface Written {
  readonly value: unknown
  readonly client: number
  /** Which of the client's edits it is. */
  readonly clock: number
}
export interface Merged {
  readonly rewritten: readonly Rewritten[]
  /** Values hidden together with the map that held them. */
  readonly hidden: readonly Hidden[]
}
export interface Hidden {
  readonly path: LeafPath
  readonly value: unknown
  /** Who made the two maps. */
  readonly by: readonly number[]
}

/** Looks at a transaction before what it removed is swept away, so in Yjs's `afterTransaction`. */
export function mergedBy(transaction: Y.Transaction): Merged {
  const rewritten: Rewritten[] = []
  const hidden: Hidden[] = []
  for (const [type, keys] of transaction.changed) {
    const at = type instanceof Y.Map ? pathOf(type) : undefined
    if (!at) continue
    for (const key of keys) {
      const path = key === null ? at : [...at, key]
      const stands = key === null ? undefined : type._map.get(key)
      if (!stands || stands.deleted) continue
      if (isLeaf(path)) {
        for (const lost of besides(transaction, stands)) {
          const pair = { path, stands: writtenIn(stands), lost: writtenIn(lost) }
          if (!sameValue(pair.stands.value, pair.lost.value)) rewritten.push(pair)
        }
      } else if (isHolder(path)) {
        for (const lost of besides(transaction, stands)) gather(path, stands, lost, { rewritten, hidden })
      }
    }
  }
  return { rewritten, hidden }
}

/** The values at a key that lost to the one that stands in this very transaction, one for each person, without either having been seen. */
function besides(transaction: Y.Transaction, stands: Y.Item): readonly Y.Item[] {
  const lost: Y.Item[] = []
  const standsIsNew = isNew(transaction, stands)
  for (let item = stands.left; item; item = item.left) {
    const lostNow = isNew(transaction, item) || Y.isDeleted(transaction.deleteSet, item.id)
    if (!lostNow || isNew(transaction, item) === standsIsNew || item.id.client === stands.id.client) continue
    if (lost.some((other) => other.id.client === item.id.client) || hasSeen(transaction.doc, stands, item)) continue
    lost.push(item)
  }
  return lost
}

function isNew(transaction: Y.Transaction, { id }: Y.Item): boolean {
  return id.clock >= (transaction.beforeState.get(id.client) ?? 0)
}

/** Whether a value was written on top of another: each names the one it replaced. */
function hasSeen(doc: Y.Doc, later: Y.Item, earlier: Y.Item): boolean {
  let { origin } = later
  while (origin) {
    const { id, length } = earlier
    if (origin.client === id.client && origin.clock >= id.clock && origin.clock < id.clock + length) return true
    const item: unknown = Y.getItem(doc.store, origin)
    origin = item instanceof Y.Item ? item.origin : null
  }
  return false
}

function writtenIn(item: Y.Item): Written {
  const { client, clock } = item.id
  return { value: valueOf(item), client, clock }
}

function valueOf({ content }: Y.Item): unknown {
  return content instanceof Y.ContentAny ? (content.arr.at(-1) as unknown) : undefined
}

/** What the hidden map held: put back where the place is free, told where it is taken by something else. */
function gather(
  path: LeafPath,
  stands: Y.Item,
  lost: Y.Item,
  into: { readonly rewritten: Rewritten[]; readonly hidden: Hidden[] },
): void {
  const by = [stands.id.client, lost.id.client]
  if (!(lost.content instanceof Y.ContentType)) {
    // Swept away on the way here: what it held its author's page puts back, or tells as rewritten.
    const holds = [...(editsIn(stands, path.length === 3)?.values() ?? [])].some(
      ({ deleted, id }) => !deleted && id.client === stands.id.client,
    )
    const { client, clock } = stands.id
    if (holds) into.rewritten.push({ path, stands: { value: null, client, clock }, lost: writtenIn(lost) })
    return
  }
  const [now, before] = [editsIn(stands, path.length === 3), editsIn(lost, path.length === 3)]
  for (const [key, item] of before ?? []) {
    const value = valueOf(item)
    if (value === undefined) continue
    const place = path.length === 3 ? [...path, key] : [...path, 'edits', key]
    const other = now?.get(key)
    if (!other || other.deleted) into.hidden.push({ path: place, value, by })
    else if (!sameValue(valueOf(other), value))
      into.rewritten.push({ path: place, stands: writtenIn(other), lost: writtenIn(item) })
  }
}

function editsIn(item: Y.Item, isEdits: boolean): Map<string, Y.Item> | undefined {
  const map = item.content instanceof Y.ContentType ? item.content.type : undefined
  if (!map || isEdits) return map?._map
  const edits = map._map.get('edits')
  return edits?.content instanceof Y.ContentType ? edits.content.type._map : undefined
}
