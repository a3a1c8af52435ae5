/** What somebody may put right in a tune that was read, before it is brought to a board. */
export { mendTune, type TuneMend } from './mend-tune.js'
export { twinBars } from './twin-bars.js'
