import { describe, expect, it } from 'vitest'
import { readTune } from './index.js'

const HEAD = 'X:1\nT:Test\nM:4/4\nL:1/4\nK:C\n'
const symbols = (abc: string) => {
  const read = readTune('abc', HEAD + abc)
  if (!read.ok) throw new Error(read.issues[0]?.message)
  return {
    said: (read.issues ?? []).filter((one) => one.code === 'RD16').map((one) => one.severity),
    chords: read.value.bars.map((bar) => bar.chords.map((one) => [one.chord.symbol, one.inferred ?? false])),
  }
}

describe('[RD16] a tune without chords', () => {
  it('gets proposed ones, and that is said', () => {
    expect(symbols('C E G2 | A F D2 | B, D G2 | C4 |]')).toEqual({
      said: ['note'],
      chords: [
        [['C', true]],
        [
          ['F', true],
          ['G7', true],
        ],
        [['G7', true]],
        [['C', true]],
      ],
    })
  })
  it('one chord, or one N.C., and nothing is proposed', () => {
    expect(symbols('C E G2 | "F"A F D2 | B, D G2 | C4 |]')).toEqual({ said: [], chords: [[], [['F', false]], [], []] })
    expect(symbols('"N.C."C E G2 | A F D2 |]')).toEqual({ said: [], chords: [[['N.C.', false]], []] })
  })
  it('the pickup has none', () => {
    expect(symbols('G, | C2 E2 | D2 B,2 | C3 |]').chords[0]).toEqual([])
  })
})
