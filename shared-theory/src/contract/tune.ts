/** The tune as it was brought in: bars in playing order, melody, chords and form. No decision ever changes it. */
import type { Chord } from './harmony.js'
import type { Issue } from './results.js'
import type { KeyName, KeySignature, Metre } from './words.js'

export interface MelodyNote {
  readonly startTick: number // within its bar, 0 ≤ startTick < bar length
  readonly durationTicks: number // > 0; startTick + durationTicks ≤ bar length (a longer note is split and tied)
  readonly midi: number
  readonly name: string // spelled pitch with octave, 'Bb4'
  readonly tiedToNext?: true // sounding continues into the next note of the same pitch
  readonly tuplet?: { readonly actual: number; readonly normal: number }
  readonly lyric?: string
  readonly grace?: readonly string[] // pitches; take no time
}
/** Rests are never stored: whatever no note covers is silence. */

export interface PlacedChord {
  readonly startTick: number // within its bar
  readonly durationTicks: number // until the next chord or the bar's end; chords tile the bar from the first chord on
  readonly chord: Chord
  readonly inferred?: true
}

export interface TuneBar {
  readonly barIndex: number // 0-based, order of playing (repeats unfolded)
  readonly metre: Metre
  readonly lengthTicks: number // = full metre length, except pickup and closing bar
  readonly key: KeySignature
  readonly melody: readonly MelodyNote[]
  readonly chords: readonly PlacedChord[] // a bar with none carries the last chord on
  readonly writtenBar: number // index of the bar in the source file (repeats: several tune bars share one)
}
export interface Section {
  readonly id: string // stable, 'A1' 'A2' 'B1' 'verse' 'coda'
  readonly letter: string // 'A', 'B', 'Verse', 'Coda'
  readonly role: 'chorus' | 'verse' | 'coda' | 'intro'
  readonly startBar: number // index into Tune.bars
  readonly bars: number
}
export interface Tune {
  readonly version: 1
  readonly title: string
  readonly composer?: string
  readonly rights: 'unknown' | 'own' | 'public-domain' | 'licensed'
  readonly key: KeySignature // of the start
  readonly metre: Metre // of the start
  readonly tempoBpm?: number // quarter notes a minute
  readonly pickupTicks: number // 0 where there is none; the pickup is bars[0] with that length when > 0
  readonly bars: readonly TuneBar[]
  readonly sections: readonly Section[] // tile bars (pickup excluded); at least one
  readonly source: { readonly format: 'abc' | 'musicxml' | 'midi' | 'typed'; readonly issues: readonly Issue[] }
}
export interface FormReading {
  readonly pattern: string // 'AABA'
  readonly confidence: number // 0…1
  readonly sections: readonly (Section & {
    readonly cadence: 'full' | 'half' | 'turnaround' | 'open'
    readonly sameAs?: { readonly sectionId: string; readonly differences: readonly string[] }
    readonly evidence: readonly string[]
  })[]
}
export interface KeyFit {
  readonly key: KeyName
  readonly semitones: number // from the tune's key, −6…+6
  readonly lowMidi: number
  readonly highMidi: number // of the whole arrangement's lead
  readonly fits: boolean
  readonly score: number // 0…1, sorted falling
  readonly reason: string
}
