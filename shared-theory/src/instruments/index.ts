/** Who can play what: ranges, transpositions and ready line-ups, as data. */
export * from './instruments.js'
export { leaderOf } from './leader.js'
export * from './lineups.js'
