/** What a poll costs that many have voted in. */
import { afterAll, describe, it } from 'vitest'
import { cleanUp, freshFolder } from '../../server/harness.js'
import type { Store } from '../../../server/src/store/store.js'
import { COSTS_OF_A_POLL, pollWith } from './ballots.js'
import { costsOf, grows } from './growth.js'

const SIZES = [1250, 2500, 5000, 10_000]

describe('[GR1] by ballots', () => {
  const stores = new Map<number, Store>()
  afterAll(async () => {
    for (const store of stores.values()) await store.close()
    cleanUp()
  })
  it('votes, looks and recounts', async () => {
    for (const size of SIZES) stores.set(size, await pollWith(freshFolder(), size))
    for (const [what, cost] of Object.entries(COSTS_OF_A_POLL)) {
      const points = await costsOf(SIZES, 3, (size) => cost(stores.get(size) as Store))
      grows({ what, by: 'ballots', unit: 'ms', points, atMost: what.startsWith('a recount') ? 1.3 : 0.3 })
    }
  })
})
