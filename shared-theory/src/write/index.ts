/** What goes out: the schedule and the files. */
export * from './abc.js'
export * from './midi.js'
export * from './musicxml.js'
export { writtenInterval, writtenKey } from './musicxml/written-pitch.js'
export * from './schedule.js'
