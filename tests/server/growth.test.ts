/** How costs of a poll and a ledger grow: the guard on ratios. */
import { afterAll, describe, it } from 'vitest'
import { foldLedger } from '@chartloft/shared-theory'
import type { Store } from '../../server/src/store/store.js'
import { COSTS_OF_A_POLL, pollWith } from '../bench/growth/ballots.js'
import { keepsInProportion } from '../bench/growth/guard.js'
import { cpuMs } from '../bench/growth/growth.js'
import { versionRows } from '../bench/growth/rows.js'
import { cleanUp, freshFolder } from './harness.js'

describe('[GR2] [PO4] a poll many have voted in', () => {
  const stores = new Map<number, Store>()
  afterAll(async () => {
    for (const store of stores.values()) await store.close()
    cleanUp()
  })
  it('takes a vote and shows its tally as any other; only a recount counts', async () => {
    const sizes = [250, 4000] as const
    for (const size of sizes) stores.set(size, await pollWith(freshFolder(), size))
    for (const [what, cost] of Object.entries(COSTS_OF_A_POLL))
      await keepsInProportion(
        what,
        sizes,
        (size) => cost(stores.get(size) as Store),
        what.startsWith('a recount') ? undefined : 0.5,
      )
  })
})

describe('[GR2] a ledger', () => {
  it('of many rows is read in proportion', async () => {
    const rows = new Map([250, 2000].map((count) => [count, versionRows(count)]))
    await keepsInProportion('folding a ledger', [250, 2000], (count) =>
      cpuMs(() => void foldLedger(rows.get(count) ?? []), 10),
    )
  })
})
