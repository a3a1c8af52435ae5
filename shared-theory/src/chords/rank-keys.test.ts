import { describe, expect, it } from 'vitest'
import { midiOfName } from '../units/index.js'
import { rankKeys } from './index.js'
import { KRUMHANSL_KESSLER, TEMPERLEY } from './rank-keys.js'

/** 'A4:2 F4:1' → notes in order. */
const line = (text: string) =>
  text.split(' ').map((token, index) => {
    const [pitch = '', quarters = '1'] = token.split(':')
    return { midi: midiOfName(pitch), durationTicks: Number(quarters) * 5040, startTick: index * 5040 }
  })
const FIRST_EIGHT = 'A4:2 F4:1 G4:1 C5:3 G4:1 D5:2 C5:1 A4:1 G4:3 E4:1 D5:1.5 C5:.5 Bb4:2 A4:2 G4:1 E4:1 F4:8'
const BRIDGE = 'D5:3 F5:1 Db5:3 C5:1 C5:2 D5:1 E5:1 A4:3 F#4:1 G4:2 B4:1 D5:1 E5:3 D5:1 F5:2 D5:1 Bb4:1 C5:2 Bb4:2'
const WALTZ =
  'D5:2 Bb4:1 G4:2 Bb4:1 C5:2 A4:1 F#4:3 Bb4:1 A4:1 G4:1 G4:2 E4:1 A4:2 C5:1 D5:3 D5:2 C5:1 C5:2 Eb5:1 D5:2 C5:1 Bb4:3 Eb5:2 D5:1 C5:2 F#4:1 G4:6'
const BLUES =
  'F4 Ab4 Bb4 Db5:2 Bb4:2 F4 Ab4 Bb4 D5:1.5 Bb4:.5 G4 Bb4 Db5 Db5:2 Bb4:2 F4 Ab4 Bb4 D5:1.5 Ab4:.5 Eb5:2 C5 G4 A4:2 C5 Eb5 Bb4:6'

describe('keys', () => {
  it('[KE1] ranks all 24 keys, each once, best first', () => {
    const ranked = rankKeys(line(FIRST_EIGHT))
    expect(new Set(ranked.map(({ key }) => key)).size).toBe(24)
    const scores = ranked.map(({ score }) => score)
    expect(scores).toEqual([...scores].sort((a, b) => b - a))
  })

  it('[KE2] finds F major, G minor before B flat major, and B flat major in a blues', () => {
    expect(rankKeys(line(`${FIRST_EIGHT} ${FIRST_EIGHT} ${BRIDGE} ${FIRST_EIGHT}`))[0]?.key).toBe('F major')
    expect(
      rankKeys(line(WALTZ))
        .slice(0, 2)
        .map(({ key }) => key),
    ).toEqual(['G minor', 'Bb major'])
    expect(rankKeys(line(BLUES))[0]?.key).toBe('Bb major')
  })

  it('[KE2] finds every transposition of the same melody', () => {
    for (let up = -6; up <= 5; up++) {
      const moved = line(FIRST_EIGHT).map((note) => ({ ...note, midi: note.midi + up }))
      const [best] = rankKeys(moved)
      expect(best?.key.endsWith('major')).toBe(true)
      expect((best?.score ?? 0) - (rankKeys(line(FIRST_EIGHT))[0]?.score ?? 1)).toBeCloseTo(0, 9)
    }
  })

  it('[KE3] takes notes in any order when they carry their start', () => {
    expect(rankKeys(line(WALTZ).toReversed())).toEqual(rankKeys(line(WALTZ)))
  })

  it('[KE4] confidence is half where nothing leads, and nothing makes it fail', () => {
    expect(rankKeys([])).toHaveLength(24)
    expect(rankKeys([])[0]?.confidence).toBe(0.5)
    const even = Array.from({ length: 12 }, (_, midi) => ({ midi: 60 + midi, durationTicks: 5040 }))
    expect(rankKeys(even)).toHaveLength(24)
    const [best, second] = rankKeys(line(FIRST_EIGHT))
    expect(best?.confidence).toBeGreaterThan(0.5)
    expect(second?.confidence).toBeLessThan(0.5)
  })

  // Source: Krumhansl & Kessler 1982; Temperley (Kostka–Payne): published sums and peaks of the profiles.
  it('[KE5] the profiles are the published ones', () => {
    const sum = (values: readonly number[]) => values.reduce((total, value) => total + value, 0)
    expect(sum(KRUMHANSL_KESSLER.major)).toBeCloseTo(41.79, 2)
    expect(sum(KRUMHANSL_KESSLER.minor)).toBeCloseTo(44.51, 2)
    expect(Math.max(...TEMPERLEY.major)).toBe(0.748)
    expect(Math.max(...TEMPERLEY.minor)).toBe(0.747)
  })
})
