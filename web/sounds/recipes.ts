/** Which recorded sounds there are, where each comes from in the bank, and how loud it stands in the band. Balance: common practice, then by measurement. */
import type { Kit } from '../src/audio/zone-table.js'
import type { PresetName } from './bank.js'

export interface PitchedRecipe {
  readonly name: string
  readonly preset: PresetName
  /** Keys it must cover; zones outside are left out. */
  readonly keys: readonly [low: number, high: number]
  /** Loudness of its held notes at velocity 80, in LUFS, over the middle of its keys. */
  readonly loudness: number
  readonly vibratoCents?: number
  /** Several voices at once. */
  readonly isEnsemble?: boolean
  /** Darker by so many cents of low-pass corner. */
  readonly darkerCents?: number
  /** Struck or plucked, and to ring longer than the bank lets it: brought up so many decibels over so many seconds, and the bank's own fall
   *  (besides the recording's) at half its rate. */
  readonly ring?: { readonly db: number; readonly seconds: number }
}

const sound = (
  name: string,
  program: number,
  keys: readonly [number, number],
  loudness: number,
  more: Partial<PitchedRecipe> = {},
): PitchedRecipe => ({ name, preset: { program }, keys, loudness, ...more })

/** Programs: General MIDI System Level 1 sound set (MIDI Manufacturers Association), counted from 0. */
export const PITCHED: readonly PitchedRecipe[] = [
  sound('piano', 0, [21, 108], -25, { ring: { db: 6, seconds: 1.5 } }),
  sound('vibraphone', 11, [53, 89], -22),
  sound('nylon-guitar', 24, [40, 84], -24, { ring: { db: 5, seconds: 1 } }),
  sound('jazz-guitar', 26, [40, 84], -24, { ring: { db: 6, seconds: 0.8 } }),
  sound('double-bass', 32, [28, 60], -21, { ring: { db: 6, seconds: 0.5 } }),
  sound('electric-bass', 33, [28, 62], -21),
  // Neither grows darker where it is softer: at the velocities a band plays at they would stand out.
  sound('violin', 40, [55, 100], -18),
  sound('voice-aah', 52, [41, 79], -19, { isEnsemble: true }),
  sound('voice-ooh', 53, [41, 79], -20),
  sound('trumpet', 56, [54, 82], -16.5, { vibratoCents: 9 }),
  // The bank has no flugelhorn: a trumpet played dark comes nearest.
  sound('flugelhorn', 56, [54, 80], -16.5, { vibratoCents: 8, darkerCents: 900 }),
  sound('trombone', 57, [38, 72], -16.5, { vibratoCents: 8 }),
  sound('soprano-sax', 64, [56, 84], -16.5, { vibratoCents: 10 }),
  sound('alto-sax', 65, [48, 80], -16.5, { vibratoCents: 10 }),
  sound('tenor-sax', 66, [43, 75], -16.5, { vibratoCents: 10 }),
  sound('baritone-sax', 67, [36, 66], -16.5, { vibratoCents: 8 }),
  sound('clarinet', 71, [50, 89], -16.5),
  sound('flute', 73, [60, 93], -16.5, { vibratoCents: 8 }),
]

export interface KitRecipe {
  readonly kit: Kit
  readonly preset: PresetName
}

/** Kits share every stroke they have in common. */
export const KITS: readonly KitRecipe[] = [
  { kit: 'sticks', preset: { program: 0, isDrums: true } },
  { kit: 'jazz', preset: { program: 32, isDrums: true } },
  { kit: 'brushes', preset: { program: 40, isDrums: true } },
]

/** The kit as a whole against the band, found from parts rendered alone. */
export const KIT_GAIN_DB = 3

export interface Stroke {
  /** Key the grooves play: General MIDI percussion map, brushes as in the GM2 brush kit. */
  readonly key: number
  /** Key of the bank, where another one sounds more like what is meant. */
  readonly from?: number
  /** Its loudest 400 ms at velocity 80, in LUFS. */
  readonly loudness: number
  /** Where it stands, −1 left to 1 right, as the drummer's audience sees it. */
  readonly pan?: number
  /** Only in this kit, where it is another stroke there, or another hand. */
  readonly kit?: Kit
}

/** Loudness of single strokes; a snare struck eight times a bar with accents adds up, so that each stands below the cymbals' sum. */
export const STROKES: readonly Stroke[] = [
  { key: 36, loudness: -26.5, kit: 'sticks' },
  // Feathered, it is felt and not heard; and who plays jazz or brushes hits no drum as hard.
  { key: 36, loudness: -26.5, kit: 'jazz' },
  { key: 36, loudness: -26.5, kit: 'brushes' },
  { key: 37, loudness: -26 },
  { key: 38, loudness: -28.5, kit: 'sticks' },
  { key: 38, loudness: -28, kit: 'jazz' },
  { key: 38, loudness: -24, kit: 'brushes' },
  { key: 39, loudness: -26 },
  { key: 40, loudness: -28, kit: 'brushes' },
  { key: 41, loudness: -26, pan: -0.3 },
  { key: 42, loudness: -31, pan: 0.3 },
  { key: 44, loudness: -31, pan: 0.3 },
  { key: 45, loudness: -26, pan: -0.15 },
  { key: 46, loudness: -29, pan: 0.3 },
  { key: 47, loudness: -26, pan: 0.05 },
  { key: 49, loudness: -25, pan: 0.35 },
  { key: 50, loudness: -26, pan: 0.2 },
  { key: 51, loudness: -29, pan: -0.35 },
  { key: 53, loudness: -29, pan: -0.35 },
  { key: 54, loudness: -31, pan: 0.2 },
  { key: 56, loudness: -28, pan: 0.15 },
  { key: 62, loudness: -26, pan: -0.25 },
  { key: 63, loudness: -25, pan: -0.25 },
  { key: 64, loudness: -25, pan: -0.15 },
  { key: 65, loudness: -26, pan: 0.2 },
  { key: 66, loudness: -26, pan: 0.2 },
  { key: 67, loudness: -30, pan: 0.25 },
  { key: 68, loudness: -30, pan: 0.25 },
  { key: 69, loudness: -33, pan: 0.3 },
  // The grooves mean a shaker here; General MIDI 1 has none and its files say maracas.
  { key: 70, from: 82, loudness: -33, pan: 0.3 },
  { key: 73, loudness: -29, pan: -0.3 },
  { key: 74, loudness: -28, pan: -0.3 },
  { key: 75, loudness: -28, pan: 0.25 },
  { key: 80, loudness: -33, pan: 0.35 },
  { key: 81, loudness: -31, pan: 0.35 },
]
