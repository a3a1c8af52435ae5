import { describe, expect, it } from 'vitest'
import { withChoiceOf } from './ballot.js'

describe('[UI12] ballots', () => {
  it('single: the last choice stands', () => {
    expect(withChoiceOf('single', ['a'], 'b', true)).toEqual(['b'])
  })
  it('approval: each on or off by itself', () => {
    expect(withChoiceOf('approval', ['a'], 'b', true)).toEqual(['a', 'b'])
    expect(withChoiceOf('approval', ['a', 'b'], 'a', false)).toEqual(['b'])
    expect(withChoiceOf('approval', undefined, 'a', true)).toEqual(['a'])
  })
  it('score: one mark changed, the others kept', () => {
    expect(withChoiceOf('score', { a: 3 }, 'b', 5)).toEqual({ a: 3, b: 5 })
    expect(withChoiceOf('score', { a: 3 }, 'a', 0)).toEqual({ a: 0 })
  })
})
