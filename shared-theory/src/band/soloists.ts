/** Who improvises in a bar: what a player must be able to read, and nothing that sounds. */
import type { PartSpec } from '../contract/index.js'
import type { BarFrame } from './frame.js'

/** Part ids of those who may improvise: the soloist named, else every line player who can take a chorus; in a trade of the drums the drummer.
 *  A singer improvises only where asked by name. */
export function soloistsOf(frame: BarFrame, lineup: readonly PartSpec[]): readonly string[] {
  if (!frame.isSolo) return []
  if (frame.isDrumsAlone) return lineup.filter(({ role }) => role === 'drums').map(({ id }) => id)
  const named = lineup.find(({ id }) => id === frame.plan?.soloist)
  if (named) return [named.id]
  const isBusy = frame.plan?.backgrounds === true
  return lineup.filter(({ role }) => role === 'lead' || (role === 'horn' && !isBusy)).map(({ id }) => id)
}
