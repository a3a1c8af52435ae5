/** Swing: how long the first of two written eighths sounds, and how far the melody lays back.
 *  Source: ends and slope of the ride ratio after Friberg & Sundström 2002 (about 3.5:1 slow to 1:1 fast, the short note hardly
 *  below 100 ms); the rows between from memory, checked against that floor. */
import { TICKS_PER_QUARTER } from '../contract/index.js'
import { must } from '../units/index.js'
import type { Groove } from './groove.js'

/** Quarters a minute, ride ratio long:short in hundredths, lay-back in milliseconds. */
export const SWING_TABLE: readonly (readonly [tempoBpm: number, ratioHundredths: number, layBackMs: number])[] = [
  [60, 330, 80],
  [80, 310, 60],
  [100, 280, 50],
  [120, 260, 40],
  [140, 240, 32],
  [160, 220, 25],
  [180, 200, 20],
  [200, 180, 15],
  [220, 160, 11],
  [240, 140, 8],
  [260, 125, 5],
  [280, 110, 3],
  [300, 100, 0],
]

const HALF_BEAT = TICKS_PER_QUARTER / 2

/** Long:short of a swung pair in hundredths at a tempo, linear between the table's rows, flat beyond its ends. */
export function swingRatioAt(tempoBpm: number): number {
  return Math.round(between(tempoBpm, 1))
}

/** How many milliseconds on-beat melody notes sound late at a tempo. */
export function layBackMsAt(tempoBpm: number): number {
  return Math.round(between(tempoBpm, 2))
}

/** The groove's own ratio in hundredths: fixed, or by the table at this tempo. */
export function grooveRatioAt(groove: Groove, tempoBpm: number): number {
  return groove.ratio === 'table' ? swingRatioAt(tempoBpm) : groove.ratio
}

export function grooveLayBackMsAt(groove: Groove, tempoBpm: number): number {
  return groove.melody.layBackMs === 'table' ? layBackMsAt(tempoBpm) : groove.melody.layBackMs
}

/** Where a written tick of a quarter (0…5040) sounds under a ratio: straight to the off-beat's place, straight from there on. */
export function swungTick(tickInBeat: number, ratioHundredths: number): number {
  const offBeat = Math.round((TICKS_PER_QUARTER * ratioHundredths) / (ratioHundredths + 100))
  if (tickInBeat <= HALF_BEAT) return Math.round((tickInBeat * offBeat) / HALF_BEAT)
  return offBeat + Math.round(((tickInBeat - HALF_BEAT) * (TICKS_PER_QUARTER - offBeat)) / HALF_BEAT)
}

function between(tempoBpm: number, column: 1 | 2): number {
  const first = must(SWING_TABLE[0], 'the swing table has rows')
  if (!(tempoBpm > first[0])) return first[column]
  for (let row = 1; row < SWING_TABLE.length; row++) {
    const low = must(SWING_TABLE[row - 1], 'a row before')
    const high = must(SWING_TABLE[row], 'a row')
    if (tempoBpm > high[0]) continue
    return low[column] + ((high[column] - low[column]) * (tempoBpm - low[0])) / (high[0] - low[0])
  }
  return must(SWING_TABLE.at(-1), 'the swing table ends')[column]
}
