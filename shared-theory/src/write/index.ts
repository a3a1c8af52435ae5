/** What goes out: the schedule and the files. */
export * from './abc.js'
export * from './midi.js'
export * from './musicxml.js'
export * from './schedule.js'
