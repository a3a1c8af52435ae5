/** Chord symbols and what they mean: the only folder that may use tonal. (Being built; signatures stand.) */
import type {
  Chord,
  KeyName,
  KeySignature,
  MusicXmlDegree,
  MusicXmlKind,
  NoteName,
  Result,
  Voicing,
  VoicingOptions,
} from '../contract/index.js'

const later = (): never => {
  throw new Error('not built yet')
}

export const parseChord: (text: string) => Result<Chord> = later
export const formatChord: (chord: Chord, style?: 'plain' | 'symbols') => string = later
export const transposeChord: (chord: Chord, interval: string) => Chord = later
export const chordFromKind: (source: {
  root: NoteName
  bass?: NoteName
  kind: MusicXmlKind
  degrees: readonly MusicXmlDegree[]
}) => Result<Chord> = later
export const rankKeys: (
  notes: readonly { midi: number; durationTicks: number; startTick?: number }[],
) => { key: KeyName; score: number; confidence: number }[] = later
export const minimalVoiceLeading: (
  from: readonly number[],
  to: readonly number[],
) => { size: number; moves: [from: number, to: number][] } = later
export const voiceProgression: (chords: readonly Chord[], options?: VoicingOptions) => Voicing[] = later

/** A chord from our own tables: throws where the text does not parse, since that is our mistake. */
export const chord: (text: string) => Chord = later
/** How a chord is read by the fit table: ∆/6/plain major, m7/plain minor, m6/m∆, any dominant seventh, sus, m7♭5, °/°7, + triad or +∆, power/other, N.C. */
export type ChordQuality =
  | 'major'
  | 'minor'
  | 'minor-sixth'
  | 'dominant'
  | 'sus'
  | 'half-diminished'
  | 'diminished'
  | 'augmented'
  | 'open'
  | 'none'
export const qualityOf: (chord: Chord) => ChordQuality = later
/** The sounding bass note's name: the slash bass, else the root; undefined for N.C. */
export const bassOf: (chord: Chord) => NoteName | undefined = later
/** Pitch classes that sound, bass included, ascending. */
export const pitchClassesOf: (chord: Chord) => readonly number[] = later
/** Same root, bass and sounding pitch classes, whatever the suffix's spelling. */
export const sameChord: (a: Chord, b: Chord) => boolean = later
/** The chord's own third (fourth of a sus), fifth (♭5, ♯5 where it has one), seventh (sixth of a 6 chord, °7 of a °7): what bass rows call 3, 5, 7. */
export const memberOf: (chord: Chord, member: 3 | 5 | 7) => NoteName | undefined = later
/** Seven (or eight) notes that walking lines and fills use over a chord in a key, from the root up. */
export const chordScale: (chord: Chord, key: KeySignature) => readonly NoteName[] = later
/** How a pitch class is spelled over a chord in a key: chord tones and named tensions by interval from the root, else by the key. */
export const spellOver: (pc: number, chord: Chord, key: KeySignature) => NoteName = later
/** Roman-numeral reading in a key: degree of the root as '♭II', 'V' …, and its function there. */
export const functionIn: (
  chord: Chord,
  key: KeySignature,
) => { readonly degree: string; readonly role: 'tonic' | 'predominant' | 'dominant' | 'other' } = later
