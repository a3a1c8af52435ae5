/** Chord symbols and what they mean, keys found from notes, and voicings: the only folder that may use tonal. */

export { type ChordQuality, bassOf, memberOf, pitchClassesOf, qualityOf, sameChord } from './ask-chord.js'
export { chordFromKind, formatChord, transposeChord } from './build-chord.js'
export { type ChordRole, chordScale, functionIn, spellOver } from './chord-in-key.js'
export { chord, parseChord } from './parse-chord.js'
export { plainOver } from './plain-name.js'
export { type KeyRank, endsInRun, rankKeys } from './rank-keys.js'
export { minimalVoiceLeading } from './minimal-voice-leading.js'
export { movementBetween, voiceProgression, voicingsOf } from './voice-progression.js'
export { LOW_INTERVAL_LIMITS } from './voicing-candidates.js'
export { type UpperStructure, upperStructures } from './upper-structures.js'
export { GUITAR_STRINGS, type GuitarOptions, type GuitarShape, guitarShapes } from './guitar-shapes.js'
