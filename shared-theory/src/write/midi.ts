/** The arrangement as a midi file. (Being built; signatures stand.) */
import type { Arrangement } from '../contract/index.js'

export const writeMidi: (
  arrangement: Arrangement,
  options?: { parts?: readonly string[]; feel?: 'played' | 'notated' },
) => Uint8Array = () => {
  throw new Error('not built yet')
}
