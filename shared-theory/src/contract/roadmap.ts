/** The folded score: written bars with repeats and jumps, and what differs at each playing. */
import type { ArrangedBar } from './arrangement.js'
import type { PartSpec } from './plan.js'

export interface FoldedScore {
  readonly version: 1
  readonly title: string
  readonly lineup: readonly PartSpec[]
  readonly groove: string
  readonly bars: readonly FoldedBar[] // written bars, folded.bars.length ≤ arrangement.bars.length
}
export interface FoldedBar {
  readonly bar: ArrangedBar // as on its first playing
  /** Bars fold only where the printed content is equal for every part; `differs` holds what is not printed: notes printed as slashes,
   *  pass, sectionId, velocities, provenance, tempo inside a written ritardando. */
  readonly playings: readonly { readonly barIndex: number; readonly differs?: Partial<ArrangedBar> }[]
  readonly repeatStart?: true
  readonly repeatEnd?: number // times played in all
  readonly ending?: readonly number[] // 1st/2nd ending numbers this bar stands under
  readonly segno?: true
  readonly coda?: true
  readonly toCoda?: true
  readonly jump?: 'D.S. al Coda' | 'D.C. al Coda' | 'D.S.' | 'D.C.'
}
