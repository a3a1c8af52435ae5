/** How loud a stroke is. Source: from memory; MIDI velocity. */
import type { Level } from './levels.js'

const LEVEL_STEPS: { readonly [level in Level]: number } = { 1: -18, 2: -9, 3: 0, 4: 7, 5: 13 }
const ACCENT_STEP = 24
const GHOST_STEP = -30
const SOFTEST = 12
const LOUDEST = 120

/** Velocity of a grid sign (`X` accent, `o` ghost, anything else plain) under a groove's `dyn` at a level; 12…120. */
export function velocityOf(dyn: number, sign: string, level: Level): number {
  const step = sign === 'X' ? ACCENT_STEP : sign === 'o' ? GHOST_STEP : 0
  return Math.min(LOUDEST, Math.max(SOFTEST, dyn + step + LEVEL_STEPS[level]))
}
