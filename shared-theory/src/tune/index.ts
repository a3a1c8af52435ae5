/** The tune's own facts: form, key, range, and its hash. */
export { arrangementShape } from './arrangement-shape.js'
export { type CadenceReading, cadenceOf } from './cadence.js'
export { Door, type Mend } from './door.js'
export { findForm } from './find-form.js'
export { melodyRange } from './melody-range.js'
export { type KeyReading, readKey } from './read-key.js'
export { type FormLabel, namedSections, sectionsOf, tilesTune } from './sections.js'
export {
  type Fields,
  isChord,
  isFields,
  isKeySignature,
  isListOf,
  isMelodyNote,
  isMetre,
  isPitchedNote,
  isPlacedChord,
  isTick,
  isTimedNote,
} from './shapes.js'
export { firstFormBar, soundingChords } from './sounding.js'
export { readableTune, tuneShape } from './tune-shape.js'
export { tuneHash } from './tune-hash.js'
