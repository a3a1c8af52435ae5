import { describe, expect, it } from 'vitest'
import type { ArrangedBar, TuneBar } from '../contract/index.js'
import { barTicks, keySignatureOf, midiOfName } from '../units/index.js'
import { withLeadIn } from './bars.js'

const note = (name: string, startTick: number, durationTicks: number) => ({
  startTick,
  durationTicks,
  midi: midiOfName(name),
  name,
})
const frame = { key: keySignatureOf('C major'), chords: [], writtenBar: 0, barIndex: 0 }
const pickup: TuneBar = {
  ...frame,
  metre: { beats: 4, beatType: 4 },
  lengthTicks: 15120,
  melody: [note('C4', 0, 5040), note('D4', 5040, 5040), note('E4', 10080, 5040)],
}
const before = (beats: number): ArrangedBar => ({
  ...frame,
  sectionId: 'A1',
  pass: 'chorus-1',
  metre: { beats, beatType: 4 },
  groups: [beats],
  lengthTicks: barTicks({ beats, beatType: 4 }),
  tempoBpm: 120,
  feel: 'even',
  melody: [note('G4', 0, 10080)],
  parts: {},
  provenance: { decision: 'tune', rule: 'CO1' },
})
const played = ({ melody }: ArrangedBar) =>
  melody.map(({ name, startTick, durationTicks }) => [name, startTick, durationTicks])

describe('[CO4] the end of the bar before a pickup', () => {
  it('is cut where the pickup begins', () => {
    expect(played(withLeadIn(before(4), pickup))).toEqual([
      ['G4', 0, 5040],
      ['C4', 5040, 5040],
      ['D4', 10080, 5040],
      ['E4', 15120, 5040],
    ])
  })
  it('takes the end of a pickup longer than itself', () => {
    expect(played(withLeadIn(before(2), pickup))).toEqual([
      ['D4', 0, 5040],
      ['E4', 5040, 5040],
    ])
  })
})
