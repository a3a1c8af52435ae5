/** Who plays what: bass, drums, chords, horns and the lead, from the bars and the groove. */
export { type Level, levelOfEnergy, levelsOf } from './levels.js'
export { type BandContext, type PartBars, bandOf, realiseBand } from './realise-band.js'
