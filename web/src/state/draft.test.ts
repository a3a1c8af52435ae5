import * as Y from 'yjs'
import type { HandEdit, Option } from '@chartloft/shared-theory'
import { describe, expect, it } from 'vitest'
import { DraftStore } from './draft.js'

const option = (id: string): Option => ({
  id,
  kind: 'ending',
  recipe: 'delayed-tonic',
  title: 'Delayed tonic',
  params: { bars: 2 },
  summary: 'The last note stays while the harmony takes two steps home.',
  reason: [{ rule: 'EN1', text: 'the last note is the tonic' }],
  score: 0.9,
})
const chordEdit = (bar: number, symbol: string): HandEdit => ({
  kind: 'chord',
  at: { pass: 'ending', sectionId: 'ending', bar },
  metre: { beats: 4, beatType: 4 },
  startTick: 0,
  symbol,
})
const slot = { decision: 'ending' } as const
let id = 0
const page = () => new DraftStore(new Y.Doc(), () => `c${++id}`)
const meet = (a: DraftStore, b: DraftStore) => {
  Y.applyUpdate(b.doc, Y.encodeStateAsUpdate(a.doc), 'net')
  Y.applyUpdate(a.doc, Y.encodeStateAsUpdate(b.doc), 'net')
  a.readNow()
  b.readNow()
}

describe('[SY5] the draft', () => {
  it('lets everybody hear the option somebody tries, hand edits included', () => {
    const [maro, tove] = [page(), page()]
    maro.try(slot, option('e1'), 'Maro')
    maro.edit(slot, option('e1'), chordEdit(0, 'Gbmaj7'), 'Maro')
    meet(maro, tove)
    expect(tove.tried(slot)).toMatchObject({ id: 'e1', handEdits: [{ symbol: 'Gbmaj7' }] })
    tove.stopTrying(slot)
    meet(maro, tove)
    expect(maro.tried(slot)).toBeUndefined()
  })

  it('merges edits of two bars, and ends with one of two edits of the same bar', () => {
    const [maro, tove] = [page(), page()]
    maro.try(slot, option('e1'), 'Maro')
    meet(maro, tove)
    maro.edit(slot, option('e1'), chordEdit(0, 'Gbmaj7'), 'Maro')
    tove.edit(slot, option('e1'), chordEdit(1, 'Cbmaj7'), 'Tove')
    maro.edit(slot, option('e1'), chordEdit(2, 'Bb6'), 'Maro')
    tove.edit(slot, option('e1'), chordEdit(2, 'Bbmaj7'), 'Tove')
    meet(maro, tove)
    const edits = maro.tried(slot)?.handEdits ?? []
    expect(edits).toHaveLength(3)
    expect(tove.tried(slot)?.handEdits).toEqual(edits)
  })

  it('keeps what others wrote in an option when the one who put it in place takes that back', () => {
    const [maro, tove] = [page(), page()]
    maro.try(slot, option('e1'), 'Maro')
    meet(maro, tove)
    tove.edit(slot, option('e1'), chordEdit(1, 'Cbmaj7'), 'Tove')
    meet(maro, tove)
    maro.undo()
    meet(maro, tove)
    expect(tove.tried(slot)).toBeUndefined()
    expect(tove.optionNamed('e1')?.edits).toHaveLength(1)
  })

  it('undoes only what this page did', () => {
    const [maro, tove] = [page(), page()]
    maro.comment({ passId: 'ending', sectionId: 'ending', bar: 0 }, 'Leave me the beat.', 'Odda', 5)
    meet(maro, tove)
    tove.comment({ passId: 'ending', sectionId: 'ending', bar: 1 }, 'Let it ring.', 'Wick', 6)
    meet(maro, tove)
    expect(tove.undoing.undoable.value).toBeDefined()
    tove.undo()
    meet(maro, tove)
    expect(maro.view.value.comments.map((comment) => comment.text)).toEqual(['Leave me the beat.'])
    tove.redo()
    expect(tove.view.value.comments).toHaveLength(2)
  })

  it('reads a hostile draft without falling over', () => {
    const doc = new Y.Doc()
    doc.getMap('options').set('e1', 'nonsense')
    doc.getMap('comments').set('c', new Y.Map([['text', 3]]))
    const store = new DraftStore(doc, () => 'x')
    expect(store.view.value.options).toEqual([])
    expect(store.view.value.comments).toEqual([])
  })
})
