/** Which part of a line-up has the melody in a pass. */
import type { PartSpec, PassPlan } from '../contract/index.js'

/** Who has the melody: the pass's own choice, else the first lead, voice, horn, or whoever can play a line. */
export function leaderOf(lineup: readonly PartSpec[], plan?: PassPlan): string | undefined {
  if (plan?.melody !== undefined && lineup.some(({ id, role }) => id === plan.melody && role !== 'drums'))
    return plan.melody
  for (const role of ['lead', 'voice', 'horn', 'chords'] as const) {
    const part = lineup.find((candidate) => candidate.role === role)
    if (part) return part.id
  }
  return undefined
}
