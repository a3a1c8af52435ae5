/** The small words every shape is made of: note names, keys, metres. Times are integer ticks, 5040 to the quarter; MIDI has middle C = 60. */
/** Integer ticks to a quarter note: divisible by 2…10, so that every map and tuplet comes out whole. */
export const TICKS_PER_QUARTER = 5040

export type NoteName = string // 'Bb', 'F##' — A–G plus '', 'b', 'bb', '#', '##' (ASCII)
export type KeyName = string // 'Bb major' | 'G minor' — exactly tonic + space + 'major' | 'minor'
export type Mode = 'major' | 'minor' | 'dorian' | 'phrygian' | 'lydian' | 'mixolydian' | 'locrian'

export interface Metre {
  readonly beats: number
  readonly beatType: 2 | 4 | 8 | 16
} // 7/4 → {beats:7, beatType:4}
/** bar length in ticks = beats * 4 * 5040 / beatType. groups are in units of beatType and sum to beats. */

export interface KeySignature {
  readonly key: KeyName // major/minor reading of the key: D dorian → 'D minor'
  readonly mode: Mode // 'dorian'
  readonly fifths: number // what is printed: −7…7
}
