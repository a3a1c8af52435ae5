/** Chords as data: what a symbol means, spelled, with its MusicXML reading; and voicings. */
import type { NoteName } from './words.js'

export type MusicXmlKind =
  | 'major'
  | 'minor'
  | 'augmented'
  | 'diminished'
  | 'dominant'
  | 'major-seventh'
  | 'minor-seventh'
  | 'diminished-seventh'
  | 'augmented-seventh'
  | 'half-diminished'
  | 'major-minor'
  | 'major-sixth'
  | 'minor-sixth'
  | 'dominant-ninth'
  | 'major-ninth'
  | 'minor-ninth'
  | 'dominant-11th'
  | 'major-11th'
  | 'minor-11th'
  | 'dominant-13th'
  | 'major-13th'
  | 'minor-13th'
  | 'suspended-second'
  | 'suspended-fourth'
  | 'Neapolitan'
  | 'Italian'
  | 'French'
  | 'German'
  | 'pedal'
  | 'power'
  | 'Tristan'
  | 'other'
  | 'none'
export interface MusicXmlDegree {
  readonly value: number
  readonly alter: number
  readonly type: 'add' | 'alter' | 'subtract'
}

export interface Chord {
  readonly root: NoteName // 'N.C.' chord: root '' , notes [], kind 'none'
  readonly bass?: NoteName // only where it differs from the root; NOT repeated in notes unless it is a chord tone
  readonly symbol: string // canonical plain text
  readonly notes: readonly NoteName[] // spelled from the root upward in order of intervals (1 3 5 7 9 11 13)
  readonly intervals: readonly string[] // '1P','3M','5P','7m','9m' … compound numbers for 9, 11, 13; same length as notes
  readonly omitted: readonly string[] // intervals taken out by (no3) etc. '3M'
  readonly kind: MusicXmlKind
  readonly degrees: readonly MusicXmlDegree[]
  readonly over?: Chord // polychord 'D over C7': the lower chord; root/notes are the upper one
}
/** 'N.C.' → kind 'none', root '', notes []. '%' → Result ok with kind 'other', symbol '%', root '', notes []. */

/** chordFromKind({ root, bass?, kind, degrees }): Result<Chord>, the way in from MusicXML. parseChord(formatChord(c)) keeps c.kind for every kind.
 *  rankKeys: notes may carry startTick (so that the last note can be told); the list ranks all 24 keys.
 *  minimalVoiceLeading: every note of both chords takes part at least once, doublings allowed, each pair the short way round the octave;
 *  size = sum of moves in semitones, the least possible. */
export interface VoicingOptions {
  readonly voices?: number // default 4
  readonly range?: readonly [lowMidi: number, highMidi: number] // default [48, 79]
  readonly rangePerVoice?: readonly (readonly [number, number])[] // low voice first; overrides range
  readonly style?: 'close' | 'drop2' | 'shell' | 'rootless' | 'spread' | 'quartal' | 'upper' | 'any' // default 'any'
  readonly first?: readonly number[] // midi of a voicing to start from
}
export interface Voicing {
  readonly midi: readonly number[] // ascending, one per voice, length = options.voices
  readonly notes: readonly NoteName[] // spelled, same order
  readonly movement: number // semitones moved by all voices from the voicing before (0 for the first)
}
