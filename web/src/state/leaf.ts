/** The single values of a draft that people write: a hand edit, what is tried at a place, a comment. Named by path, read and written as plain JSON. */
import * as Y from 'yjs'

/** From a top-level map inwards, as ['options', optionId, 'edits', editKey] or ['trying', slotKey]. */
export type LeafPath = readonly string[]

/** The path of a map inside the document; undefined for what lies in a list, a text, or nowhere any more. */
export function pathOf(map: Y.Map<unknown>): LeafPath | undefined {
  const path: string[] = []
  let at = map
  for (let item = at._item; item; item = at._item) {
    if (item.parentSub === null || !(item.parent instanceof Y.Map)) return undefined
    path.unshift(item.parentSub)
    at = item.parent as Y.Map<unknown>
  }
  for (const [name, shared] of at.doc?.share ?? []) if (shared === (at as unknown)) return [name, ...path]
  return undefined
}

/** Whether a path is one that people write single values at. */
export function isLeaf(path: LeafPath): boolean {
  const [root, , edits] = path
  if (root === 'trying') return path.length === 2
  return (root === 'options' || root === 'cards') && edits === 'edits' && path.length === 4
}

/** Whether at a path stands the map that holds single values: two made at once would hide what one of them holds. */
export function isHolder(path: LeafPath): boolean {
  const [root, , edits] = path
  return (root === 'options' || root === 'cards') && (path.length === 2 || (path.length === 3 && edits === 'edits'))
}

function mapAt(doc: Y.Doc, path: LeafPath): Y.Map<unknown> | undefined {
  const [root, ...inner] = path
  let map: unknown = doc.getMap(root)
  for (const key of inner) map = map instanceof Y.Map ? map.get(key) : undefined
  return map instanceof Y.Map ? map : undefined
}

export function readLeaf(doc: Y.Doc, path: LeafPath): unknown {
  const value = mapAt(doc, path.slice(0, -1))?.get(path.at(-1) as string)
  return isComment(path) && value instanceof Y.Map ? inOrder(value.toJSON()) : value
}

/** Writes a value, or takes it away where it is undefined; false where what held it is gone. */
export function writeLeaf(doc: Y.Doc, path: LeafPath, value: unknown): boolean {
  const map = mapAt(doc, path.slice(0, -1))
  const key = path.at(-1) as string
  if (!map) return false
  if (value === undefined) map.delete(key)
  else map.set(key, isComment(path) ? asComment(value) : value)
  return true
}

/** A comment is one value, though it is kept as a map whose text can be written into. */
const isComment = (path: LeafPath): boolean => path[0] === 'comments' && path.length === 2

/** Entries by name: the same comment reads the same wherever its map was put together. */
const inOrder = (entries: object): object =>
  Object.fromEntries(Object.entries(entries).sort(([one], [other]) => (one < other ? -1 : 1)))

function asComment(value: unknown): unknown {
  if (typeof value !== 'object' || value === null) return value
  const comment = new Y.Map<unknown>()
  for (const [name, held] of Object.entries(value))
    comment.set(name, name === 'text' && typeof held === 'string' ? new Y.Text(held) : held)
  return comment
}

export function sameValue(one: unknown, other: unknown): boolean {
  return JSON.stringify(one) === JSON.stringify(other)
}
