/** A tune as it stands on paper, before repeats are played out: what every file reader hands on. */
import type { Chord, KeySignature, Metre, Tune } from '../contract/index.js'

export interface WrittenNote {
  readonly startTick: number
  readonly durationTicks: number
  readonly midi: number
  readonly name: string
  readonly tied?: true
  readonly tuplet?: { readonly actual: number; readonly normal: number }
  readonly lyric?: string
  readonly grace?: readonly string[]
}

export interface WrittenChord {
  readonly startTick: number
  readonly chord: Chord
  readonly inferred?: true
}

/** Where the playing goes on from a bar. Segno and coda stand at a bar's start; to-coda, fine and jumps act at its end. */
export interface RoadMarks {
  readonly repeatStart?: true
  /** Times the stretch is played in all. */
  readonly repeatEnd?: number
  /** Numbers of the ending this bar stands under. */
  readonly ending?: readonly number[]
  readonly segno?: true
  readonly coda?: true
  readonly toCoda?: true
  readonly fine?: true
  readonly jump?: 'start' | 'segno'
}

export interface WrittenBar {
  /** Undefined: free metre, the bar is as long as what stands in it. */
  readonly metre: Metre | undefined
  readonly key: KeySignature
  /** What the bar's contents add up to; may be more or less than the metre. */
  readonly lengthTicks: number
  readonly notes: readonly WrittenNote[]
  readonly chords: readonly WrittenChord[]
  readonly label?: string
  readonly marks: RoadMarks
  /** The place in the file, for issues: path and words. */
  readonly path: string
  readonly place: string
}

export interface WrittenTune {
  readonly format: 'abc' | 'musicxml' | 'midi'
  readonly title: string
  readonly composer?: string
  readonly rights: Tune['rights']
  readonly tempoBpm?: number
  readonly bars: readonly WrittenBar[]
  /** Absent: the key is written with its mode. Else the reading decides the mode, or the whole key. */
  readonly keyKnown?: 'signature' | 'nothing'
  /** Order of labels as printed at the head ('AABA'), where it replaces the marks. */
  readonly partOrder?: readonly string[]
}
