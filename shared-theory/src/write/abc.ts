/** The arrangement as a abc file. (Being built; signatures stand.) */
import type { Arrangement } from '../contract/index.js'

export const writeAbc: (arrangement: Arrangement, options?: { part?: string }) => string = () => {
  throw new Error('not built yet')
}
