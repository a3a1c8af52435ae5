/** Pages with a draft each, and ways for them to meet, for tests. */
import * as Y from 'yjs'
import type { HandEdit, Option } from '@chartloft/shared-theory'
import { type DraftNotes, DraftStore } from './draft.js'

export const ENDING = { decision: 'ending' } as const

export const optionOf = (id: string): Option => ({
  id,
  kind: 'ending',
  recipe: 'delayed-tonic',
  title: `Delayed tonic ${id}`,
  params: { bars: 2 },
  summary: 'The last note stays while the harmony takes two steps home.',
  reason: [{ rule: 'EN1', text: 'the last note is the tonic' }],
  score: 0.9,
})

export const chordAt = (bar: number, symbol: string): HandEdit => ({
  kind: 'chord',
  at: { pass: 'ending', sectionId: 'ending', bar },
  metre: { beats: 4, beatType: 4 },
  startTick: 0,
  symbol,
})

export const tuneAt = (bar: number, midi: number): HandEdit => ({
  kind: 'melody',
  at: { pass: 'ending', sectionId: 'ending', bar },
  metre: { beats: 4, beatType: 4 },
  notes: [{ startTick: 0, durationTicks: 5040, midi, name: midi === 60 ? 'C4' : 'D4' }],
})

/** What one browser notes, over any number of pages opened one after another. */
export function notesOf(): DraftNotes {
  const held = new Map<string, unknown>()
  return {
    read: (what, otherwise) => JSON.parse(JSON.stringify(held.get(what) ?? otherwise)) as unknown,
    write: (what, value) => held.set(what, JSON.parse(JSON.stringify(value))),
  }
}

let comments = 0
/** A page of one person; `mine` holds every client id that person wrote under. */
export function pageOf(mine = new Set<number>(), notes?: DraftNotes, clientId?: number): DraftStore {
  const doc = new Y.Doc()
  if (clientId !== undefined) doc.clientID = clientId
  mine.add(doc.clientID)
  return new DraftStore(doc, () => `c${++comments}`, notes, {
    isMine: (client) => mine.has(client),
    nameOf: (client) => `person ${client}`,
  })
}

/** A reload: the same document read from the browser's copy into a new page, with a new client id. */
export function reloaded(page: DraftStore, mine: Set<number>, notes?: DraftNotes): DraftStore {
  const next = pageOf(mine, notes)
  Y.applyUpdate(next.doc, Y.encodeStateAsUpdate(page.doc), 'copy')
  next.readNow()
  return next
}

/** Everything each of them knows goes to the others, by way of a server that keeps the whole. */
export function meet(...pages: readonly DraftStore[]): void {
  const server = new Y.Doc()
  for (let round = 0; round < 3; round++) {
    for (const page of pages) {
      const before = Y.encodeStateVector(page.doc)
      Y.applyUpdate(server, Y.encodeStateAsUpdate(page.doc, Y.encodeStateVector(server)))
      Y.applyUpdate(page.doc, Y.encodeStateAsUpdate(server, before), 'net')
    }
  }
  for (const page of pages) page.readNow()
}
