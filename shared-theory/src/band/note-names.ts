/** How a note over a chord is called. */
import { spellOver } from '../chords/index.js'
import { mod, pitchAs } from '../units/index.js'
import type { ChordSpan } from './frame.js'

export function spelledNote(midi: number, span: ChordSpan): string {
  return pitchAs(midi, spellOver(mod(midi, 12), span.chord, span.key))
}
