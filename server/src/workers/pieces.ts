import * as Y from 'yjs'

/** How many pieces an update is made of, inserted and deleted: what applying it costs. Undefined where it does not decode. */
export function countPieces(update: Uint8Array): number | undefined {
  try {
    const { structs, ds } = Y.decodeUpdate(update)
    return structs.length + [...ds.clients.values()].reduce((sum, ranges) => sum + ranges.length, 0)
  } catch {
    return undefined
  }
}
