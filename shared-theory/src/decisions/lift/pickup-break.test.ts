import { describe, expect, it } from 'vitest'
import { chord } from '../../chords/index.js'
import type { ArrangedBar, ArrangedNote } from '../../contract/index.js'
import { keySignatureOf, midiOfName } from '../../units/index.js'
import { brokenUnder } from './pickup-break.js'

const note = (name: string, startTick: number, bar: number): ArrangedNote => ({
  startTick,
  durationTicks: 5040,
  midi: midiOfName(name),
  name,
  source: { bar, index: 0 },
})
const barWith = (pickup: string): ArrangedBar => ({
  barIndex: 8,
  sectionId: 'A1',
  pass: 'solo-1',
  metre: { beats: 4, beatType: 4 },
  groups: [4],
  lengthTicks: 20160,
  key: keySignatureOf('Eb major'),
  tempoBpm: 120,
  feel: 'swing',
  chords: [{ startTick: 0, durationTicks: 20160, chord: chord('Ebmaj7') }],
  melody: [note('G4', 0, 8), note(pickup, 15120, 0)],
  parts: {},
  provenance: { decision: 'tune', rule: 'CO1', tuneBar: 8 },
})
const chordsOf = ({ chords }: ArrangedBar): readonly unknown[] =>
  chords.map((placed) => [placed.chord.symbol, placed.startTick, placed.durationTicks])

describe('[LI4] a pickup in the new key over the old chord', () => {
  it('that would clash is played alone', () => {
    expect(chordsOf(brokenUnder(barWith('Ab4'), barWith('Bb4'), {}))).toEqual([
      ['Ebmaj7', 0, 15120],
      ['N.C.', 15120, 5040],
    ])
  })
  it('that fits or has not moved leaves the bar alone', () => {
    const fits = barWith('C5')
    expect(brokenUnder(fits, barWith('Bb4'), {})).toBe(fits)
    const unmoved = barWith('Ab4')
    expect(brokenUnder(unmoved, barWith('Ab4'), {})).toBe(unmoved)
  })
})
