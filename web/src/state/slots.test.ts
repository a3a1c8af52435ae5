import type { BoardState, Option } from '@chartloft/shared-theory'
import { EMPTY_STATE } from '@chartloft/shared-theory/board'
import { describe, expect, it } from 'vitest'
import { slotViews, triedChoices } from './slots.js'

const lift: Option = {
  id: 'l1',
  kind: 'lift',
  recipe: 'lift',
  title: 'Up a whole step',
  params: { semitones: 2 },
  summary: '',
  reason: [{ rule: 'LI1', text: '' }],
  score: 1,
  at: { passId: 'chorus-last', sectionId: 'B1' },
}
const place = { passId: 'chorus-1', sectionId: 'A3' }

describe('[UI5] decisions on the board', () => {
  it('asks all five, at their default places where nobody said more', () => {
    const views = slotViews(EMPTY_STATE, { trying: {} }, { harmony: place })
    expect(views.map((view) => [view.key, view.status])).toEqual([
      ['groove', 'open'],
      ['opening', 'open'],
      ['harmony@chorus-1/A3', 'open'],
      ['lift', 'open'],
      ['ending', 'open'],
    ])
  })

  it('shows a poll as voting, a lock as locked, and a lock without a place at its option’s place', () => {
    const state: BoardState = {
      ...EMPTY_STATE,
      polls: [{ pollId: 'p', question: 'How does it end?', open: true, slot: { decision: 'ending' } }],
      locks: [{ slot: { decision: 'lift' }, option: lift, bars: [], tuneHash: 'x', seq: 4 }],
    }
    const views = slotViews(state, { trying: {} }, {})
    expect(views.find((view) => view.key === 'ending')).toMatchObject({ status: 'voting', poll: { pollId: 'p' } })
    expect(views.find((view) => view.key === 'lift')).toMatchObject({ status: 'locked', place: lift.at })
  })

  it('keeps a decision opened at a second place beside the first, and skips keys that are none', () => {
    const second = { decision: 'harmony', at: { passId: 'chorus-last', sectionId: 'A2' } } as const
    const views = slotViews(
      { ...EMPTY_STATE, places: [second] },
      { trying: { 'harmony@chorus-1/A3': 'h1', nonsense: 'x' } },
      {},
    )
    expect(views.filter((view) => view.slot.decision === 'harmony').map((view) => [view.key, view.tryingId])).toEqual([
      ['harmony@chorus-last/A2', undefined],
      ['harmony@chorus-1/A3', 'h1'],
    ])
    expect(triedChoices(views, (slot) => (slot.decision === 'lift' ? lift : undefined))).toEqual([
      { kind: 'lift', option: lift },
    ])
  })
  it('a lock stands, whatever a draft tries at its place', () => {
    const state = {
      ...EMPTY_STATE,
      locks: [{ slot: { decision: 'lift' as const }, option: lift, bars: [], tuneHash: 'x', seq: 2 }],
    }
    const views = slotViews(state, { trying: { lift: 'l1' } }, {})
    expect(triedChoices(views, () => lift).map((choice) => choice.kind)).not.toContain('lift')
  })
})
