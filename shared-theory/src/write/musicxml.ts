/** The arrangement as a musicxml file. (Being built; signatures stand.) */
import type { Arrangement } from '../contract/index.js'

export const writeMusicXml: (
  arrangement: Arrangement,
  options?: { part?: string; pitch?: 'written' | 'concert'; folded?: boolean },
) => string = () => {
  throw new Error('not built yet')
}
