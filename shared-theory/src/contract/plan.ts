/** A plan: the tune, its running order, what has been chosen, who plays, and the hand edits applied last. */
import type { DecisionKind, Option, SectionRef } from './decisions.js'
import type { MelodyNote, Tune } from './tune.js'
import type { KeyName, Metre } from './words.js'

export interface PassPlan {
  readonly id: string // 'chorus-1', 'solo-1', 'chorus-last'
  readonly kind: 'chorus' | 'solo' | 'verse'
  readonly sections: readonly string[] // Section ids of the tune, in playing order
  readonly times?: number // default 1, at most 32 (solo choruses)
  readonly open?: true // 'on cue': times is only what the preview plays
  readonly soloist?: string // PartSpec.id; solos and trading
  readonly trading?: number // bars each, with the drums
  readonly backgrounds?: boolean
  readonly melody?: string // PartSpec.id that leads; default the first
  readonly energy?: number // 0…1
}
/** Opening and ending are made by their decisions, never listed here. */
/** `at` here wins over option.at; of several for the same slot the last wins; overlapping stretches of one kind are an issue.
 *  Every kind has an option 'as written' / 'none', so that leaving a place alone can be locked too. */
export interface Chosen {
  readonly kind: DecisionKind
  readonly at?: SectionRef
  readonly option: Option
}
export interface PartSpec {
  readonly id: string // 'trumpet', 'piano', 'tenor-sax-2' — file name of the part
  readonly instrument: string // id in the instrument table: 'trumpet' 'alto-sax' 'double-bass' 'drum-kit' 'voice-alto'
  readonly name: string // printed
  readonly role: 'lead' | 'horn' | 'chords' | 'bass' | 'drums' | 'voice'
}
/** A bar named by where it stands in the music, so that an edit survives a longer opening or another groove. Grooves that join or double
 *  bars count a section's bars otherwise than the tune does: `ofSection` and `part` say which of the tune's bars is meant. Without them the
 *  metre of the edit has to tell. */
export interface BarRef {
  readonly pass: string /* as ArrangedBar.pass */
  readonly sectionId: string
  readonly bar: number /* 0-based within that section of that pass */
  readonly ofSection?: number /* 0-based: which bar of the tune's section it holds, of joined ones the first */
  readonly part?: number /* 0-based: which of the bars that bar of the tune has become, where a groove doubles it */
}
/** Applied last, in order. `metre` is the metre the edit was made under: when the groove re-bars, the edit goes through the same map;
 *  where it no longer makes sense it is set aside with an issue that names it, never dropped in silence. `key` is the key the bar was seen
 *  in: where the bar is in another key now, a lift or the band's key having moved it, the edit moves with it; without it the edit stays as
 *  it is written. `over` is the chord a voicing was made for: over another chord the voicing is set aside. */
export type HandEdit =
  | {
      readonly kind: 'chord'
      readonly at: BarRef
      readonly metre: Metre
      readonly key?: KeyName
      readonly startTick: number
      readonly symbol: string
    }
  | {
      readonly kind: 'melody'
      readonly at: BarRef
      readonly metre: Metre
      readonly key?: KeyName
      readonly notes: readonly MelodyNote[]
    }
  | {
      readonly kind: 'voicing'
      readonly at: BarRef
      readonly metre: Metre
      readonly key?: KeyName
      readonly over?: string
      readonly startTick: number
      readonly partId: string
      readonly midi: readonly number[]
    }
  /** A section's bars are counted as the tune counts them, also where the groove joins or doubles them. */
  | { readonly kind: 'bars'; readonly at: SectionRef | 'opening' | 'ending'; readonly bars: number }
export interface Plan {
  readonly tune: Tune
  readonly roadmap: readonly PassPlan[]
  readonly chosen: readonly Chosen[]
  readonly lineup: readonly PartSpec[]
  readonly edits: readonly HandEdit[]
  readonly key?: KeyName // sounding key asked for; default the tune's
  readonly seed?: number // default 1
}
