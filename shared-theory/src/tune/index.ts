/** The tune's own facts: form, range, where it rests. (Being built; signatures stand.) */
import type { FormReading, Tune } from '../contract/index.js'

const later = (): never => {
  throw new Error('not built yet')
}

export const findForm: (tune: Tune) => FormReading = later
/** Lowest and highest melody MIDI over given bars (all when absent), and the bars (0-based) where the highest sounds. Undefined where there is no melody. */
export const melodyRange: (
  tune: Tune,
  fromBar?: number,
  bars?: number,
) => { readonly lowMidi: number; readonly highMidi: number; readonly highBars: readonly number[] } | undefined = later
/** Stable hash of the musical content. */
export const tuneHash: (tune: Tune) => string = later
