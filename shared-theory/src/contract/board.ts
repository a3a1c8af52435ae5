/** The ledger's rows and the state they fold to: the whole truth of what is final. */
import type { ArrangedBar } from './arrangement.js'
import type { DecisionKind, Option, SectionRef } from './decisions.js'
import type { HandEdit, PartSpec, PassPlan } from './plan.js'
import type { Tune } from './tune.js'
import type { KeyName } from './words.js'

export interface Slot {
  readonly decision: DecisionKind
  readonly at?: SectionRef
}
export interface LedgerEntry {
  readonly seq: number // dense from 1
  readonly at: number // epoch ms of the server
  readonly by: { readonly userId: string; readonly name: string; readonly role: 'leader' | 'member' | 'server' }
  readonly command: { readonly commandId: string; readonly kind: string; readonly [field: string]: unknown } // 3b-B, normalised
}
/** The fold of the ledger; keys in this order, so that JSON.stringify is comparable. */
export interface BoardState {
  readonly seq: number
  readonly title: string
  readonly rights: Tune['rights']
  readonly tune?: Tune
  readonly key?: KeyName
  readonly lineup: readonly PartSpec[]
  readonly roadmap: readonly PassPlan[]
  readonly edits: readonly HandEdit[]
  readonly places: readonly Slot[] // decisions opened at a place (harmony, lift) and not locked
  readonly locks: readonly {
    readonly slot: Slot
    readonly option: Option
    readonly bars: readonly ArrangedBar[]
    readonly tuneHash: string
    readonly why?: string
    readonly seq: number
  }[]
  readonly polls: readonly {
    readonly pollId: string
    readonly question: string
    readonly open: boolean
    readonly slot?: Slot
  }[]
  readonly links: readonly {
    readonly linkId: string
    readonly role: 'leader' | 'member' | 'listener'
    readonly label?: string
    readonly personal?: true
    readonly revoked?: true
  }[]
  readonly versions: readonly { readonly name: string; readonly seq: number }[]
  readonly printed: readonly { readonly version: number; readonly seq: number; readonly at: number }[]
}
