import type { LedgerEntry } from '@chartloft/shared-theory'
import { foldLedger } from '@chartloft/shared-theory/board'
import { describe, expect, it } from 'vitest'
import { LedgerCache } from './ledger.js'

const row = (seq: number, kind: string, fields: object = {}): LedgerEntry => ({
  seq,
  at: seq,
  by: { userId: 'u', name: 'Maro', role: 'leader' },
  command: { commandId: `c${seq}`, kind, ...fields },
})
const rows = [
  row(1, 'createBoard', { title: 'Half-Tide Lantern', links: [] }),
  row(2, 'setRights', { rights: 'own' }),
  row(3, 'nameVersion', { name: 'first' }),
  row(4, 'setRights', { rights: 'licensed' }),
  row(5, 'restoreVersion', { toSeq: 2 }),
]
const upTo = (seq: number) => rows.slice(0, seq)

describe('[SY4] the ledger on the page', () => {
  it('folds live rows onto the snapshot to what the whole ledger folds to', () => {
    const cache = new LedgerCache(() => Promise.resolve(rows))
    cache.hear({ seq: 2, state: foldLedger(upTo(2)) })
    cache.hear(rows[2])
    cache.hear(rows[3])
    expect(JSON.stringify(cache.state.value)).toBe(JSON.stringify(foldLedger(upTo(4))))
    expect(cache.newest.value?.seq).toBe(4)
  })

  it('skips what it has seen and fetches what it missed', async () => {
    const cache = new LedgerCache(() => Promise.resolve(upTo(4)))
    cache.hear({ seq: 1, state: foldLedger(upTo(1)) })
    cache.hear(rows[0])
    expect(cache.state.value?.seq).toBe(1)
    cache.hear(rows[3])
    await cache.loadAll()
    expect(cache.state.value?.seq).toBe(4)
    expect(cache.entries.value).toHaveLength(4)
  })

  it('restores by folding from the beginning', async () => {
    const cache = new LedgerCache(() => Promise.resolve(rows))
    cache.hear({ seq: 4, state: foldLedger(upTo(4)) })
    cache.hear(rows[4])
    await cache.loadAll()
    expect(JSON.stringify(cache.state.value)).toBe(JSON.stringify(foldLedger(rows)))
    expect(cache.stateAt(2).rights).toBe('own')
  })

  it('opens as it was kept, and believes the server as soon as it speaks, even of an older state', () => {
    const cache = new LedgerCache(() => Promise.resolve(rows))
    cache.openKept(foldLedger(upTo(4)))
    expect([cache.isKept, cache.state.value?.seq]).toEqual([true, 4])
    cache.hear({ seq: 2, state: foldLedger(upTo(2)) })
    expect([cache.isKept, cache.state.value?.seq]).toEqual([false, 2])
    cache.openKept(foldLedger(upTo(4)))
    expect(cache.state.value?.seq).toBe(2)
  })
})
