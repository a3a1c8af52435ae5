/** Chords of the tune laid so that they fill every bar: where none is written, the last one carries on. */
import { chord } from '../chords/index.js'
import { filled } from '../decisions/index.js'
import type { PlacedChord, TuneBar } from '../contract/index.js'

/** One list a bar, first chord at 0, durations summing to `lengthTicks`; before the first written chord N.C. */
export function tiledChords(bars: readonly TuneBar[]): readonly (readonly PlacedChord[])[] {
  let carried: PlacedChord = { startTick: 0, durationTicks: 1, chord: chord('N.C.') }
  return bars.map((bar) => {
    const inside = bar.chords.filter((placed) => placed.startTick >= 0 && placed.startTick < bar.lengthTicks)
    const starts = inside[0]?.startTick === 0 ? inside : [{ ...carried, startTick: 0 }, ...inside]
    carried = starts[starts.length - 1] as PlacedChord
    return filled(starts, bar.lengthTicks)
  })
}
