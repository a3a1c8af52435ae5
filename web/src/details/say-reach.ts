/** In words: how the tune leaves what a player plays with ease, and what to do about it. */
import { findInstrument, type KeySignature, type PartSpec, pitchInKey } from '@chartloft/shared-theory'
import { withSigns } from '../look/chord-symbol.js'
import { words } from '../words.js'
import { outOfReach } from './reach.js'

type Named = Pick<PartSpec, 'instrument' | 'name' | 'role'>

/** Undefined where there is nothing to say. */
export function sayReach(
  tune: readonly [lowMidi: number, highMidi: number] | undefined,
  key: KeySignature | undefined,
  player: Named,
  others: readonly Named[],
): string | undefined {
  const found = tune && outOfReach(tune, player, others)
  if (!found || !key) return undefined
  const note = (midi: number) => withSigns(pitchInKey(midi, key))
  const { above, below, key: hasKey, octave, other } = found
  return words.details.outOfReach({
    player: player.name.trim() || (findInstrument(player.instrument)?.name ?? player.instrument),
    ...(above > 0 ? { high: { note: note(tune[1]), by: above } } : {}),
    ...(below > 0 ? { low: { note: note(tune[0]), by: below } } : {}),
    ...(hasKey ? { hasKey } : {}),
    ...(octave ? { octave } : {}),
    ...(other ? { other } : {}),
  })
}
