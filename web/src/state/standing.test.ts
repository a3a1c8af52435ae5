import { describe, expect, it } from 'vitest'
import { inFront } from './standing.js'

describe('[UI16] how a closed vote stands', () => {
  const tally = (counts: { readonly [id: string]: number }, voters = 3) => ({ tally: { voters, counts } as never })

  it('one in front, several level, nobody', () => {
    expect(inFront(tally({ a: 2, b: 1 }))).toEqual(['a'])
    expect(inFront(tally({ a: 2, b: 2, c: 1 }))).toEqual(['a', 'b'])
    expect(inFront(tally({ a: 0, b: 0 }, 0))).toEqual([])
    expect(inFront(tally({ a: 0, b: 0 }, 2))).toEqual([])
    expect(inFront({})).toEqual([])
  })
})
