/** The one shape of every recipe: it offers options on a tune, and applies a chosen one to the bars.
 *  A recipe is a row of data and at most one function of each kind; nothing here knows compile or ranking. */
import type {
  ArrangedBar,
  Chosen,
  DecisionKind,
  Issue,
  Option,
  Plan,
  RuleStep,
  SectionRef,
  Tune,
  Wish,
} from '../contract/index.js'

/** What a recipe looks at when it offers: the bars as they stand after the stages before its own (parts still empty). */
export interface OfferContext {
  readonly tune: Tune
  /** The plan without any choice of this kind. */
  readonly plan: Plan
  readonly bars: readonly ArrangedBar[]
  /** The place asked about, resolved; present for harmony and lift. */
  readonly at?: SectionRef
  /** What was asked for beyond the best; `{}` where nothing was. */
  readonly wish: Wish
}

/** An option before it has been compiled, checked and ranked. */
export interface Offer {
  readonly recipe: string
  readonly title: string
  readonly params: Option['params']
  readonly summary: string
  readonly reason: readonly RuleStep[]
  readonly at?: SectionRef
  /** What it is a variant of, where that is wider than its recipe: the first options shown are of different families. */
  readonly family?: string
  /** 0…1: how well it suits this tune, by the recipe's own light. */
  readonly suits: number
  /** −1 calms … +1 lifts. */
  readonly energy: number
  /** 0 as written … 1 unrecognisable. */
  readonly distance: number
  /** 0…1 for the players. */
  readonly difficulty: number
}

/** What a recipe says: its offers, or in one sentence why there is none here. */
export type Offers = { readonly offers: readonly Offer[] } | { readonly absent: string }

export interface ApplyContext {
  readonly tune: Tune
  readonly plan: Plan
}

export interface Applied {
  readonly bars: readonly ArrangedBar[]
  readonly issues: readonly Issue[]
}

export interface Recipe {
  readonly id: string
  readonly kind: DecisionKind
  readonly offer: (context: OfferContext) => Offers
  /** Total: params may come from anywhere; what cannot be done leaves the bars as they are and says so in an issue. `at` is chosen.at ?? option.at. */
  readonly apply: (bars: readonly ArrangedBar[], chosen: Chosen, context: ApplyContext) => Applied
}
