/** The tune's own facts: form, key, range, and its hash. */
export { type CadenceReading, cadenceOf } from './cadence.js'
export { findForm } from './find-form.js'
export { melodyRange } from './melody-range.js'
export { type KeyReading, readKey } from './read-key.js'
export { type FormLabel, sectionsOf, tilesTune } from './sections.js'
export { soundingChords } from './sounding.js'
export { tuneHash } from './tune-hash.js'
