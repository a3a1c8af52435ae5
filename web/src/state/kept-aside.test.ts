import { describe, expect, it } from 'vitest'
import type { BoardState, HandEdit } from '@chartloft/shared-theory'
import { EMPTY_STATE } from '@chartloft/shared-theory/board'
import type { DraftStore } from './draft.js'
import { keptAside } from './kept-aside.js'
import { slotViews, triedChoices } from './slots.js'
import { chordAt, ENDING, optionOf, pageOf } from './test-draft.js'

const lockedWith = (edits: readonly HandEdit[]): BoardState => ({
  ...EMPTY_STATE,
  locks: [{ slot: ENDING, option: { ...optionOf('e1'), handEdits: edits }, bars: [], tuneHash: 'x', seq: 4 }],
})
const asideOf = (page: DraftStore, state: BoardState) => {
  const view = slotViews(state, page.view.value, {}).find(({ slot }) => slot.decision === 'ending')
  return view ? keptAside(view, page.view.value).map(({ option, edits }) => [option.id, edits]) : undefined
}

describe('[OF6] a locked place', () => {
  it('keeps draft edits made since aside, and offers them again once it is unlocked', () => {
    const page = pageOf()
    const before = chordAt(0, 'F7')
    page.edit(ENDING, optionOf('e1'), before, '')
    const locked = lockedWith([before])
    expect(asideOf(page, locked)).toEqual([])
    page.edit(ENDING, optionOf('e1'), chordAt(0, 'F9'), '')
    page.edit(ENDING, optionOf('e2'), chordAt(1, 'Bb6'), '')
    page.edit({ decision: 'lift' }, { ...optionOf('l1'), kind: 'lift' }, chordAt(1, 'Bb6'), '')
    const since = [
      ['e1', [chordAt(0, 'F9')]],
      ['e2', [chordAt(1, 'Bb6')]],
    ]
    expect(asideOf(page, locked)).toEqual(since)
    expect(asideOf(page, EMPTY_STATE)).toEqual(since)
    page.try(ENDING, optionOf('e1'), '')
    expect(asideOf(page, EMPTY_STATE)).toEqual([])
  })

  it('plays what was locked, whatever the draft tries or edits there', () => {
    const page = pageOf()
    const locked = lockedWith([chordAt(0, 'F7')])
    page.try(ENDING, optionOf('e2'), '')
    page.edit(ENDING, optionOf('e1'), chordAt(0, 'F9'), '')
    const views = slotViews(locked, page.view.value, {})
    expect(triedChoices(views, (slot) => page.tried(slot))).toEqual([])
    expect(views.find(({ slot }) => slot.decision === 'ending')?.lock?.option.handEdits).toEqual([chordAt(0, 'F7')])
  })
})
