import { describe, expect, it } from 'vitest'
import type { DraftStore } from './draft.js'
import { chordAt, ENDING, meet, notesOf, optionOf, pageOf, reloaded } from './test-draft.js'

const symbols = (page: DraftStore) =>
  page.optionNamed('e1')?.edits.map(({ edit }) => (edit.kind === 'chord' ? edit.symbol : edit.kind)) ?? []
const next = (page: DraftStore) => page.undoing.undoable.value?.deed
const edit = (page: DraftStore, bar: number, symbol: string) =>
  page.edit(ENDING, optionOf('e1'), chordAt(bar, symbol), '')

describe('[OF5] undo and redo', () => {
  it('go step by step, however quickly the edits came, and say what is next', () => {
    const page = pageOf()
    edit(page, 0, 'F7')
    edit(page, 0, 'F9')
    edit(page, 1, 'Bb6')
    expect(next(page)).toMatchObject({ kind: 'edit', edit: { symbol: 'Bb6' } })
    expect(page.undo()?.deed).toMatchObject({ edit: { symbol: 'Bb6' } })
    expect(next(page)).toMatchObject({ edit: { symbol: 'F9' } })
    page.undo()
    expect(symbols(page)).toEqual(['F7'])
    page.undo()
    expect(symbols(page)).toEqual([])
    expect(next(page)).toBeUndefined()
    for (let step = 0; step < 3; step++) page.redo()
    expect(symbols(page)).toEqual(['F9', 'Bb6'])
    expect(page.undoing.redoable.value).toBeUndefined()
  })

  it('pass over what somebody else has changed since: the label names the next edit of one’s own that stands', () => {
    const [maro, tove] = [pageOf(), pageOf()]
    edit(maro, 0, 'F7')
    edit(maro, 1, 'Bb6')
    meet(maro, tove)
    edit(tove, 1, 'Bbmaj7')
    meet(maro, tove)
    expect(next(maro)).toMatchObject({ edit: { symbol: 'F7' } })
    maro.undo()
    meet(maro, tove)
    expect(symbols(tove)).toEqual(['Bbmaj7'])
    expect(next(maro)).toBeUndefined()
    expect(next(tove)).toMatchObject({ edit: { symbol: 'Bbmaj7' } })
  })

  it('work across a reload, in order, back and forth, and still never touch others’ edits', () => {
    const [mine, notes] = [new Set<number>(), notesOf()]
    const before = pageOf(mine, notes)
    const tove = pageOf()
    edit(before, 0, 'F7')
    edit(before, 0, 'F9')
    edit(before, 2, 'Gm7')
    meet(before, tove)
    const page = reloaded(before, mine, notes)
    edit(tove, 2, 'Gm11')
    meet(page, tove)
    edit(page, 1, 'Bb6')
    expect(page.undo()?.deed).toMatchObject({ edit: { symbol: 'Bb6' } })
    expect(page.undo()?.deed).toMatchObject({ edit: { symbol: 'F9' } })
    expect(symbols(page)).toEqual(['F7', 'Gm11'])
    const again = reloaded(page, mine, notes)
    expect(again.redo()?.deed).toMatchObject({ edit: { symbol: 'F9' } })
    expect(again.redo()?.deed).toMatchObject({ edit: { symbol: 'Bb6' } })
    expect(symbols(again)).toEqual(['F9', 'Bb6', 'Gm11'])
  })

  it('a new edit ends what could be done again; another option in place is a step with its title', () => {
    const page = pageOf()
    page.try(ENDING, optionOf('e1'), '')
    page.try(ENDING, optionOf('e2'), '')
    expect(next(page)).toEqual({ kind: 'try', title: 'Delayed tonic e2' })
    page.undo()
    expect(page.tried(ENDING)?.id).toBe('e1')
    edit(page, 0, 'F7')
    expect(page.undoing.redoable.value).toBeUndefined()
  })

  it('comments too are taken back after a reload, done again, and left where somebody else has answered them', () => {
    const [mine, notes] = [new Set<number>(), notesOf()]
    const before = pageOf(mine, notes)
    const tove = pageOf()
    const said = (page: DraftStore) => page.view.value.comments.map(({ text, resolved }) => [text, resolved])
    const at = (bar: number) => ({ passId: 'ending', sectionId: 'ending', bar })
    before.comment(at(0), 'Leave me the beat.', 'Odda', 5)
    before.comment(at(1), 'Let it ring.', 'Odda', 6)
    before.resolve(before.view.value.comments.find(({ text }) => text === 'Let it ring.')?.id ?? '', true)
    meet(before, tove)
    const page = reloaded(before, mine, notes)
    expect(next(page)).toEqual({ kind: 'comment' })
    page.undo()
    expect(said(page)).toContainEqual(['Let it ring.', false])
    page.undo()
    expect(said(page)).toEqual([['Leave me the beat.', false]])
    const again = reloaded(page, mine, notes)
    again.redo()
    again.redo()
    expect(said(again)).toContainEqual(['Let it ring.', true])
    meet(again, tove)
    expect(said(tove)).toHaveLength(2)
    const removed = again.view.value.comments.find(({ text }) => text === 'Let it ring.')?.id ?? ''
    again.removeComment(removed)
    meet(again, tove)
    expect(said(tove)).toEqual([['Leave me the beat.', false]])
    const last = reloaded(again, mine, notes)
    last.undo()
    meet(last, tove)
    expect(said(tove)).toContainEqual(['Let it ring.', true])
    // What somebody else has settled since is theirs too.
    tove.resolve(tove.view.value.comments.find(({ text }) => text === 'Leave me the beat.')?.id ?? '', true)
    meet(last, tove)
    while (last.undo());
    meet(last, tove)
    expect(said(tove)).toEqual([['Leave me the beat.', true]])
  })

  it('notes that do not read are left out', () => {
    const notes = notesOf()
    notes.write('steps', { undo: [3, { deed: {} }, { deed: { kind: 'edit' }, changes: [{ path: 7 }] }], redo: 'x' })
    const page = pageOf(undefined, notes)
    expect(page.undo()).toBeUndefined()
    expect(page.redo()).toBeUndefined()
  })
})
