import { describe, expect, it } from 'vitest'
import { tallyPath } from './tally.js'

describe('[UI8] tallies', () => {
  it('draws one stroke a vote, every fifth across', () => {
    expect(tallyPath(0).d).toBe('')
    expect(tallyPath(4).d.match(/M/g)).toHaveLength(4)
    expect(tallyPath(5).d).toContain('M1 14L27 4')
    expect(tallyPath(13).d.match(/M/g)).toHaveLength(13)
    expect(tallyPath(13).d).toContain('M35 14L61 4')
  })
})
