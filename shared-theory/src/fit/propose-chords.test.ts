import { describe, expect, it } from 'vitest'
import type { KeySignature, Mode, Tune, TuneBar } from '../contract/index.js'
import { keySignature, midiOfName } from '../units/index.js'
import { proposeChords } from './propose-chords.js'

const QUARTER = 5040
/** One bar a word, quarters by commas: 'C5,E5,G5,E5'. */
function tuneOf(text: string, tonic = 'C', mode: Mode = 'major', metre = { beats: 4, beatType: 4 as const }): Tune {
  const key = keySignature(tonic, mode) as KeySignature
  const bars = text.split(' ').map((word, barIndex): TuneBar => {
    const names = word.split(',')
    const length = (metre.beats * QUARTER) / names.length
    return {
      barIndex,
      metre,
      lengthTicks: metre.beats * QUARTER,
      key,
      writtenBar: barIndex,
      chords: [],
      melody: names
        .map((name, at) => ({
          name,
          startTick: at * length,
          durationTicks: length,
          midi: name === '-' ? 0 : midiOfName(name),
        }))
        .filter(({ name }) => name !== '-'),
    }
  })
  return {
    version: 1,
    title: 'Test',
    rights: 'own',
    key,
    metre,
    pickupTicks: 0,
    bars,
    sections: [{ id: 'A1', letter: 'A', role: 'chorus', startBar: 0, bars: bars.length }],
    source: { format: 'typed', issues: [] },
  }
}
const symbols = (tune: Tune): string =>
  proposeChords(tune)
    .bars.map((bar) => bar.chords.map((one) => one.chord.symbol).join(' '))
    .join(' | ')

describe('[FI10] chords proposed for a melody', () => {
  it('three chords where three will do', () => {
    expect(symbols(tuneOf('C5,E5,G5,E5 F5,A5,F5,C5 G4,B4,D5,B4 C5'))).toBe('C | F | G7 | C')
  })
  it('two in a bar where the halves belong to two chords', () => {
    expect(symbols(tuneOf('C5,E5,G5,E5 F5,A5,B4,D5 C5,E5,C5,G4 C5'))).toBe('C | F G7 | C | C')
  })
  it('minor takes its own V7; a raised leading note in the melody asks for it', () => {
    expect(symbols(tuneOf('A4,C5,E5,C5 D5,F5,D5,A4 G#4,B4,E5,B4 A4', 'A', 'minor'))).toBe('Am | Dm | E7 | Am')
  })
  it('modes keep to their own chords', () => {
    expect(symbols(tuneOf('D5,F5,A5,F5 C5,E5,G5,E5 D5', 'D', 'dorian'))).toBe('Dm | C | Dm')
    expect(symbols(tuneOf('D5,F#5,A5,F#5 C5,E5,G5,E5 D5', 'D', 'mixolydian'))).toBe('D | C | D')
  })
  it('a raised fourth on the way to V is its own dominant', () => {
    expect(symbols(tuneOf('C5,E5,G5,E5 F#5,A5,D5,F#5 G5,D5,B4,G4 C5'))).toBe('C | D7 | G7 | C')
  })
  it('ends at home even on its fifth, and rests hold what sounds', () => {
    expect(symbols(tuneOf('C5,E5,G5,E5 - - G4'))).toBe('C | C | C | C')
  })
  it('one chord a bar in three', () => {
    const three = { beats: 3, beatType: 4 as const }
    expect(symbols(tuneOf('E5,G5,C6 A5,F5,C5 B4,D5,G5 C5', 'C', 'major', three))).toBe('C | F | G7 | C')
  })
  it('a tune with a chord, or without a melody, stays as it is', () => {
    const silent = tuneOf('- -')
    expect(proposeChords(silent)).toBe(silent)
    const done = proposeChords(tuneOf('C5 C5'))
    expect(proposeChords(done)).toBe(done)
    expect(done.bars.every((bar) => bar.chords.every((one) => one.inferred === true))).toBe(true)
  })
})
