/** The five decisions, the options that answer them and the places they act at. */
import type { HandEdit } from './plan.js'

export type DecisionKind = 'groove' | 'opening' | 'harmony' | 'lift' | 'ending'
export interface SectionRef {
  // a place in the running order
  readonly passId: string // PassPlan.id
  readonly sectionId?: string // Section.id; absent = whole pass
  readonly fromBar?: number
  readonly bars?: number // stretch inside the section in TUNE bars (also where bars are joined), 0-based; absent = all of it
}
export interface RuleStep {
  readonly rule: string
  readonly text: string
} // 'HA1', 'same 3rd and 7th: Db7 for G7'
export interface Option {
  readonly id: string // deterministic: hash or slug of kind + recipe + params, unique per proposal
  readonly kind: DecisionKind
  readonly recipe: string // 'tritone-substitution'
  readonly title: string // 'Dominant pedal, 8 bars'
  readonly params: { readonly [name: string]: string | number | boolean | readonly (string | number)[] }
  readonly summary: string // one sentence a musician accepts: why it works here
  readonly reason: readonly RuleStep[] // the rule chain behind it, at least one
  readonly effects?: {
    // what it costs and does
    readonly addedBars: number
    readonly addedSeconds: number
    readonly energy: number // −1 calms … +1 lifts
    readonly distance: number // 0 as written … 1 unrecognisable
    readonly difficulty: number // 0 … 1 for the players
    readonly outOfRange?: readonly string[] // PartSpec ids that would need a remedy
  }
  readonly score: number // 0…1, falling in the list
  readonly at?: SectionRef // where it acts: for 'harmony' and 'lift'
  readonly handEdits?: readonly HandEdit[]
}
/** lift: params.semitones (−6…6) and params.preparation. groove: params.groove (catalogue id, 'bossa'), params.metre '4/4'.
 *  groove also params.tempoBpm. opening/ending/vamp: params.bars. harmony: Option.at names the stretch. */

/** proposeOptions(tune, kind, plan, at?: SectionRef): without `at`, harmony answers for the first chorus' last 8-bar section,
 *  lift for its default place (last B, or last third). Proposals never depend on a choice of the same kind already in plan. */
