/** Linear bars to a folded score and back. (Being built; signatures stand.) */
import type { Arrangement, FoldedScore } from '../contract/index.js'

const later = (): never => {
  throw new Error('not built yet')
}

export const fold: (arrangement: Arrangement) => FoldedScore = later
export const unfold: (folded: FoldedScore) => Arrangement = later
