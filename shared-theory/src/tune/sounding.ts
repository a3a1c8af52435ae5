/** What sounds in a tune bar: chords carried on where a bar has none of its own, and the bars of the form without the pickup. */
import type { PlacedChord, Tune, TuneBar } from '../contract/index.js'

/** Index of the first bar after the pickup. */
export function firstFormBar(tune: Tune): number {
  return tune.pickupTicks > 0 ? 1 : 0
}

/** Chords of every bar as they sound: the last chord goes on until the next is written. Same indices as `tune.bars`. */
export function soundingChords(tune: Tune): readonly (readonly PlacedChord[])[] {
  let last: PlacedChord | undefined
  return tune.bars.map((bar) => {
    const carried = carriedPart(bar, last)
    const chords = carried ? [carried, ...bar.chords] : bar.chords
    last = bar.chords.at(-1) ?? last
    return chords
  })
}

function carriedPart(bar: TuneBar, last: PlacedChord | undefined): PlacedChord | undefined {
  const until = bar.chords[0]?.startTick ?? bar.lengthTicks
  if (!last || until === 0) return undefined
  return {
    startTick: 0,
    durationTicks: until,
    chord: last.chord,
    ...(last.inferred ? { inferred: true as const } : {}),
  }
}
