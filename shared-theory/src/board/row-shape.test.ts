import { describe, expect, it } from 'vitest'
import type { BoardState, Chosen, LedgerEntry } from '../contract/index.js'
import { EMPTY_STATE, foldLedger } from './fold-ledger.js'
import { planOfState } from './plan-of-state.js'
import { readableKind } from './row-shape.js'

const row = (seq: number, command: object): LedgerEntry =>
  ({
    seq,
    at: 1,
    by: { userId: 'u', name: 'n', role: 'leader' },
    command: { commandId: `c${seq}`, ...command },
  }) as LedgerEntry

describe('[BD11] rows and states that cannot be read', () => {
  it('a row without what its kind needs changes nothing but seq', () => {
    const state = foldLedger([
      row(1, { kind: 'nameVersion', name: 'one' }),
      row(2, { kind: 'lock', slot: { decision: { toString: 1 } }, option: {}, bars: [], tuneHash: '' }),
      row(3, { kind: 'createBoard', title: 'T', links: [null] }),
      row(4, { kind: '__proto__' }),
    ])
    expect(state).toEqual({ ...EMPTY_STATE, versions: [{ name: 'one', seq: 0 }], seq: 4 })
  })
  it('what is no row is passed over', () => {
    const rows = [null, 7, {}, { seq: 'x' }, row(1, { kind: 'setRights', rights: 'own' })] as LedgerEntry[]
    expect(foldLedger(rows)).toEqual({ ...EMPTY_STATE, rights: 'own', seq: 1 })
  })
  it('every kind is known, others are not', () => {
    expect(readableKind({ kind: 'setKey' })).toBe('setKey')
    expect(readableKind({ kind: 'setKey', key: 7 })).toBeUndefined()
    expect(readableKind({ kind: 'constructor' })).toBeUndefined()
    expect(readableKind(null)).toBeUndefined()
  })
  it('a lock or a choice of nonsense is left out of the plan', () => {
    const state = { ...EMPTY_STATE, tune: { sections: [null] }, locks: [null, { slot: 7 }] } as unknown as BoardState
    expect(planOfState(state, [null as unknown as Chosen])).toMatchObject({ chosen: [], edits: [] })
    expect(planOfState({ ...EMPTY_STATE, tune: 7 } as unknown as BoardState)).toBeUndefined()
  })
})
