/** The plainer name a chart prints where a lift has carried the melody's own spelling beyond what anybody reads. */
import type { Chord, NoteName } from '../contract/index.js'
import { simplifyNoteName } from '../units/index.js'

/** D for E𝄫; E for F♭ (B for C♭) over a chord that has an E: 'E9', which nobody writes as F♭9. Any other name stays. */
export function plainOver(name: NoteName, chord: Chord | undefined): NoteName {
  if (/^[A-G]bb/.test(name)) return simplifyNoteName(name)
  if (name !== 'Cb' && name !== 'Fb') return name
  const plain = simplifyNoteName(name)
  return chord?.notes.includes(plain) ? plain : name
}
