import { describe, expect, it } from 'vitest'
import { gatedLoudness, matchDb } from './loudness.js'

const RATE = 48_000
const sine = (hertz: number, db: number, seconds: number, rate = RATE): Float32Array =>
  Float32Array.from(
    { length: seconds * rate },
    (_, index) => 10 ** (db / 20) * Math.sin((2 * Math.PI * hertz * index) / rate),
  )
function joined(...parts: readonly Float32Array[]): Float32Array {
  const whole = new Float32Array(parts.reduce((sum, { length }) => sum + length, 0))
  let at = 0
  for (const part of parts) {
    whole.set(part, at)
    at += part.length
  }
  return whole
}

describe('[AU12] loudness', () => {
  // Source: ITU-R BS.1770-4: a 0 dBFS sine of 997 Hz in one channel reads −3.01 LKFS.
  it('a full-scale sine in one channel', () => {
    expect(gatedLoudness([sine(997, 0, 5), new Float32Array(5 * RATE)], RATE)).toBeCloseTo(-3.01, 1)
  })
  // Source: EBU Tech 3341, minimum requirements test signals 1 to 3: ±0.1 LU.
  it.each([-23, -33])('a 1 kHz sine at %d dBFS in both channels', (db) => {
    const tone = sine(1000, db, 8)
    expect(Math.abs(gatedLoudness([tone, tone], RATE) - db)).toBeLessThan(0.1)
  })
  it('what is far softer than the rest does not count', () => {
    const tone = joined(sine(1000, -36, 5), sine(1000, -23, 30), sine(1000, -36, 5))
    expect(Math.abs(gatedLoudness([tone, tone], RATE) + 23)).toBeLessThan(0.1)
  })
  it('the rate does not matter', () => {
    for (const rate of [24_000, 44_100]) {
      const tone = sine(1000, -23, 5, rate)
      expect(Math.abs(gatedLoudness([tone, tone], rate) + 23)).toBeLessThan(0.1)
    }
  })
  it('silence has none, and nothing is matched to it', () => {
    const nothing = gatedLoudness([new Float32Array(RATE)], RATE)
    expect(nothing).toBe(-Infinity)
    expect(matchDb(-20, nothing)).toBe(0)
    expect(matchDb(-20, -24)).toBe(4)
    expect(matchDb(-20, -60)).toBe(12)
  })
})
