/** How low and how high the melody goes, and where it is highest. */
import type { Tune } from '../contract/index.js'

/** Lowest and highest melody MIDI over given bars (all when absent), and the bars (0-based) where the highest sounds. Undefined where there is no melody. */
export function melodyRange(
  tune: Tune,
  fromBar = 0,
  bars = tune.bars.length - fromBar,
): { readonly lowMidi: number; readonly highMidi: number; readonly highBars: readonly number[] } | undefined {
  let lowMidi = Number.POSITIVE_INFINITY
  let highMidi = Number.NEGATIVE_INFINITY
  let highBars: number[] = []
  for (const bar of tune.bars.slice(fromBar, fromBar + bars))
    for (const note of bar.melody) {
      lowMidi = Math.min(lowMidi, note.midi)
      if (note.midi > highMidi) {
        highMidi = note.midi
        highBars = []
      }
      if (note.midi === highMidi && highBars.at(-1) !== bar.barIndex) highBars.push(bar.barIndex)
    }
  return highBars.length > 0 ? { lowMidi, highMidi, highBars } : undefined
}
