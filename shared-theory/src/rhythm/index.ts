/** Metre, grooves as data, swing, and exact re-barring. (Being built; signatures stand.) */
import type { ArrangedBar, Metre } from '../contract/index.js'

const later = (): never => {
  throw new Error('not built yet')
}

export type DrumRowName = string
export interface BassToken {
  readonly position: number
  readonly degree: '1' | '3' | '5' | '7' | '5_' | '8' | 'n1' | 'n5' | 'ap' | 'w' | 'x' | 'P' | 'P_'
  readonly length: number
}
/** One row of grid characters a bar; one bar repeats, else as many bars as the groove's span. */
export interface DrumRow {
  readonly row: DrumRowName
  readonly bars: readonly string[]
}
/** A groove as data: groove book sections 1 and 8; every field is the block's line of the same name. */
export interface Groove {
  readonly id: string
  readonly name: string
  readonly metre: Metre | 'any'
  readonly groups: readonly number[] | 'tune'
  readonly grid: number
  readonly span: number
  readonly tempo: { readonly low: number; readonly high: number; readonly default: number }
  readonly feel: string
  /** Swing ratio: 'table' by tempo, or long:short in hundredths (100 = even, 200 = 2:1). */
  readonly ratio: 'table' | number
  readonly dyn: number
  readonly drums: { readonly [pattern in 'main' | 'var1' | 'var2' | 'two' | 'fill' | 'end']?: readonly DrumRow[] }
  readonly bass: { readonly [row in 'one' | 'two' | 'ped' | 'two-feel' | 'walk']?: readonly (readonly BassToken[])[] }
  readonly comp: readonly (readonly string[])[]
  readonly voicing: { readonly kind: string; readonly lowMidi: number; readonly highMidi: number }
  readonly melody: {
    readonly anticipations: number
    readonly layBackMs: number | 'table'
    readonly articulation: string
    readonly held: 'plain' | 'swell' | 'fill'
  }
  readonly leftHand: string
  readonly guitar: string
  readonly level1: readonly string[]
  readonly stop: readonly ('button' | 'held' | 'fermata')[]
  readonly walkFromLevel?: number
}
export const GROOVES: readonly Groove[] = []
export const findGroove: (id: string) => Groove | undefined = later
/** What plays where nothing was chosen: by the tune's metre (and tempo); total, for any metre. */
export const defaultGroove: (metre: Metre, tempoBpm?: number) => Groove = later
/** Long:short of a swung pair in hundredths at a tempo: table S1, linear between its rows. */
export const swingRatioAt: (tempoBpm: number) => number = later
export const layBackMsAt: (tempoBpm: number) => number = later

/** A metre a tune can be taken to, and the maps that lead there (groove book section 10, compositions included). */
export interface RebarTarget {
  readonly metre: Metre
  readonly groups: readonly number[]
  readonly mapIds: readonly string[]
}
export const rebarTargets: (from: Metre) => readonly RebarTarget[] = later
/** How one new bar came about: which bars (indices of the input) went through which map. */
export interface RebarStep {
  readonly from: readonly number[]
  readonly mapId: string
}
export interface Rebarred {
  readonly bars: readonly ArrangedBar[]
  readonly steps: readonly RebarStep[]
}
/** Takes bars (parts still empty) to another metre by exact rational maps, never across a section or pass boundary; the DP chooses among `mapIds` (all that lead there when absent).
 *  Keeps sections, passes, provenance (joined bars: the first's tuneBar), melody sources, ties; equal neighbouring chords merge. Undefined where no map leads there. */
export const rebar: (
  bars: readonly ArrangedBar[],
  target: { readonly metre: Metre; readonly groups: readonly number[] },
  mapIds?: readonly string[],
) => Rebarred | undefined = later
/** The inverse: the identical bars. */
export const unbar: (rebarred: Rebarred, original: readonly ArrangedBar[]) => readonly ArrangedBar[] = later
/** Where a tick of an input bar lands: index into the new bars and tick inside it. */
export const mapTick: (
  rebarred: Rebarred,
  inputBars: readonly ArrangedBar[],
  barIndex: number,
  tick: number,
) => { readonly barIndex: number; readonly tick: number } = later
