import { describe, expect, it } from 'vitest'
import { FERRY_BELL, LANTERN_SLIP, SLACK_TIDE } from '../../../tests/fixtures/worked-tunes.js'
import type { Tune } from '../contract/index.js'
import { findForm, melodyRange } from '../tune/index.js'
import { midiOfName } from '../units/index.js'
import { readTune } from './index.js'

function read(abc: string): Tune {
  const result = readTune('abc', abc)
  if (!result.ok) throw new Error(result.issues[0]?.message)
  expect(result.issues ?? []).toEqual([])
  return result.value
}
const withoutLabels = (abc: string): string => abc.replaceAll(/^P:.*\n/gm, '')

describe('tune 1, Lantern Slip (worked examples, section 1)', () => {
  for (const [how, abc] of [
    ['labelled', LANTERN_SLIP],
    ['found', withoutLabels(LANTERN_SLIP)],
  ] as const) {
    it(`[FO1] A A B A of 8 bars, ${how}`, () => {
      const form = findForm(read(abc))
      expect(form.pattern).toBe('AABA')
      expect(form.sections.map(({ id, startBar, bars }) => [id, startBar, bars])).toEqual([
        ['A1', 0, 8],
        ['A2', 8, 8],
        ['B1', 16, 8],
        ['A3', 24, 8],
      ])
      expect(form.confidence).toBeGreaterThan(0.9)
    })
  }
  const tune = read(LANTERN_SLIP)
  it('[FO3] A2 is the same as A1 but for bar 8', () => {
    expect(findForm(tune).sections[1]?.sameAs).toEqual({
      sectionId: 'A1',
      differences: ['bar 8: chords Cm7 F7, melody rests'],
    })
    expect(findForm(tune).sections[3]?.sameAs).toEqual({ sectionId: 'A1', differences: [] })
  })
  it('[FO2] cadences full, turnaround, half, full', () => {
    expect(findForm(tune).sections.map((section) => section.cadence)).toEqual(['full', 'turnaround', 'half', 'full'])
  })
  it('[FO5] range E4–F5, highest in bars 17 and 23', () => {
    expect(melodyRange(tune)).toEqual({ lowMidi: midiOfName('E4'), highMidi: midiOfName('F5'), highBars: [16, 22] })
  })
  it('[RD20] 32 bars of 4/4 at 138 in F major, tied over bars 7–8', () => {
    expect([tune.bars.length, tune.metre, tune.tempoBpm, tune.key, tune.pickupTicks]).toEqual([
      32,
      { beats: 4, beatType: 4 },
      138,
      { key: 'F major', mode: 'major', fifths: -1 },
      0,
    ])
    expect(tune.bars[6]?.melody).toEqual([
      { startTick: 0, durationTicks: 20160, midi: 65, name: 'F4', tiedToNext: true },
    ])
    expect(tune.bars[4]?.melody.map((note) => [note.startTick, note.durationTicks, note.name])).toEqual([
      [0, 7560, 'D5'],
      [7560, 2520, 'C5'],
      [10080, 10080, 'Bb4'],
    ])
    expect(tune.rights).toBe('own')
  })
})

describe('tune 2, Ferry Bell', () => {
  const tune = read(FERRY_BELL)
  it('[FO1] A B of 8 bars each, found without labels too', () => {
    expect(findForm(tune).pattern).toBe('AB')
    expect(findForm(read(withoutLabels(FERRY_BELL))).sections.map(({ id, bars }) => [id, bars])).toEqual([
      ['A1', 8],
      ['B1', 8],
    ])
  })
  it('[FO5] range E4–E♭5, F♯ spelled as F♯', () => {
    expect(melodyRange(tune)).toMatchObject({ lowMidi: midiOfName('E4'), highMidi: midiOfName('Eb5') })
    expect(tune.bars[3]?.melody[0]?.name).toBe('F#4')
    expect(tune.bars[13]?.melody[1]?.name).toBe('F#4')
  })
})

describe('tune 3, Slack Tide', () => {
  const tune = read(SLACK_TIDE)
  it('[FO4] one 12-bar section, B♭ major, two flats', () => {
    const form = findForm(tune)
    expect(form.sections.map(({ id, bars }) => [id, bars])).toEqual([['A1', 12]])
    expect(form.sections[0]?.evidence.join(' ')).toContain('12-bar blues')
    expect(tune.key).toEqual({ key: 'Bb major', mode: 'major', fifths: -2 })
  })
  it('[RD21] bar 12 is a sus chord under the tied B♭', () => {
    expect(tune.bars[11]?.chords[0]?.chord.kind).toBe('suspended-fourth')
    expect(tune.bars[10]?.melody[0]?.tiedToNext).toBe(true)
  })
})
