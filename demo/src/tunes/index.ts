/** The demo tunes, all written for this project; each file holds one as ABC 2.1. */
export { FERRY_BELL } from './ferry-bell.js'
export { LANTERN_SLIP } from './lantern-slip.js'
export { LOW_WATER_LETTER } from './low-water-letter.js'
export { PAINTED_DORIES } from './painted-dories.js'
export { SLACK_TIDE } from './slack-tide.js'
