/** Small rows and options for the tests of this folder. */
import type { LedgerEntry, Option, Tune } from '../contract/index.js'

export const TUNE: Tune = {
  version: 1,
  title: 'Short Pier',
  rights: 'own',
  key: { key: 'C major', mode: 'major', fifths: 0 },
  metre: { beats: 4, beatType: 4 },
  pickupTicks: 0,
  bars: [
    {
      barIndex: 0,
      metre: { beats: 4, beatType: 4 },
      lengthTicks: 20_160,
      key: { key: 'C major', mode: 'major', fifths: 0 },
      melody: [{ startTick: 0, durationTicks: 20_160, midi: 60, name: 'C4' }],
      chords: [],
      writtenBar: 0,
    },
  ],
  sections: [{ id: 'A1', letter: 'A', role: 'chorus', startBar: 0, bars: 1 }],
  source: { format: 'typed', issues: [] },
}

export const OPTION: Option = {
  id: 'lift-up-2',
  kind: 'lift',
  recipe: 'direct',
  title: 'Up a whole step',
  params: { semitones: 2, preparation: 'direct' },
  summary: 'The singer has room above.',
  reason: [{ rule: 'LI2', text: 'two half steps up' }],
  score: 0.7,
  at: { passId: 'chorus-last', sectionId: 'A1' },
}

/** Rows numbered from 1, given by the leader; the first is the server's createBoard. */
export function ledgerOf(
  ...commands: readonly { readonly kind: string; readonly [field: string]: unknown }[]
): readonly LedgerEntry[] {
  const created = { kind: 'createBoard', title: 'Boat shed', tune: TUNE, links: [{ linkId: 'l1', role: 'leader' }] }
  return [created, ...commands].map((command, index) => ({
    seq: index + 1,
    at: 1_000 + index,
    by:
      index === 0
        ? { userId: 'server', name: 'Server', role: 'server' }
        : { userId: 'u1', name: 'Ilse', role: 'leader' },
    command: { commandId: `command-${index + 1}`, ...command },
  }))
}
