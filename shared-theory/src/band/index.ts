/** Who plays what: bass, drums, chords, horns and the lead, from the bars and the groove. */
export { leaderOf } from './frame.js'
export { type Level, levelOfEnergy, levelsOf } from './levels.js'
export { type BandContext, realiseBand } from './realise-band.js'
