/** What each MusicXML 4.0 `kind` sounds like, and the words our text uses where no ordinary symbol exists. */
import type { MusicXmlKind } from '../contract/index.js'
import { T, type ToneSet } from './chord-tones.js'

const majorTriad = T.root | T.third | T.fifth
const minorTriad = T.root | T.minorThird | T.fifth
const dominantSeventh = majorTriad | T.seventh
const majorSeventh = majorTriad | T.majorSeventh
const minorSeventh = minorTriad | T.seventh

/**
 * Source: W3C MusicXML 4.0, data type kind-value. One departure, common practice: where a natural eleventh would stand a minor ninth
 * above a major third, one of the two is left out — the eleventh of a 13, the third of an 11. Functional sixths carry their own tones
 * from the root named (♭6 of the key): Italian 1 3 ♯6, French 1 3 ♯4 ♯6, German 1 3 5 ♯6; Neapolitan is a major triad; `pedal` and
 * `other` begin with the root alone.
 */
export const KIND_TONES: { readonly [kind in MusicXmlKind]: ToneSet } = {
  major: majorTriad,
  minor: minorTriad,
  augmented: T.root | T.third | T.sharpFifth,
  diminished: T.root | T.minorThird | T.flatFifth,
  dominant: dominantSeventh,
  'major-seventh': majorSeventh,
  'minor-seventh': minorSeventh,
  'diminished-seventh': T.root | T.minorThird | T.flatFifth | T.diminishedSeventh,
  'augmented-seventh': T.root | T.third | T.sharpFifth | T.seventh,
  'half-diminished': T.root | T.minorThird | T.flatFifth | T.seventh,
  'major-minor': minorTriad | T.majorSeventh,
  'major-sixth': majorTriad | T.sixth,
  'minor-sixth': minorTriad | T.sixth,
  'dominant-ninth': dominantSeventh | T.ninth,
  'major-ninth': majorSeventh | T.ninth,
  'minor-ninth': minorSeventh | T.ninth,
  'dominant-11th': (dominantSeventh & ~T.third) | T.ninth | T.eleventh,
  'major-11th': (majorSeventh & ~T.third) | T.ninth | T.eleventh,
  'minor-11th': minorSeventh | T.ninth | T.eleventh,
  'dominant-13th': dominantSeventh | T.ninth | T.thirteenth,
  'major-13th': majorSeventh | T.ninth | T.thirteenth,
  'minor-13th': minorSeventh | T.ninth | T.eleventh | T.thirteenth,
  'suspended-second': T.root | T.second | T.fifth,
  'suspended-fourth': T.root | T.fourth | T.fifth,
  Neapolitan: majorTriad,
  Italian: T.root | T.third | T.augmentedSixth,
  French: T.root | T.third | T.augmentedFourth | T.augmentedSixth,
  German: majorTriad | T.augmentedSixth,
  pedal: T.root,
  power: T.root | T.fifth,
  Tristan: T.root | T.augmentedFourth | T.augmentedSixth | T.sharpNinth,
  other: T.root,
  none: 0,
}

/** Kinds that no set of tones tells: the text names them in brackets, 'Ab(Italian)'. */
export type NamedKind = 'Neapolitan' | 'Italian' | 'French' | 'German' | 'pedal' | 'Tristan' | 'other'
export const NAMED_KINDS: readonly NamedKind[] = [
  'Neapolitan',
  'Italian',
  'French',
  'German',
  'pedal',
  'Tristan',
  'other',
]

export function asNamedKind(kind: MusicXmlKind): NamedKind | undefined {
  return NAMED_KINDS.find((named) => named === kind)
}
