/** Options for a decision: every recipe tried on this tune, compiled, checked, ranked, with reasons. (Being built; signatures stand.) */
import type { DecisionKind, KeyFit, Option, Plan, SectionRef, Tune } from '../contract/index.js'

const later = (): never => {
  throw new Error('not built yet')
}

export const proposeOptions: (tune: Tune, kind: DecisionKind, plan: Plan, at?: SectionRef) => Option[] = later
/** Why recipes of a kind are absent here, in a sentence each. */
export const explainAbsent: (
  tune: Tune,
  kind: DecisionKind,
  plan: Plan,
  at?: SectionRef,
) => readonly { readonly recipe: string; readonly why: string }[] = later
/** Where a decision acts when nobody said: harmony the first chorus' last 8-bar section, lift the last B or last third. */
export const defaultPlace: (tune: Tune, kind: DecisionKind, plan: Plan) => SectionRef | undefined = later
export const keysForRange: (tune: Tune, plan: Plan, range: readonly [lowMidi: number, highMidi: number]) => KeyFit[] =
  later
