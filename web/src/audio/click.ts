/** Clicks: how a schedule carries them, and what is counted before the music. */

/** The part that clicks the beat, and how loud the beats that begin no bar are: those that do are louder. */
export const CLICK = ' click'
export const CLICK_VELOCITY = 84

export interface CountIn {
  /** From the first click to the first note. */
  readonly lengthMs: number
  readonly beatMs: number
  /** The first of so many is the louder one. */
  readonly beatsABar: number
}
