/** Plan to arrangement: harmony, lift, groove, opening, ending, hand edits, band, in that order. (Being built; signatures stand.) */
import type { ArrangedBar, Arrangement, Issue, Plan, Tune } from '../contract/index.js'

const later = (): never => {
  throw new Error('not built yet')
}

export const defaultPlan: (tune: Tune) => Plan = later
export const compile: (plan: Plan) => { arrangement: Arrangement; issues: Issue[] } = later
/** Form, chords and melody only (parts empty): what an edit needs at once. */
export const compileForm: (plan: Plan) => { bars: readonly ArrangedBar[]; groove: string; issues: readonly Issue[] } =
  later
/** Names a compiled plan alike everywhere. */
export const planHash: (plan: Plan) => string = later
