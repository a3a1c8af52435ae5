import { describe, expect, it } from 'vitest'
import { OPTION, TUNE, ledgerOf } from './test-rows.js'
import { foldEntry, foldLedger } from './fold-ledger.js'
import { planOfState } from './plan-of-state.js'

const SLOT = { decision: 'lift', at: { passId: 'chorus-last', sectionId: 'A1' } }
const LOCK = { kind: 'lock', slot: SLOT, option: OPTION, bars: [], tuneHash: 'h1', why: 'high enough' }

describe('[BD4] the fold', () => {
  it('has its keys in the order of the contract, whatever the rows', () => {
    const state = foldLedger(ledgerOf({ kind: 'setKey', key: 'D major' }, LOCK))
    expect(Object.keys(state)).toEqual([
      'seq',
      'title',
      'rights',
      'tune',
      'key',
      'lineup',
      'roadmap',
      'edits',
      'places',
      'locks',
      'polls',
      'links',
      'versions',
      'printed',
    ])
    expect(Object.keys(foldLedger([]))).toEqual([
      'seq',
      'title',
      'rights',
      'lineup',
      'roadmap',
      'edits',
      'places',
      'locks',
      'polls',
      'links',
      'versions',
      'printed',
    ])
    expect(JSON.parse(JSON.stringify(state))).toEqual(state)
  })
  it('begins with the board', () => {
    expect(foldLedger(ledgerOf())).toMatchObject({
      seq: 1,
      title: 'Boat shed',
      rights: 'own',
      tune: TUNE,
      links: [{ linkId: 'l1', role: 'leader' }],
    })
  })
  it('row by row is the same as at once', () => {
    const rows = ledgerOf(
      { kind: 'openPlace', slot: SLOT },
      LOCK,
      { kind: 'unlock', slot: SLOT, reason: 'x' },
      { kind: 'restoreVersion', toSeq: 3 },
      { kind: 'nameVersion', name: 'v' },
    )
    let state = foldLedger([])
    const states = [state]
    for (const row of rows) states.push((state = foldEntry(state, row, (seq) => states[seq])))
    expect(JSON.stringify(state)).toBe(JSON.stringify(foldLedger(rows)))
  })
  it('row by row is the same as at once, also where lists grow between what is restored; what was folded before stays as it was', () => {
    const made: { readonly kind: string; readonly [field: string]: unknown }[] = []
    for (let row = 0; row < 60; row++)
      made.push(
        { kind: 'nameVersion', name: `v${row}` },
        { kind: 'issueLink', linkId: `link-${row}`, role: 'member' },
        row % 7 === 3 ? { kind: 'restoreVersion', toSeq: row * 2 } : { kind: 'markPrinted', version: row },
        { kind: 'openPoll', pollId: `p${row}`, question: 'q' },
        row % 5 === 0 ? { kind: 'revokeLink', linkId: `link-${row}` } : { kind: 'closePoll', pollId: `p${row}` },
      )
    const rows = ledgerOf(...made)
    let state = foldLedger([])
    const before = foldLedger(rows.slice(0, 100))
    const text = JSON.stringify(before)
    const states = [state]
    for (const entry of rows) {
      state = foldEntry(state, entry, (seq) => states[seq])
      states.push(state)
      if (entry.seq % 40 === 0) expect(foldLedger(rows.slice(0, entry.seq))).toEqual(state)
    }
    expect(foldLedger(rows)).toEqual(state)
    expect(JSON.stringify(before)).toBe(text)
    expect(JSON.stringify(states[100])).toBe(text)
  })
  it('a lock takes its place from the open ones and stands in for an earlier lock there; unlocking opens it again', () => {
    const rows = ledgerOf(
      { kind: 'openPlace', slot: SLOT },
      LOCK,
      { ...LOCK, why: 'again' },
      { kind: 'unlock', slot: SLOT, reason: 'no' },
    )
    expect(foldLedger(rows.slice(0, 2)).places).toEqual([SLOT])
    expect(foldLedger(rows.slice(0, 3))).toMatchObject({ places: [], locks: [{ why: 'high enough', seq: 3 }] })
    expect(foldLedger(rows.slice(0, 4)).locks).toMatchObject([{ why: 'again', seq: 4 }])
    expect(foldLedger(rows)).toMatchObject({ places: [SLOT], locks: [] })
  })
  it('polls open and close, links are revoked, versions name the seq before, prints count', () => {
    const state = foldLedger(
      ledgerOf(
        { kind: 'openPoll', pollId: 'p1', question: 'Which?', slot: SLOT },
        { kind: 'closePoll', pollId: 'p1' },
        { kind: 'issueLink', linkId: 'l2', role: 'member', label: 'Bass', personal: true },
        { kind: 'revokeLink', linkId: 'l2' },
        { kind: 'nameVersion', name: 'Tuesday' },
        { kind: 'markPrinted', version: 1 },
      ),
    )
    expect(state.polls).toEqual([{ pollId: 'p1', question: 'Which?', open: false, slot: SLOT }])
    expect(state.links[1]).toEqual({ linkId: 'l2', role: 'member', label: 'Bass', personal: true, revoked: true })
    expect(state.versions).toEqual([{ name: 'Tuesday', seq: 5 }])
    expect(state.printed).toEqual([{ version: 1, seq: 7, at: 1006 }])
  })
  it('a restored version brings back the music only', () => {
    const rows = ledgerOf(
      LOCK,
      { kind: 'setKey', key: 'D major' },
      { kind: 'nameVersion', name: 'before' },
      { kind: 'unlock', slot: SLOT, reason: 'x' },
      { kind: 'setRights', rights: 'licensed' },
      { kind: 'restoreVersion', toSeq: 2 },
    )
    const state = foldLedger(rows)
    expect(state.locks).toHaveLength(1)
    expect(state).not.toHaveProperty('key')
    expect(state).toMatchObject({ rights: 'licensed', versions: [{ name: 'before', seq: 3 }], places: [] })
  })
  it('a key is taken back, an import ends links and polls, a row of a later version changes nothing but seq', () => {
    const state = foldLedger(
      ledgerOf(
        { kind: 'setKey', key: 'D major' },
        { kind: 'setKey' },
        { kind: 'openPoll', pollId: 'p1', question: 'Which?' },
        { kind: 'importBoard', from: 'x', links: [{ linkId: 'l9', role: 'leader' }] },
        { kind: 'toString' },
        { kind: 'somethingNewer', tune: 'x' },
      ),
    )
    expect(state).not.toHaveProperty('key')
    expect(state.seq).toBe(7)
    expect(state.polls[0]?.open).toBe(false)
    expect(state.links).toEqual([
      { linkId: 'l1', role: 'leader', revoked: true },
      { linkId: 'l9', role: 'leader' },
    ])
    expect(state.tune).toEqual(TUNE)
  })
})

describe('[BD5] the plan of a state', () => {
  it('is what is locked, with what is tried laid over it', () => {
    const state = foldLedger(ledgerOf(LOCK))
    expect(planOfState(state)?.chosen).toEqual([{ kind: 'lift', at: SLOT.at, option: OPTION }])
    const tried = { ...OPTION, id: 'lift-up-1' }
    expect(
      planOfState(state, [{ kind: 'lift', at: OPTION.at as object as typeof SLOT.at, option: tried }])?.chosen.map(
        ({ option }) => option.id,
      ),
    ).toEqual(['lift-up-1'])
    const groove = { ...OPTION, id: 'groove-bossa', kind: 'groove' as const }
    expect(planOfState(state, [{ kind: 'groove', option: groove }])?.chosen).toHaveLength(2)
  })
  it('has a running order and a line-up where the ledger names none; there is none without a tune', () => {
    const plan = planOfState(foldLedger(ledgerOf()))
    expect(plan?.roadmap).toEqual([{ id: 'chorus-1', kind: 'chorus', sections: ['A1'] }])
    expect(plan?.lineup.length).toBeGreaterThan(0)
    expect(planOfState(foldLedger([]))).toBeUndefined()
  })
})
