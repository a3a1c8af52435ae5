/** Who plays what: bass, drums, chords, horns and the lead, from the bars and the groove. (Being built; signatures stand.) */
import type { ArrangedBar, HandEdit, PartSpec, PassPlan } from '../contract/index.js'
import type { Groove } from '../rhythm/index.js'

const later = (): never => {
  throw new Error('not built yet')
}

export interface BandContext {
  readonly lineup: readonly PartSpec[]
  readonly roadmap: readonly PassPlan[]
  readonly groove: Groove
  readonly seed: number
  /** Voicing edits, already placed: bar index → edits. */
  readonly voicings?: ReadonlyMap<number, readonly Extract<HandEdit, { kind: 'voicing' }>[]>
  /** How the last bar stops. */
  readonly stop?: 'button' | 'held' | 'fermata'
}
/** Fills `parts` of every bar (a key for every part of the line-up, in line-up order). Total and deterministic; bars whose feel is 'rubato' use the rubato groove. */
export const realiseBand: (bars: readonly ArrangedBar[], context: BandContext) => readonly ArrangedBar[] = later
