/** Files into tunes, one reader a format, one shape of error. (Being built; signatures stand.) */
import type { Result, Tune } from '../contract/index.js'

const later = (): never => {
  throw new Error('not built yet')
}

export const readTune: (
  format: 'abc' | 'musicxml' | 'midi',
  data: string | Uint8Array,
  options?: { tuneNumber?: number },
) => Result<Tune> = later
