/** Ready line-ups, from the smallest useful band to the demo's quintet. Source: common practice. */
import type { PartSpec } from '../contract/index.js'

const PIANO: PartSpec = { id: 'piano', instrument: 'piano', name: 'Piano', role: 'chords' }
const BASS: PartSpec = { id: 'bass', instrument: 'double-bass', name: 'Bass', role: 'bass' }
const DRUMS: PartSpec = { id: 'drums', instrument: 'drum-kit', name: 'Drums', role: 'drums' }

export const LINEUPS: { readonly [name: string]: readonly PartSpec[] } = {
  'quartet-lead': [{ id: 'lead', instrument: 'violin', name: 'Lead', role: 'lead' }, PIANO, BASS, DRUMS],
  'quartet-trumpet': [{ id: 'trumpet', instrument: 'trumpet', name: 'Trumpet', role: 'lead' }, PIANO, BASS, DRUMS],
  quintet: [
    { id: 'trumpet', instrument: 'trumpet', name: 'Trumpet', role: 'lead' },
    { id: 'tenor-sax', instrument: 'tenor-sax', name: 'Tenor sax', role: 'horn' },
    PIANO,
    BASS,
    DRUMS,
  ],
}

/** What a plan starts with: a lead at concert pitch with a wide range, piano, bass and drums. */
export const DEFAULT_LINEUP: readonly PartSpec[] = LINEUPS['quartet-lead'] as readonly PartSpec[]
