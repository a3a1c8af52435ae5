/** Beats of a metre as the ear weighs them: how long one is, and which are strong. */
import type { Metre } from '../contract/index.js'
import { barTicks, defaultGroups, groupStarts, unitTicks } from '../units/index.js'

const isCompound = ({ beats, beatType }: Metre): boolean => beatType >= 8 && beats % 3 === 0 && beats > 3

/** Ticks of one beat: the lower figure's note, three of them in 6/8, 9/8 and 12/8. */
export function beatTicks(metre: Metre): number {
  return unitTicks(metre) * (isCompound(metre) ? 3 : 1)
}

/** Whether a beat that starts here is strong: the first, the middle of four, and every start of a group in mixed metres. */
export function isStrongTick(tick: number, metre: Metre): boolean {
  if (tick === 0) return true
  const beats = barTicks(metre) / beatTicks(metre)
  if (beats === 4) return tick === 2 * beatTicks(metre)
  if (isCompound(metre)) return false
  const groups = defaultGroups(metre)
  return groupStarts(metre, groups).some(
    (start, index) => tick === start || (groups[index] === 4 && tick === start + 2 * unitTicks(metre)),
  )
}

/** Where a bar divides in two: beat 3 of four and of three, the second group elsewhere. */
export function halfTick(metre: Metre): number {
  const whole = barTicks(metre)
  const beat = beatTicks(metre)
  const beats = whole / beat
  if (beats === 3) return 2 * beat
  if (beats % 2 === 0) return whole / 2
  return groupStarts(metre, defaultGroups(metre))[1] ?? beat * Math.ceil(beats / 2)
}
