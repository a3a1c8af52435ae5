/** What a melody note is over a chord, and which chords a melody allows. (Being built; signatures stand.) */
import type { ArrangedBar, Chord, KeySignature, MelodyNote, NoteName, PlacedChord } from '../contract/index.js'

const later = (): never => {
  throw new Error('not built yet')
}

export type Fit = 'ok' | 'soft' | 'hard'
/** The table of worked examples, head; N.C. accepts anything. */
export const fitOf: (chord: Chord, note: NoteName) => Fit = later
export interface MelodyFinding {
  readonly fit: 'soft' | 'hard'
  readonly noteIndex: number
  readonly chordIndex: number
  /** Interval above the root as a musician says it: '♭9', 'major seventh'. */
  readonly degree: string
}
/** Every note of a bar against every chord it sounds over; a note shorter than a beat on a weak beat, reached and left by step, is never hard. `before`/`after` are the neighbouring notes' MIDI. */
export const judgeMelody: (
  bar: {
    readonly melody: readonly MelodyNote[]
    readonly chords: readonly PlacedChord[]
    readonly metre: ArrangedBar['metre']
  },
  around?: { readonly before?: number; readonly after?: number },
) => readonly MelodyFinding[] = later
/** The same chord, renamed to own the tensions its melody carries: A7 under F → A7b13. */
export const nameForMelody: (chord: Chord, notes: readonly NoteName[]) => Chord = later
/** A root and its melody: usable chords, best first, with the reason for each. */
export const qualitiesFor: (
  root: NoteName,
  notes: readonly MelodyNote[],
  context: { readonly key: KeySignature; readonly next?: NoteName },
) => readonly { readonly chord: Chord; readonly cost: number; readonly why: string }[] = later
