/** How well a lift suits: its distance, its preparation, and what the melody has to bear. Source of the figures: judgement. */
import type { PreparationKind } from './kinds.js'
import type { Lifted } from './sentences.js'

const STEP_SUITS: { readonly [semitones: number]: number } = {
  2: 0.9,
  1: 0.88,
  3: 0.8,
  4: 0.7,
  [-2]: 0.62,
  [-1]: 0.6,
  5: 0.55,
  [-3]: 0.54,
  [-5]: 0.5,
  6: 0.48,
  [-4]: 0.46,
  [-6]: 0.42,
}
const KIND_SUITS: { readonly [kind in PreparationKind]: number } = {
  'sus-dominant': 1,
  dominant: 0.92,
  'two-five': 0.9,
  tritone: 0.82,
  pivot: 0.8,
  'common-tone': 0.78,
  'chromatic-line': 0.75,
  direct: 0.72,
}
/** The preparation each distance is known for: a plain V7 a half step up, a held note between keys a third apart, a pivot chord a
 *  whole step down, the old tonic as ♭II a half step down. Source: common practice. */
const KNOWN_FOR: { readonly [semitones: number]: PreparationKind } = {
  2: 'sus-dominant',
  1: 'dominant',
  3: 'common-tone',
  4: 'two-five',
  [-2]: 'pivot',
  [-1]: 'tritone',
  [-3]: 'common-tone',
  5: 'dominant',
}
const KNOWN_SUITS = 1.01

export function suitsOf({ kind, semitones, aim, prepared, octave }: Lifted): number {
  const kindSuits = KNOWN_FOR[semitones] === kind && aim === 'arrival' ? KNOWN_SUITS : KIND_SUITS[kind]
  const cost =
    (prepared?.soft ? 0.2 : 0) +
    (prepared?.isSqueezed ? 0.02 : 0) +
    (aim === 'key' ? 0.1 : 0) +
    // The lift as it is comes first, with what it does to the range; its remedy after it.
    (octave ? 0.14 : 0)
  return Math.max(0, Math.min(1, Math.round(((STEP_SUITS[semitones] ?? 0.4) * kindSuits - cost) * 1000) / 1000))
}
