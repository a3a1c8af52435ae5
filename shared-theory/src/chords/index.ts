/** Chord symbols and what they mean, keys found from notes, and voicings: the only folder that may use tonal. */
import type { Chord, KeyName, Voicing, VoicingOptions } from '../contract/index.js'

export { type ChordQuality, bassOf, memberOf, pitchClassesOf, qualityOf, sameChord } from './ask-chord.js'
export { chordFromKind, formatChord, transposeChord } from './build-chord.js'
export { type ChordRole, chordScale, functionIn, spellOver } from './chord-in-key.js'
export { chord, parseChord } from './parse-chord.js'

const later = (): never => {
  throw new Error('not built yet')
}
export const rankKeys: (
  notes: readonly { midi: number; durationTicks: number; startTick?: number }[],
) => { key: KeyName; score: number; confidence: number }[] = later
export const minimalVoiceLeading: (
  from: readonly number[],
  to: readonly number[],
) => { size: number; moves: [from: number, to: number][] } = later
export const voiceProgression: (chords: readonly Chord[], options?: VoicingOptions) => Voicing[] = later
