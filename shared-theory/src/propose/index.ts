/** Options for a decision: every recipe tried on this tune, compiled, checked, ranked, with reasons. */
export { defaultPlace } from './default-place.js'
export { findOption, optionAliases } from './find-option.js'
export { keysForRange } from './keys-for-range.js'
export { parsePlace } from './parse-place.js'
export { type Absent, explainAbsent, proposeOptions } from './propose-options.js'
