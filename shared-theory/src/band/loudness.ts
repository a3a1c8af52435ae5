/** How loud a stroke is. Source: from memory; MIDI velocity. */
import type { Level } from './levels.js'

const LEVEL_STEPS: { readonly [level in Level]: number } = { 1: -18, 2: -9, 3: 0, 4: 7, 5: 13 }
const ACCENT_STEP = 24
const GHOST_STEP = -30
const SOFTEST = 12
const LOUDEST = 120
/** A drum's ghost is felt rather than heard; a soft chord still has to be heard as harmony. */
const SOFT_CHORD_STEP = -14

/** Velocity of a grid sign (`X` accent, `o` ghost, anything else plain) under a groove's `dyn` at a level; 12…120. */
export function velocityOf(dyn: number, sign: string, level: Level): number {
  const step = sign === 'X' ? ACCENT_STEP : sign === 'o' ? GHOST_STEP : 0
  return Math.min(LOUDEST, Math.max(SOFTEST, dyn + step + LEVEL_STEPS[level]))
}

/** The same for chords and left hands: soft strokes stay audible, and where a groove's chords are long and die away (`chordStep`) they are
 *  struck firmer. */
export function chordVelocityOf(
  { dyn, chordStep = 0 }: { readonly dyn: number; readonly chordStep?: number },
  sign: string,
  level: Level,
): number {
  const step = sign === 'X' ? ACCENT_STEP : sign === 'o' ? SOFT_CHORD_STEP : 0
  return Math.min(LOUDEST, Math.max(SOFTEST, dyn + chordStep + step + LEVEL_STEPS[level]))
}

/** So much louder than the band's plain stroke is the melody. */
const MELODY_STEP = 10

/** A melody note, the accents of group starts aside. */
export function melodyVelocity({
  groove,
  level,
}: {
  readonly groove: { readonly dyn: number }
  readonly level: Level
}): number {
  return velocityOf(groove.dyn + MELODY_STEP, 'x', level)
}
