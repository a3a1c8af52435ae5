/** Boards that released versions made open with this one, whole. */
import { afterAll, describe, expect, it } from 'vitest'
import { cleanUp } from './harness.js'
import { lostFrom, RELEASED } from './released.js'

afterAll(cleanUp)

describe('[UP1] a store of an earlier version', () => {
  it.each(RELEASED)('%s: opens, goes on, leaves as a board file; fields nobody knows yet stay', async (version) => {
    const { fields, lost } = await lostFrom(version)
    expect(lost).toEqual([])
    expect(fields).toBeGreaterThan(10)
  })
})
