/** Ready line-ups, from one player to seven: where a leader starts before saying who really plays. Source: common practice. */
import type { PartSpec } from '../contract/index.js'

const PIANO: PartSpec = { id: 'piano', instrument: 'piano', name: 'Piano', role: 'chords' }
const BASS: PartSpec = { id: 'bass', instrument: 'double-bass', name: 'Bass', role: 'bass' }
const DRUMS: PartSpec = { id: 'drums', instrument: 'drum-kit', name: 'Drums', role: 'drums' }
const TRUMPET: PartSpec = { id: 'trumpet', instrument: 'trumpet', name: 'Trumpet', role: 'lead' }
const TENOR: PartSpec = { id: 'tenor-sax', instrument: 'tenor-sax', name: 'Tenor sax', role: 'horn' }
const SINGER: PartSpec = { id: 'voice', instrument: 'voice-alto', name: 'Voice', role: 'lead' }

export const LINEUPS: { readonly [name: string]: readonly PartSpec[] } = {
  'solo-piano': [{ ...PIANO, role: 'lead' }],
  duo: [SINGER, PIANO],
  trio: [{ ...PIANO, role: 'lead' }, BASS, DRUMS],
  'quartet-lead': [{ id: 'lead', instrument: 'violin', name: 'Lead', role: 'lead' }, PIANO, BASS, DRUMS],
  'quartet-voice': [SINGER, PIANO, BASS, DRUMS],
  'quartet-trumpet': [TRUMPET, PIANO, BASS, DRUMS],
  quintet: [TRUMPET, TENOR, PIANO, BASS, DRUMS],
  septet: [
    TRUMPET,
    { id: 'alto-sax', instrument: 'alto-sax', name: 'Alto sax', role: 'horn' },
    TENOR,
    { id: 'trombone', instrument: 'trombone', name: 'Trombone', role: 'horn' },
    PIANO,
    BASS,
    DRUMS,
  ],
}

/** What a plan starts with: a lead at concert pitch with a wide range, piano, bass and drums. */
export const DEFAULT_LINEUP: readonly PartSpec[] = LINEUPS['quartet-lead'] as readonly PartSpec[]
