/** What a comparison of two arrangements says: what holds for the whole once, and bar by bar only what is particular to a bar. */
import type { ArrangedBar, DecisionKind, PartSpec, PassPlan, SectionRef } from '../contract/index.js'

/** What one bar has that its counterpart has not. Pitches and chords are compared after the change of key, which is told once. */
export type Difference =
  /** Chords that gave way to others; only those, where the others kept their places. */
  | { readonly kind: 'chords'; readonly before: readonly string[]; readonly after: readonly string[] }
  /** The same chords at other beats; ticks within the bar. */
  | { readonly kind: 'chord-time'; readonly symbol: string; readonly before: number; readonly after: number }
  /** All of it higher or lower, in semitones. */
  | { readonly kind: 'melody-moved'; readonly semitones: number }
  | { readonly kind: 'melody-rhythm' }
  /** One or two notes changed: pitch names with octave. */
  | { readonly kind: 'melody-note'; readonly before: string; readonly after: string; readonly tick: number }
  | { readonly kind: 'melody-other' | 'melody-added' | 'melody-gone' }
  | { readonly kind: 'mark'; readonly before?: string; readonly after?: string }
  | { readonly kind: 'fermata-added' | 'fermata-gone' | 'slows-added' | 'slows-gone' }
  /** So many bars became so many, where neither metre nor groove is the reason. */
  | { readonly kind: 'bars'; readonly before: number; readonly after: number }

/** One place of the music that is not as it was; indices into the bars of either side, in playing order. */
export interface BarChange {
  readonly kind: 'changed' | 'added' | 'gone' | 'replaced'
  readonly before: readonly number[]
  readonly after: readonly number[]
  readonly differences: readonly Difference[]
  /** How often more the same happens in repetitions of this pass. */
  readonly again: number
}

/** A stretch of counterparts that differ in the same way; indices into the bars after, `to` exclusive. */
export interface Stretch {
  readonly from: number
  readonly to: number
  readonly isAll: boolean
}

export type WholeChange =
  | { readonly kind: 'length'; readonly before: Length; readonly after: Length }
  | {
      readonly kind: 'choice'
      readonly decision: DecisionKind
      readonly at?: SectionRef
      readonly before?: string
      readonly after?: string
      /** The same option, edited by hand. */
      readonly isEdited: boolean
    }
  | { readonly kind: 'tune'; readonly before: string; readonly after: string }
  | { readonly kind: 'part-added' | 'part-gone'; readonly part: PartSpec }
  | { readonly kind: 'part-changed'; readonly before: PartSpec; readonly after: PartSpec }
  /** Voicings set by hand for a part: so many places where they are not as they were. */
  | { readonly kind: 'voicings'; readonly partId: string; readonly places: number }
  | { readonly kind: 'lead'; readonly before: PartSpec; readonly after: PartSpec }
  | { readonly kind: 'pass-added' | 'pass-gone'; readonly pass: PassPlan; readonly bars: number }
  | { readonly kind: 'pass-order'; readonly after: readonly string[] }
  | { readonly kind: 'pass-changed'; readonly before: PassPlan; readonly after: PassPlan }
  | ({ readonly kind: 'key'; readonly before: string; readonly after: string; readonly semitones: number } & Stretch)
  | ({ readonly kind: 'metre' | 'feel'; readonly before: string; readonly after: string } & Stretch)
  | ({ readonly kind: 'tempo'; readonly before: number; readonly after: number } & Stretch)

export interface Length {
  readonly bars: number
  readonly seconds: number
}

export interface Comparison {
  readonly whole: readonly WholeChange[]
  readonly changes: readonly BarChange[]
  /** Bars of the side after; `gone` of the side before. */
  readonly counts: {
    readonly changed: number
    readonly added: number
    readonly gone: number
    readonly alike: number
  }
  readonly before: readonly ArrangedBar[]
  readonly after: readonly ArrangedBar[]
}
