/** How a rubato phrase breathes: factors on the tempo at the start and end of its bars, linear in ticks between. Source: from memory. */
import { mod } from '../units/index.js'

/** Hundredths of the tempo, start and end of each bar. */
const FOUR_BARS: readonly (readonly [number, number])[] = [
  [94, 102],
  [102, 105],
  [105, 97],
  [97, 80],
]
const TWO_BARS: readonly (readonly [number, number])[] = [
  [95, 103],
  [103, 82],
]
const FIRST_HALF_ENDS = 90

/** Tempo at start and end of bar `barInPhrase` (from 0) of a phrase; phrases of 2 bars, of 8 (two curves, the first ends higher),
 *  else of 4 repeated. Quarters a minute, rounded to a thousandth. */
export function rubatoTempo(
  tempoBpm: number,
  barInPhrase: number,
  phraseBars: number,
): { readonly tempoBpm: number; readonly tempoEndBpm: number } {
  const curve = phraseBars === 2 ? TWO_BARS : FOUR_BARS
  const [start, end] = curve[mod(barInPhrase, curve.length)] as readonly [number, number]
  const isInnerEnd = phraseBars >= 8 && barInPhrase === 3
  const at = (hundredths: number) => Math.round(tempoBpm * hundredths * 10) / 1000
  return { tempoBpm: at(start), tempoEndBpm: at(isInnerEnd ? FIRST_HALF_ENDS : end) }
}
