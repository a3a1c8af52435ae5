/** How much looking around Yjs would have to do to find the places of an update's pieces. Pieces of several people that all want one place are
 *  compared with one another: a few kilobytes made for it would keep every room waiting for minutes. */
import * as Y from 'yjs'

type Known = Y.Item | null
type Id = { readonly client: number; readonly clock: number } | null

const isSame = (a: Id, b: Id): boolean =>
  a === b || (a !== null && b !== null && a.client === b.client && a.clock === b.clock)

/** Steps it would take, counted until there are more than `most`. What does not decode takes none: applying it fails at once. */
export function toilOf(doc: Y.Doc, update: Uint8Array, most: number): number {
  let structs: readonly (Y.Item | Y.GC | Y.Skip)[]
  try {
    ;({ structs } = Y.decodeUpdate(update))
  } catch {
    return 0
  }
  let steps = 0
  const among = new Among()
  for (const struct of structs) {
    if (!(struct instanceof Y.Item) || struct.id.clock + struct.length <= Y.getState(doc.store, struct.id.client))
      continue
    steps += stepsOf(doc, struct, most - steps) + among.meet(struct)
    if (steps > most) break
  }
  return steps
}

/** The walk of Yjs's own `Item.integrate`, without putting anything in. */
function stepsOf(doc: Y.Doc, item: Y.Item, most: number): number {
  const left = itemAt(doc, item.origin)
  if (item.origin !== null && !left) return 0
  const right = itemAt(doc, item.rightOrigin)
  const seen = new Set<Y.Item>()
  let at = left ? left.right : firstOf(doc, item, right)
  while (at !== null && at !== right && seen.size <= most) {
    seen.add(at)
    if (isSame(item.origin, at.origin)) {
      if (at.id.client >= item.id.client && isSame(item.rightOrigin, at.rightOrigin)) break
    } else {
      const before = itemAt(doc, at.origin)
      if (!before || !seen.has(before)) break
    }
    at = at.right
  }
  return seen.size
}

function firstOf(doc: Y.Doc, item: Y.Item, right: Known): Known {
  const parent = right ? right.parent : parentOf(doc, item.parent)
  if (!(parent instanceof Y.AbstractType)) return null
  const sub = item.parentSub ?? right?.parentSub ?? null
  if (sub === null) return parent._start
  let first = parent._map.get(sub) ?? null
  while (first?.left) first = first.left
  return first
}

function parentOf(doc: Y.Doc, parent: unknown): unknown {
  if (typeof parent === 'string') return doc.share.get(parent)
  const holder = parent instanceof Y.ID ? itemAt(doc, parent) : null
  return holder?.content instanceof Y.ContentType ? holder.content.type : undefined
}

function itemAt(doc: Y.Doc, id: Id): Known {
  if (id === null || id.clock >= Y.getState(doc.store, id.client)) return null
  const found = Y.getItem(doc.store, id as Y.ID)
  return found instanceof Y.Item ? found : null
}

/** Pieces of one update that will meet each other: those of several people at one place. */
class Among {
  private readonly places = new Map<string, Map<number, number>>()
  private readonly lastPlace = new Map<number, string>()

  /** How many of others this one meets there. */
  meet({ id, origin, parent, parentSub }: Y.Item): number {
    const chained = origin && this.lastPlace.get(origin.client)
    const place =
      chained ??
      (origin ? `${origin.client} ${origin.clock}` : `${typeof parent === 'string' ? parent : ''} ${parentSub ?? ''}`)
    this.lastPlace.set(id.client, place)
    const crowd = this.places.get(place) ?? new Map<number, number>()
    this.places.set(place, crowd)
    const own = crowd.get(id.client) ?? 0
    crowd.set(id.client, own + 1)
    if (origin?.client === id.client) return 0
    let others = 0
    for (const [client, count] of crowd) if (client !== id.client) others += count
    return others
  }
}
