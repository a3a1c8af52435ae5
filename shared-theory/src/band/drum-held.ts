/** What a drummer does under a long note of the melody, and where time comes to rest: the stick leaves room, the hat opens.
 *  Source: common practice; which groove does what is the groove book's. */
import { TICKS_PER_QUARTER } from '../contract/index.js'
import type { ArrangedNote } from '../contract/index.js'
import type { BarFrame } from './frame.js'
import { isThinning } from './drum-fills.js'

const EIGHTH = TICKS_PER_QUARTER / 2
/** A note the band answers: three beats. */
const HELD = 3 * TICKS_PER_QUARTER
const TIME_ROWS: ReadonlySet<string> = new Set(['ride', 'hat', 'bell', 'shaker', 'btap'])
const BACKBEATS: ReadonlySet<string> = new Set(['backbeat', 'backbeat-half'])

/** The melody note that is held at a tick, from half a beat after its attack. */
export function heldOver(frame: BarFrame, tick: number): ArrangedNote | undefined {
  if (frame.isSolo) return undefined
  return frame.bar.melody.find(
    ({ startTick, durationTicks }) =>
      durationTicks >= HELD && tick >= startTick + EIGHTH && tick < startTick + durationTicks,
  )
}

/** Where a melody note is held three beats and more the ballad's brush only sweeps, and the bossa's bass drum keeps to its two beats; in the
 *  last bar of a ritardando cymbal and hat play the beats alone. */
export function isThinned(frame: BarFrame, frames: readonly BarFrame[], row: string, tick: number): boolean {
  const beat = frame.patternTicks / frame.bar.metre.beats
  if (isThinning(frame, frames) && TIME_ROWS.has(row) && frame.bar.metre.beatType === 4) return tick % beat !== 0
  const { id } = frame.groove
  if (id !== 'ballad-swing' && id !== 'bossa') return false
  if (!heldOver(frame, tick)) return false
  return id === 'bossa' ? row === 'kick' && tick % (2 * beat) !== 0 : row === 'btap'
}

/** From level 2 the closed hat opens: in swing where it carries the time, on one and three, the foot closing it on two and four; in a backbeat on the last
 *  eighth of the bar. */
export function opensHat(frame: BarFrame, row: string, tick: number): boolean {
  if (row !== 'hat' || frame.level === 1 || !heldOver(frame, tick)) return false
  const { id, feel } = frame.groove
  if (BACKBEATS.has(id)) return tick === frame.patternTicks - EIGHTH
  return feel === 'swing' && tick % (2 * TICKS_PER_QUARTER) < TICKS_PER_QUARTER
}

/** Where the ride carries the swing the foot splashes the hat on beat three of a held bar. */
export function splashTick(frame: BarFrame): number | undefined {
  const { groove, level, bar } = frame
  const tick = 2 * TICKS_PER_QUARTER
  if (groove.id !== 'swing-medium' || level < 3 || level > 4 || bar.lengthTicks < frame.patternTicks) return undefined
  return heldOver(frame, tick) && heldOver(frame, tick + TICKS_PER_QUARTER - 1) ? tick : undefined
}
