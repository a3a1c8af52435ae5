import { describe, expect, it } from 'vitest'
import { Counting } from './counting.js'

const tallyOf = (voters: number) => ({ voters, counts: { x: voters }, counted: 'people' as const })

describe('[PO4] counting', () => {
  const poll = (voters: number) => {
    let now = 0
    let counts = 0
    const counting = new Counting(() => now)
    return {
      ask: (isOpen = true) =>
        counting.tally('p', isOpen, () => {
          counts += 1
          return Promise.resolve(tallyOf(voters++))
        }),
      wait: (ms: number) => (now += ms),
      counts: () => counts,
    }
  }
  it('of a small poll is done anew each time', async () => {
    const { ask, counts } = poll(5)
    expect([(await ask()).voters, (await ask()).voters, (await ask()).voters]).toEqual([5, 6, 7])
    expect(counts()).toBe(3)
  })
  it('of a large one is good for a second, whoever asks, and never once it is closed', async () => {
    const { ask, wait, counts } = poll(10_000)
    const asked = await Promise.all(Array.from({ length: 100 }, () => ask()))
    expect(new Set(asked.map(({ voters }) => voters))).toEqual(new Set([10_000]))
    wait(999)
    expect((await ask()).voters).toBe(10_000)
    wait(1)
    expect((await ask()).voters).toBe(10_001)
    expect((await ask(false)).voters).toBe(10_002)
    expect((await ask()).voters).toBe(10_003)
    expect(counts()).toBe(4)
  })
  it('that fails is tried again', async () => {
    const counting = new Counting(() => 0)
    await expect(counting.tally('p', true, () => Promise.reject(new Error('disk')))).rejects.toThrow('disk')
    expect((await counting.tally('p', true, () => Promise.resolve(tallyOf(1)))).voters).toBe(1)
  })
})
