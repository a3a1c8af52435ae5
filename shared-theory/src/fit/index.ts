/** What a melody note is over a chord, and which chords a melody allows: the optimiser behind every new chord. */
export { beatTicks, halfTick, isStrongTick } from './beats.js'
export { type LineNote, lineNotes, notesBetween } from './line-notes.js'
export {
  canCarry,
  type FittedLine,
  type FittedSlot,
  fitLine,
  type LineRequest,
  type LineSlot,
  type SlotRoot,
} from './line.js'
export {
  type JudgedBar,
  judgeMelody,
  type MelodyFinding,
  type Neighbours,
  neighboursOf,
  passingNotes,
} from './melody.js'
export { dominantSuffix, nameForMelody } from './name.js'
export { lacksChords, proposeChords } from './propose-chords.js'
export { keyPitchClasses, rootInKey, show } from './qualities.js'
export { qualitiesFor } from './qualities-for.js'
export { clashName, degreeName, type Fit, fitDegree, fitOf } from './table.js'
