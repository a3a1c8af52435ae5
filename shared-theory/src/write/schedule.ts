/** The arrangement as one sorted list of notes in time. (Being built; signatures stand.) */
import type { Arrangement, PlayEvent } from '../contract/index.js'

export const scheduleEvents: (
  arrangement: Arrangement,
  options?: { fromTick?: number; tempoScale?: number; parts?: readonly string[] },
) => PlayEvent[] = () => {
  throw new Error('not built yet')
}
