/** The arrangement: bars in playing order, each knowing which decision made it what it is. */
import type { DecisionKind } from './decisions.js'
import type { PartSpec } from './plan.js'
import type { MelodyNote, PlacedChord } from './tune.js'
import type { KeySignature, Metre } from './words.js'

export interface ArrangedNote extends MelodyNote {
  readonly source?: { readonly bar: number; readonly index: number } // Tune.bars index and melody index; only on tune melody
}
/** Folding and round trips compare printed content: comping, walking lines and time-keeping print as slashes. */
export interface PartNote {
  readonly startTick: number
  readonly durationTicks: number
  readonly midi: number // sounding; on 'drums' parts the General MIDI key
  readonly name: string // 'Eb4'; drums: 'ride' 'snare' …
  readonly velocity: number // 1…127
  readonly voice?: number // 1-based, default 1
  readonly printed?: 'slash' | 'cue' // absent: printed as it stands
  readonly articulation?: 'staccato' | 'tenuto' | 'accent' | 'marcato' | 'fall'
  readonly slur?: 'start' | 'stop'
  readonly tiedToNext?: true
  readonly tuplet?: { readonly actual: number; readonly normal: number }
}
export interface Provenance {
  readonly decision: DecisionKind | 'tune' // the last decision that changed this bar; 'tune' = as written
  readonly optionId?: string // required where decision ≠ 'tune'
  readonly rule: string // rule id
  readonly tuneBar?: number // index into Tune.bars (joined bars: the first); absent only on bars that come from no tune bar
  readonly trail?: readonly { readonly decision: DecisionKind; readonly optionId: string; readonly rule: string }[]
}
export interface ArrangedBar {
  readonly barIndex: number
  readonly sectionId: string // Section.id | 'opening' | 'ending' | 'lift'
  readonly pass: string // PassPlan.id (with '#2' for repetitions) | 'opening' | 'ending'
  readonly metre: Metre
  readonly groups: readonly number[] // [4, 3], units of metre.beatType
  readonly lengthTicks: number // full metre length, except a pickup bar (barIndex 0) and its closing bar
  readonly key: KeySignature
  readonly tempoBpm: number // quarters a minute at the bar's start
  readonly tempoEndBpm?: number // ritardando inside the bar, linear in ticks
  readonly feel: string // 'swing' | 'even' | 'bossa' … ; printed name comes from the groove
  readonly chords: readonly PlacedChord[] // tile the bar: first at 0, sum of durations = lengthTicks
  readonly melody: readonly ArrangedNote[] // concert pitch; empty in solos and vamps
  readonly parts: { readonly [partId: string]: readonly PartNote[] } // every part of the lineup has a key; the lead's part repeats the melody
  readonly dynamic?: 'pp' | 'p' | 'mp' | 'mf' | 'f' | 'ff' // where it changes
  readonly fermataTick?: number
  readonly soloists?: readonly string[] // PartSpec.ids of those who may improvise here: they read slashes under the changes
  readonly mark?: string // 'To Coda', 'on cue', free text above the staff
  readonly provenance: Provenance
}
/** Pickup: its sectionId is that of the section it leads into. At barIndex 0 it is a short bar; after an opening, or before a later pass,
 *  it takes the end of the full bar before. Limits: 2,000 bars, 24 parts, 5,000 edits; beyond them `compile` answers with an issue. */
export interface Arrangement {
  readonly version: 1
  readonly title: string
  readonly lineup: readonly PartSpec[]
  readonly groove: string
  readonly bars: readonly ArrangedBar[]
}
