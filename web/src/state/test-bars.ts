/** Small bars for the tests of what is shown: one chord, one held note. */
import { type ArrangedBar, chord, keySignatureOf, midiOfName } from '@chartloft/shared-theory'

export function bar(barIndex: number, symbol: string, changes: Partial<ArrangedBar> = {}): ArrangedBar {
  return {
    barIndex,
    sectionId: 'A1',
    pass: 'chorus-1',
    metre: { beats: 4, beatType: 4 },
    groups: [4],
    lengthTicks: 20160,
    key: keySignatureOf('C major'),
    tempoBpm: 120,
    feel: 'swing',
    chords: [{ startTick: 0, durationTicks: 20160, chord: chord(symbol) }],
    melody: [{ startTick: 0, durationTicks: 20160, midi: midiOfName('C5'), name: 'C5' }],
    parts: {},
    provenance: { decision: 'tune', rule: 'TU1', tuneBar: barIndex },
    ...changes,
  }
}
export const renumber = (bars: readonly ArrangedBar[]): readonly ArrangedBar[] =>
  bars.map((each, barIndex) => ({ ...each, barIndex }))
