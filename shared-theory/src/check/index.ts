/** The validator: one file a fault family, every finding with its bar and its mend. (Being built; signatures stand.) */
import type { Arrangement, FoldedScore, Issue, Plan } from '../contract/index.js'

const later = (): never => {
  throw new Error('not built yet')
}

export const validate: (
  arrangement: Arrangement,
  context?: { plan?: Plan; folded?: FoldedScore; written?: { [partId: string]: string } },
) => Issue[] = later
