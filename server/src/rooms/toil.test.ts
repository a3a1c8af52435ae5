import * as Y from 'yjs'
import { describe, expect, it } from 'vitest'
import { toilOf } from './toil.js'

/** Many pieces of one client, none with a neighbour: all want the beginning of one text. */
function crowd(client: number, count: number): Uint8Array {
  const parts: Uint8Array[] = []
  for (let piece = 0; piece < count; piece++) {
    const doc = new Y.Doc()
    doc.clientID = client
    doc.getText('n').insert(0, 'x')
    const one = Y.encodeStateAsUpdate(doc)
    // The clock of the only struct: fourth number of the update (Yjs update format 1).
    parts.push(withClock(one, piece))
  }
  return Y.mergeUpdates(parts)
}

function withClock(update: Uint8Array, clock: number): Uint8Array {
  const { structs } = Y.decodeUpdate(update)
  const item = structs[0] as Y.Item
  const bytes = [
    1,
    1,
    ...varUint(item.id.client),
    ...varUint(clock),
    4,
    1,
    1,
    'n'.charCodeAt(0),
    1,
    'x'.charCodeAt(0),
    0,
  ]
  return Uint8Array.from(bytes)
}

function varUint(value: number): number[] {
  return value < 128 ? [value] : [(value & 127) | 128, ...varUint(Math.floor(value / 128))]
}

describe('[AB3] what placing an update takes', () => {
  it('pieces of two people that all want one place are counted, each with each', () => {
    const doc = new Y.Doc()
    Y.applyUpdate(doc, crowd(100, 300))
    expect(toilOf(doc, crowd(200, 300), 1e6)).toBe(300 * 300)
    expect(toilOf(doc, crowd(200, 300), 5000)).toBeLessThan(6000)
    expect(toilOf(new Y.Doc(), Y.mergeUpdates([crowd(100, 300), crowd(200, 300)]), 1e6)).toBe(300 * 300)
  })

  it('what people do costs next to nothing: long typing, many cards, hours apart from each other', () => {
    const [here, there] = [new Y.Doc(), new Y.Doc()]
    here.getText('notes').insert(0, 'a beginning ')
    for (let card = 0; card < 500; card++) here.getMap('cards').set(`card-${card}`, card)
    Y.applyUpdate(there, Y.encodeStateAsUpdate(here))
    for (const doc of [here, there]) {
      for (let letter = 0; letter < 2000; letter++) doc.getText('notes').insert(12 + letter, 'x')
      for (let card = 0; card < 500; card++) doc.getMap('cards').set(`card-${card}`, `${card} again`)
      for (let letter = 0; letter < 500; letter++) doc.getText('notes').insert(0, 'y')
    }
    expect(toilOf(here, Y.encodeStateAsUpdate(there, Y.encodeStateVector(here)), 1e6)).toBeLessThan(10_000)
  })
})
