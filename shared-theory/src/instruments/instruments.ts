/** Instruments as data: sounding practical ranges, transposition, clef, General MIDI program.
 *  Source: published instrument tables; practical limits from memory. Written = sounding + `transposeSemitones`. */
import { must } from '../units/index.js'

export type Clef = 'treble' | 'bass' | 'treble-8vb' | 'percussion' | 'grand'

export interface Instrument {
  readonly id: string
  readonly name: string
  readonly family: 'voice' | 'brass' | 'reed' | 'flute' | 'string' | 'guitar' | 'bass' | 'keys' | 'mallet' | 'drums'
  /** Lowest and highest sounding MIDI number a working player is comfortable with. */
  readonly range: readonly [lowMidi: number, highMidi: number]
  /** Semitones added to the sounding pitch to get the written one. */
  readonly transposeSemitones: number
  /** The same as a named interval ('9M' for the tenor sax); absent at concert pitch. */
  readonly transposeInterval?: string
  readonly clef: Clef
  /** General MIDI program, counted from 0; ignored for drums. */
  readonly midiProgram: number
  /** Whether its player breathes, and so needs rests. */
  readonly breathes: boolean
}

const voice = (id: string, name: string, low: number, high: number, clef: Clef = 'treble'): Instrument => ({
  id,
  name,
  family: 'voice',
  range: [low, high],
  transposeSemitones: clef === 'treble-8vb' ? 12 : 0,
  ...(clef === 'treble-8vb' ? { transposeInterval: '8P' } : {}),
  clef,
  midiProgram: 52,
  breathes: true,
})

export const INSTRUMENTS: readonly Instrument[] = [
  voice('voice-soprano', 'Soprano', 60, 79),
  voice('voice-alto', 'Alto', 55, 72),
  voice('voice-tenor', 'Tenor', 48, 67, 'treble-8vb'),
  voice('voice-baritone', 'Baritone', 45, 64, 'bass'),
  voice('voice-bass', 'Bass voice', 41, 60, 'bass'),
  {
    id: 'trumpet',
    name: 'Trumpet',
    family: 'brass',
    range: [55, 79],
    transposeSemitones: 2,
    transposeInterval: '2M',
    clef: 'treble',
    midiProgram: 56,
    breathes: true,
  },
  {
    id: 'flugelhorn',
    name: 'Flugelhorn',
    family: 'brass',
    range: [55, 77],
    transposeSemitones: 2,
    transposeInterval: '2M',
    clef: 'treble',
    midiProgram: 56,
    breathes: true,
  },
  {
    id: 'trombone',
    name: 'Trombone',
    family: 'brass',
    range: [40, 70],
    transposeSemitones: 0,
    clef: 'bass',
    midiProgram: 57,
    breathes: true,
  },
  {
    id: 'soprano-sax',
    name: 'Soprano sax',
    family: 'reed',
    range: [56, 84],
    transposeSemitones: 2,
    transposeInterval: '2M',
    clef: 'treble',
    midiProgram: 64,
    breathes: true,
  },
  {
    id: 'alto-sax',
    name: 'Alto sax',
    family: 'reed',
    range: [49, 80],
    transposeSemitones: 9,
    transposeInterval: '6M',
    clef: 'treble',
    midiProgram: 65,
    breathes: true,
  },
  {
    id: 'tenor-sax',
    name: 'Tenor sax',
    family: 'reed',
    range: [44, 75],
    transposeSemitones: 14,
    transposeInterval: '9M',
    clef: 'treble',
    midiProgram: 66,
    breathes: true,
  },
  {
    id: 'baritone-sax',
    name: 'Baritone sax',
    family: 'reed',
    range: [36, 65],
    transposeSemitones: 21,
    transposeInterval: '13M',
    clef: 'treble',
    midiProgram: 67,
    breathes: true,
  },
  {
    id: 'clarinet',
    name: 'Clarinet',
    family: 'reed',
    range: [50, 89],
    transposeSemitones: 2,
    transposeInterval: '2M',
    clef: 'treble',
    midiProgram: 71,
    breathes: true,
  },
  {
    id: 'flute',
    name: 'Flute',
    family: 'flute',
    range: [60, 93],
    transposeSemitones: 0,
    clef: 'treble',
    midiProgram: 73,
    breathes: true,
  },
  {
    id: 'guitar',
    name: 'Guitar',
    family: 'guitar',
    range: [40, 83],
    transposeSemitones: 12,
    transposeInterval: '8P',
    clef: 'treble-8vb',
    midiProgram: 26,
    breathes: false,
  },
  {
    id: 'double-bass',
    name: 'Double bass',
    family: 'bass',
    range: [28, 55],
    transposeSemitones: 12,
    transposeInterval: '8P',
    clef: 'bass',
    midiProgram: 32,
    breathes: false,
  },
  {
    id: 'electric-bass',
    name: 'Electric bass',
    family: 'bass',
    range: [28, 60],
    transposeSemitones: 12,
    transposeInterval: '8P',
    clef: 'bass',
    midiProgram: 33,
    breathes: false,
  },
  {
    id: 'piano',
    name: 'Piano',
    family: 'keys',
    range: [21, 108],
    transposeSemitones: 0,
    clef: 'grand',
    midiProgram: 0,
    breathes: false,
  },
  {
    id: 'vibraphone',
    name: 'Vibraphone',
    family: 'mallet',
    range: [53, 89],
    transposeSemitones: 0,
    clef: 'treble',
    midiProgram: 11,
    breathes: false,
  },
  {
    id: 'violin',
    name: 'Violin',
    family: 'string',
    range: [55, 100],
    transposeSemitones: 0,
    clef: 'treble',
    midiProgram: 40,
    breathes: false,
  },
  {
    id: 'drum-kit',
    name: 'Drums',
    family: 'drums',
    range: [27, 87],
    transposeSemitones: 0,
    clef: 'percussion',
    midiProgram: 0,
    breathes: false,
  },
]

const BY_ID: ReadonlyMap<string, Instrument> = new Map(INSTRUMENTS.map((instrument) => [instrument.id, instrument]))

export function findInstrument(id: string): Instrument | undefined {
  return BY_ID.get(id)
}

/** The instrument of a part that was checked before; unknown ids read as a piano, which plays everything. */
export function instrumentOf(part: { readonly instrument: string }): Instrument {
  return BY_ID.get(part.instrument) ?? must(BY_ID.get('piano'), 'the table holds a piano')
}
