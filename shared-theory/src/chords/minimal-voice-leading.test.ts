import { describe, expect, it } from 'vitest'
import { LEAST_MOVES } from '../../../tests/fixtures/voice-leading-sizes.js'
import { chord, minimalVoiceLeading, pitchClassesOf } from './index.js'
import { seeded } from '../units/index.js'

const between = (from: string, to: string) =>
  minimalVoiceLeading(pitchClassesOf(chord(from)), pitchClassesOf(chord(to)))

/** Every way to pair notes so that each of both lists takes part, tried one by one: all subsets of pairs. */
function bruteForce(from: readonly number[], to: readonly number[]): number {
  const pairs = from.flatMap((a, i) =>
    to.map((b, j) => ({ i, j, cost: Math.min((b - a + 120) % 12, (a - b + 120) % 12) })),
  )
  let least = Number.POSITIVE_INFINITY
  for (let mask = 1; mask < 1 << pairs.length; mask++) {
    let cost = 0
    let above = 0
    let below = 0
    for (const [index, pair] of pairs.entries()) {
      if (!(mask & (1 << index))) continue
      cost += pair.cost
      above |= 1 << pair.i
      below |= 1 << pair.j
    }
    if (above === (1 << from.length) - 1 && below === (1 << to.length) - 1) least = Math.min(least, cost)
  }
  return least
}

describe('least voice leading', () => {
  it.each(LEAST_MOVES)('[VO1] %s to %s moves %i semitones', (from, to, size) => {
    expect(between(from, to).size).toBe(size)
  })

  it('[VO1] is the least of all pairings, and its moves cover both chords and add up', () => {
    const next = seeded(7)
    for (let round = 0; round < 150; round++) {
      const from = Array.from({ length: 1 + next(4) }, () => next(12))
      const to = Array.from({ length: 1 + next(3) }, () => next(12))
      const { size, moves } = minimalVoiceLeading(from, to)
      expect(size, `${from.join(' ')} → ${to.join(' ')}`).toBe(bruteForce(from, to))
      expect(moves.reduce((sum, [a, b]) => sum + Math.min((b - a + 12) % 12, (a - b + 12) % 12), 0)).toBe(size)
      expect(new Set(moves.map(([a]) => a))).toEqual(new Set(from))
      expect(new Set(moves.map(([, b]) => b))).toEqual(new Set(to))
    }
  })

  it('[VO1] an empty side moves nothing', () => {
    expect(minimalVoiceLeading([], [0, 4, 7])).toEqual({ size: 0, moves: [] })
  })
})
