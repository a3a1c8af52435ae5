/** What a groove is: one block of the groove book as typed data. */
import type { Metre } from '../contract/index.js'

export type DrumRowName = string
export type DrumPattern = 'main' | 'var1' | 'var2' | 'two' | 'fill' | 'end'
export type BassPattern = 'one' | 'two' | 'ped' | 'two-feel' | 'walk'
export type BassDegree = '1' | '3' | '5' | '7' | '5_' | '8' | 'n1' | 'n5' | 'ap' | 'w' | 'x' | 'P' | 'P_'

export interface BassToken {
  readonly position: number
  readonly degree: BassDegree
  readonly length: number
}
/** One row of grid characters a bar; one bar repeats, else as many bars as the groove's span. */
export interface DrumRow {
  readonly row: DrumRowName
  readonly bars: readonly string[]
}
/** What a guitarist does where nobody drums: which strokes, and how the hand breaks the chord. */
export interface DuoGuitar {
  /** Two bars of strokes in comping signs; absent: the guitar's own row. An arpeggio begins anew at every `x`. */
  readonly rows?: readonly [string, string]
  /** Together; string by string upwards, or up and down, ringing; short damped soft strokes; ringing to the next; one voice moving on
   *  the second stroke; root with fifth and sixth in turn on the low strings; one voice after another in octaves. */
  readonly way: 'strum' | 'up' | 'up-down' | 'damped' | 'ring' | 'inner' | 'low-strings' | 'octaves'
  /** At most so many strings at once. */
  readonly strings?: number
  /** The thumb's bass notes: root on the first of a bar, fifth on the others. */
  readonly thumb?: string
  /** Above this tempo the groove's cells instead. */
  readonly cellsAbove?: number
}
/** A groove as data; positions and lengths are grid steps, tempi quarters a minute. */
export interface Groove {
  readonly id: string
  readonly name: string
  readonly metre: Metre | 'any'
  readonly groups: readonly number[] | 'tune'
  /** Steps a bar. */
  readonly grid: number
  /** Bars in the drum patterns that have more than one. */
  readonly span: number
  readonly tempo: { readonly low: number; readonly high: number; readonly default: number }
  /** The same tempi in the beat people count, where that is not the quarter. */
  readonly beat?: {
    readonly unit: 'dotted-quarter'
    readonly low: number
    readonly high: number
    readonly default: number
  }
  /** The beat people count, where the metre does not tell: cut time. */
  readonly counted?: 'half'
  /** Feel word of the bars. */
  readonly feel: string
  /** Swing ratio: 'table' by tempo, or long:short in hundredths (100 = even, 200 = 2:1). */
  readonly ratio: 'table' | number
  /** MIDI velocity of a plain stroke at level 3. */
  readonly dyn: number
  /** So much firmer than that are chords, where they are long and die away. */
  readonly chordStep?: number
  readonly drums: { readonly [pattern in DrumPattern]?: readonly DrumRow[] }
  /** Tokens bar by bar. */
  readonly bass: { readonly [row in BassPattern]?: readonly (readonly BassToken[])[] }
  /** Comping cells, two bars each. */
  readonly comp: readonly (readonly string[])[]
  /** Two bars of a background riff, in comping signs. */
  readonly riff: readonly string[]
  readonly voicing: { readonly kind: string; readonly lowMidi: number; readonly highMidi: number }
  readonly melody: {
    /** At most so many anticipations in two bars. */
    readonly anticipations: number
    readonly layBackMs: number | 'table'
    readonly articulation: string
    /** Held notes: no swell, swell, or swell and the band answers. */
    readonly held: 'plain' | 'swell' | 'fill'
  }
  readonly leftHand: string
  readonly guitar: string
  readonly duoGuitar: DuoGuitar
  /** Drum rows that remain at level 1. */
  readonly level1: readonly string[]
  /** Rows that come in at some levels, some in the place of others. */
  readonly thickened?: readonly {
    readonly levels: readonly [from: number, to: number]
    readonly rows: readonly DrumRow[]
    readonly instead?: readonly string[]
  }[]
  /** How the last hit stops; the first is the default. */
  readonly stop: readonly ('button' | 'held' | 'fermata')[]
  /** From which level the `walk` row replaces `one`. */
  readonly walkFromLevel?: number
  /** Words for people: what guitar and bass alone do. */
  readonly duo: string
  /** Words for people: what comes in as the energy grows. */
  readonly thicken: string
}
