/** The plain chords of a key that a tune without chords may take: diatonic triads, V7 and secondary dominants, by mode. */
import { chord } from '../chords/index.js'
import type { Chord, KeySignature, Mode } from '../contract/index.js'
import { mod, noteOfFifths, fifthsOfNote, pitchClass, tonicOf } from '../units/index.js'

export type PlainRole = 'tonic' | 'predominant' | 'dominant' | 'secondary'

export interface PlainChord {
  readonly chord: Chord
  readonly role: PlainRole
  readonly isHome: boolean
  readonly rootClass: number
  /** Pitch classes of the chord. */
  readonly own: ReadonlySet<number>
  /** What taking it costs, in hundredths of a beat of clash: how far it lies from I, IV and V. */
  readonly cost: number
  /** Root a secondary dominant leads to. */
  readonly leadsTo?: number
}

/** Fifths from the tonic to the root · suffix · role · cost · fifths from the tonic to the target. */
type Row = readonly [fifths: number, suffix: string, role: PlainRole, cost: number, target?: number]

/** Which chords and roles: common practice. Costs: from judgement, held against the chords of traditional tunes. */
const ROWS: { readonly [mode in Mode]: readonly Row[] } = {
  major: [
    [0, '', 'tonic', 0],
    [1, '7', 'dominant', 10],
    [-1, '', 'predominant', 15],
    [2, 'm', 'predominant', 50],
    [3, 'm', 'tonic', 55],
    [4, 'm', 'tonic', 110],
    [2, '7', 'secondary', 100, 1],
    [4, '7', 'secondary', 130, 3],
    [3, '7', 'secondary', 130, 2],
    [0, '7', 'secondary', 130, -1],
  ],
  minor: [
    [0, 'm', 'tonic', 0],
    [1, '7', 'dominant', 10],
    [-1, 'm', 'predominant', 15],
    [-4, '', 'predominant', 45],
    [-2, '', 'predominant', 45],
    [-3, '', 'tonic', 50],
    [1, 'm', 'dominant', 80],
    [2, 'm7b5', 'predominant', 90],
    [0, '7', 'secondary', 130, -1],
    [-2, '7', 'secondary', 110, -3],
  ],
  dorian: [
    [0, 'm', 'tonic', 0],
    [-2, '', 'dominant', 10],
    [-1, '', 'predominant', 25],
    [1, 'm', 'dominant', 50],
    [-3, '', 'tonic', 50],
    [2, 'm', 'predominant', 90],
  ],
  mixolydian: [
    [0, '', 'tonic', 0],
    [-2, '', 'dominant', 10],
    [-1, '', 'predominant', 20],
    [1, 'm', 'dominant', 60],
    [2, 'm', 'predominant', 60],
    [3, 'm', 'tonic', 70],
    [1, '7', 'dominant', 90],
  ],
  lydian: [
    [0, '', 'tonic', 0],
    [2, '', 'predominant', 15],
    [1, '', 'dominant', 20],
    [3, 'm', 'tonic', 55],
    [4, 'm', 'tonic', 80],
    [5, 'm', 'dominant', 80],
  ],
  phrygian: [
    [0, 'm', 'tonic', 0],
    [-5, '', 'dominant', 10],
    [-2, 'm', 'dominant', 30],
    [-1, 'm', 'predominant', 40],
    [-3, '', 'tonic', 50],
    [-4, '', 'predominant', 50],
  ],
  locrian: [
    [0, 'm7b5', 'tonic', 0],
    [-5, '', 'dominant', 20],
    [-3, 'm', 'tonic', 50],
    [-6, '', 'dominant', 50],
    [-4, '', 'predominant', 50],
    [-2, 'm', 'dominant', 50],
    [-1, 'm', 'predominant', 50],
  ],
}

/** The plain chords of a key, home first. */
export function plainChords(key: KeySignature): readonly PlainChord[] {
  const tonic = tonicOf(key.key)
  const at = (fifths: number): string => noteOfFifths(fifthsOfNote(tonic) + fifths)
  return ROWS[key.mode].map(([fifths, suffix, role, cost, target]) => {
    const built = chord(`${at(fifths)}${suffix}`)
    return {
      chord: built,
      role,
      isHome: fifths === 0 && role === 'tonic',
      rootClass: pitchClass(built.root),
      own: new Set(built.notes.map((note) => mod(pitchClass(note), 12))),
      cost,
      ...(target === undefined ? {} : { leadsTo: pitchClass(at(target)) }),
    }
  })
}
