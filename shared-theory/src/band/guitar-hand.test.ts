/** What one hand on a guitar can hold. */
import { describe, expect, it } from 'vitest'
import type { PartNote } from '../contract/index.js'
import { inOneHand, isHeld } from './guitar-hand.js'

const note = (midi: number, startTick = 0, durationTicks = 5040): PartNote => ({
  startTick,
  durationTicks,
  midi,
  name: '',
  velocity: 60,
})

describe('[BA13] a guitarist has one hand', () => {
  // Source: common practice; open and barred shapes every guitarist has, and close positions none has.
  it.each([
    ['C as x32010', [48, 52, 55, 60, 64], true],
    ['F as 133211', [41, 48, 53, 57, 60, 65], true],
    ['G7 as 3x343x', [43, 53, 59, 62], true],
    ['C∆ drop 2', [48, 55, 59, 64], true],
    ['C7 close, low', [52, 55, 58, 60], false],
    ['two notes only the lowest string has', [40, 41], false],
    ['below the lowest string', [38], false],
    ['seven notes', [40, 45, 50, 55, 59, 64, 69], false],
  ])('%s', (_, midi, holds) => {
    expect(isHeld(midi)).toBe(holds)
  })

  it('the melody stays, chord tones that no finger reaches go, against every attack they sound through', () => {
    const melody = [note(69, 0), note(76, 5040)]
    const chords = [note(60, 0, 10080), note(52, 0, 10080), note(53, 0, 10080)]
    const held = inOneHand([...melody, ...chords], (each) => melody.includes(each))
    expect(melody.every((each) => held.includes(each))).toBe(true)
    expect(held.length).toBeGreaterThan(2)
    for (const tick of [0, 5040]) {
      const sounding = held.filter(
        ({ startTick, durationTicks }) => startTick <= tick && tick < startTick + durationTicks,
      )
      expect(isHeld(sounding.map(({ midi }) => midi))).toBe(true)
    }
  })
})
