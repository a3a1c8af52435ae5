/** Files into tunes: one reader a format, one shape of answer and of error. */
export { readTune } from './read-tune.js'
