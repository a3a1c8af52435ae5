/** A pickup that has moved with the lift, over a bar that has not: where it would clash the band stops under it. */
import type { ArrangedBar } from '../../contract/index.js'
import { chord as parsed } from '../../chords/index.js'
import { judgeMelody, type Neighbours } from '../../fit/index.js'
import { filled } from '../bars.js'

/** The bar with its moved pickup, N.C. from the pickup's first note on where one of the moved notes is hard over what stands there. Source: the break before a new key, common practice. */
export function brokenUnder(bar: ArrangedBar, before: ArrangedBar, around: Neighbours): ArrangedBar {
  const moved = bar.melody.map((note, index) => note.midi !== before.melody[index]?.midi)
  if (!moved.includes(true)) return bar
  const isHard = judgeMelody(bar, around).some(({ fit, noteIndex }) => fit === 'hard' && moved[noteIndex])
  if (!isHard) return bar
  const start = bar.melody[moved.indexOf(true)]?.startTick ?? 0
  const held = bar.chords.filter(({ startTick }) => startTick < start)
  const stop = { startTick: start, durationTicks: 0, chord: parsed('N.C.') }
  return { ...bar, chords: filled([...held, stop], bar.lengthTicks) }
}
