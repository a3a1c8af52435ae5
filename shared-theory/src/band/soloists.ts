/** Who improvises in a bar: what a player must be able to read, and nothing that sounds. */
import type { PartSpec } from '../contract/index.js'
import { type BarFrame, sings } from './frame.js'

/** Part ids of those who may improvise: the soloist named, else every line player who can take a chorus; in a trade of the drums the drummer.
 *  A singer improvises only where asked by name. */
export function soloistsOf(frame: BarFrame, lineup: readonly PartSpec[]): readonly string[] {
  if (isVamp(frame)) return vampSoloist(frame, lineup)
  if (!frame.isSolo) return []
  if (frame.isDrumsAlone) return lineup.filter(({ role }) => role === 'drums').map(({ id }) => id)
  const named = lineup.find(({ id }) => id === frame.plan?.soloist)
  if (named) return [named.id]
  const isBusy = frame.plan?.backgrounds === true
  return lineup.filter(({ role }) => role === 'lead' || (role === 'horn' && !isBusy)).map(({ id }) => id)
}

/** The rule of a vamp that goes round at the end. */
const VAMP = 'EN5'

/** Nobody has the tune while a vamp goes round: it is there for a last solo. */
const isVamp = ({ bar }: BarFrame): boolean => bar.provenance.rule === VAMP && bar.melody.length === 0

/** Whoever leads, unless they sing; then the first line player, else who plays chords. The others have backgrounds. */
function vampSoloist({ leaderId }: BarFrame, lineup: readonly PartSpec[]): readonly string[] {
  const players = lineup.filter((part) => !sings(part))
  const found =
    players.find(({ id }) => id === leaderId) ??
    players.find(({ role }) => role === 'lead' || role === 'horn') ??
    players.find(({ role }) => role === 'chords')
  return found ? [found.id] : []
}
