import { describe, expect, it } from 'vitest'
import { levelAt, type NoteShape, scheduleShape, SILENT_DB, silentAfter } from './envelope.js'

const shape: NoteShape = {
  envelope: { attackSeconds: 0.01, holdSeconds: 0.1, fallDbPerSecond: 20, sustainDb: 30, releaseDbPerSecond: 100 },
  releaseSeconds: 1,
}
const db = (seconds: number) => 20 * Math.log10(levelAt(shape, seconds))

/** A gain that follows its automation as the Web Audio API words it (2021 recommendation, section AudioParam). */
function recordedGain(): { param: AudioParam; at(seconds: number): number } {
  const events: { type: 'set' | 'line' | 'curve'; value: number; time: number }[] = []
  const add = (type: 'set' | 'line' | 'curve') => (value: number, time: number) =>
    void events.push({ type, value, time })
  const param = {
    value: 0,
    setValueAtTime: add('set'),
    linearRampToValueAtTime: add('line'),
    exponentialRampToValueAtTime: add('curve'),
  } as unknown as AudioParam
  return {
    param,
    at(seconds) {
      const index = events.findLastIndex(({ time }) => time <= seconds)
      const [last, next] = [events[index], events[index + 1]]
      if (!last) return 0
      if (!next || next.type === 'set') return last.value
      const share = (seconds - last.time) / (next.time - last.time)
      if (next.type === 'line') return last.value + (next.value - last.value) * share
      return last.value * (next.value / last.value) ** share
    },
  }
}

describe('[AU14] a note’s envelope', () => {
  it('rises, holds, falls evenly in decibels, and dies away after its end', () => {
    expect(levelAt(shape, 0)).toBe(0)
    expect(levelAt(shape, 0.005)).toBeCloseTo(0.5)
    expect(db(0.1)).toBeCloseTo(0)
    expect(db(0.61)).toBeCloseTo(-10)
    expect(db(1.1)).toBeCloseTo(db(1) - 10)
    expect(db(silentAfter(shape))).toBeCloseTo(-SILENT_DB)
  })
  it('stops falling where it is sustained', () => {
    const long = { ...shape, releaseSeconds: 5 }
    expect(20 * Math.log10(levelAt(long, 3))).toBeCloseTo(-30)
    expect(20 * Math.log10(levelAt(long, 5))).toBeCloseTo(-30)
  })
  it.each([1, 0.05, 0.005, 4])('what is scheduled is what was worked out, for a note of %d s', (releaseSeconds) => {
    const note = { ...shape, releaseSeconds }
    const gain = recordedGain()
    scheduleShape(gain.param, note, 2, 0.7)
    for (let seconds = 0.0005; seconds < silentAfter(note); seconds += 0.0137)
      expect(gain.at(2 + seconds)).toBeCloseTo(levelAt(note, seconds) * 0.7, 3)
  })
  it.each([1, 0.05, 0.005, 0.3, 4])('the same where it rings longer, for a note of %d s', (releaseSeconds) => {
    const note = { envelope: { ...shape.envelope, ring: { db: 6, seconds: 0.5 } }, releaseSeconds }
    const gain = recordedGain()
    scheduleShape(gain.param, note, 2, 0.7)
    for (let seconds = 0.0005; seconds < silentAfter(note); seconds += 0.0137)
      expect(gain.at(2 + seconds)).toBeCloseTo(levelAt(note, seconds) * 0.7, 3)
    // 0.4 s of falling by 20 dB a second, 6 dB of ringing.
    if (releaseSeconds > 0.6) expect(20 * Math.log10(levelAt(note, 0.51))).toBeCloseTo(-2)
  })
})
