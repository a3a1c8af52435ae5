/** Frames and updates as no client of ours makes them. */
import * as encoding from 'lib0/encoding'
import * as Y from 'yjs'

export const bytes = (...values: number[]): Uint8Array => Uint8Array.from(values)

/** A message of ours: type, then text. */
export const textFrame = (type: number, content: string): Uint8Array => {
  const encoder = encoding.createEncoder()
  encoding.writeVarUint(encoder, type)
  encoding.writeVarString(encoder, content)
  return encoding.toUint8Array(encoder)
}

/** A presence message with entries made by hand. */
export const presenceFrame = (
  entries: readonly (readonly [id: number, clock: number, state: string])[],
): Uint8Array => {
  const inner = encoding.createEncoder()
  encoding.writeVarUint(inner, entries.length)
  for (const [id, clock, state] of entries) {
    encoding.writeVarUint(inner, id)
    encoding.writeVarUint(inner, clock)
    encoding.writeVarString(inner, state)
  }
  const encoder = encoding.createEncoder()
  encoding.writeVarUint(encoder, 1)
  encoding.writeVarUint8Array(encoder, encoding.toUint8Array(inner))
  return encoding.toUint8Array(encoder)
}

/** Very many one-letter inserts, each a piece of its own (Yjs update format 1). */
export function manyPieces(count: number, client = 77): Uint8Array {
  const encoder = encoding.createEncoder()
  for (const value of [1, count, client, 0]) encoding.writeVarUint(encoder, value)
  for (let piece = 0; piece < count; piece++) {
    encoding.writeUint8(encoder, 4)
    encoding.writeVarUint(encoder, 1)
    encoding.writeVarString(encoder, 'n')
    encoding.writeVarString(encoder, 'x')
  }
  encoding.writeVarUint(encoder, 0)
  return encoding.toUint8Array(encoder)
}

/** Very many ranges taken away that never were. */
export function manyDeletions(count: number): Uint8Array {
  const encoder = encoding.createEncoder()
  for (const value of [0, 1, 77, count]) encoding.writeVarUint(encoder, value)
  for (let piece = 0; piece < count; piece++) {
    encoding.writeVarUint(encoder, piece * 2)
    encoding.writeVarUint(encoder, 1)
  }
  return encoding.toUint8Array(encoder)
}

/** Edits of one person, each building on the one before, without the first. */
export function withoutTheFirst(count: number): Uint8Array[] {
  const doc = new Y.Doc()
  const updates: Uint8Array[] = []
  doc.on('update', (update: Uint8Array) => updates.push(update))
  for (let index = 0; index <= count; index++) doc.getArray('x').push([index])
  return updates.slice(1).reverse()
}
