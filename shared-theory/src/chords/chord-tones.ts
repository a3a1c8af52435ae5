/** Chord tones as bits of one integer, in order of degree: what parser, namer and questions count with. */
import type { NoteName } from '../contract/index.js'
import { fifthsOfNote, mod, noteOfFifths } from '../units/index.js'

/** A set of chord tones: bit n is `TONES[n]`. */
export type ToneSet = number

export interface Tone {
  readonly interval: string
  readonly degree: number
  /** Semitones from the major or perfect interval of that degree. */
  readonly alter: number
  readonly semitones: number
  /** Steps on the line of fifths from the root, which spell the tone. */
  readonly fifths: number
}

const NATURAL_FIFTHS: { readonly [degree: number]: number } = {
  1: 0,
  2: 2,
  3: 4,
  4: -1,
  5: 1,
  6: 3,
  7: 5,
  9: 2,
  11: -1,
  13: 3,
}
const NATURAL_SEMITONES: { readonly [degree: number]: number } = {
  1: 0,
  2: 2,
  3: 4,
  4: 5,
  5: 7,
  6: 9,
  7: 11,
  9: 14,
  11: 17,
  13: 21,
}
const tone = (interval: string, degree: number, alter: number): Tone => ({
  interval,
  degree,
  alter,
  semitones: (NATURAL_SEMITONES[degree] as number) + alter,
  fifths: (NATURAL_FIFTHS[degree] as number) + 7 * alter,
})

/** Every tone a chord symbol can name, from the root up. */
export const TONES: readonly Tone[] = [
  tone('1P', 1, 0),
  tone('2M', 2, 0),
  tone('3m', 3, -1),
  tone('3M', 3, 0),
  tone('4P', 4, 0),
  tone('4A', 4, 1),
  tone('5d', 5, -1),
  tone('5P', 5, 0),
  tone('5A', 5, 1),
  tone('6m', 6, -1),
  tone('6M', 6, 0),
  tone('6A', 6, 1),
  tone('7d', 7, -2),
  tone('7m', 7, -1),
  tone('7M', 7, 0),
  tone('9m', 9, -1),
  tone('9M', 9, 0),
  tone('9A', 9, 1),
  tone('11P', 11, 0),
  tone('11A', 11, 1),
  tone('13m', 13, -1),
  tone('13M', 13, 0),
]

const bit = (interval: string): ToneSet => 1 << TONES.findIndex((each) => each.interval === interval)

export const T = {
  root: bit('1P'),
  second: bit('2M'),
  minorThird: bit('3m'),
  third: bit('3M'),
  fourth: bit('4P'),
  augmentedFourth: bit('4A'),
  flatFifth: bit('5d'),
  fifth: bit('5P'),
  sharpFifth: bit('5A'),
  flatSixth: bit('6m'),
  sixth: bit('6M'),
  augmentedSixth: bit('6A'),
  diminishedSeventh: bit('7d'),
  seventh: bit('7m'),
  majorSeventh: bit('7M'),
  flatNinth: bit('9m'),
  ninth: bit('9M'),
  sharpNinth: bit('9A'),
  eleventh: bit('11P'),
  sharpEleventh: bit('11A'),
  flatThirteenth: bit('13m'),
  thirteenth: bit('13M'),
} as const

const DEGREE_SETS: { [degree: number]: ToneSet } = {}
for (const [index, { degree }] of TONES.entries()) DEGREE_SETS[degree] = (DEGREE_SETS[degree] ?? 0) | (1 << index)

/** All tones of one degree: 9 → ♭9, 9, ♯9. */
export const tonesOfDegree = (degree: number): ToneSet => DEGREE_SETS[degree] ?? 0

export const THIRDS: ToneSet = tonesOfDegree(3)
export const FIFTHS: ToneSet = tonesOfDegree(5)
export const SEVENTHS: ToneSet = tonesOfDegree(7)
export const NINTHS: ToneSet = tonesOfDegree(9)

/** The tone of a degree altered from its major or perfect form: (9, −1) → ♭9; 0 where no chord symbol names it. */
export function toneAt(degree: number, alter: number): ToneSet {
  return alter >= -2 && alter <= 2 ? (TONE_OF_DEGREE[degree * 8 + alter + 2] ?? 0) : 0
}
const TONE_OF_DEGREE: readonly ToneSet[] = TONES.reduce<ToneSet[]>((table, each, index) => {
  table[each.degree * 8 + each.alter + 2] = 1 << index
  return table
}, [])

/** Tones in the set, lowest degree first. */
export function listTones(set: ToneSet): readonly Tone[] {
  const found: Tone[] = []
  for (let rest = set; rest !== 0; rest &= rest - 1) found.push(TONES[31 - Math.clz32(rest & -rest)] as Tone)
  return found
}

/** The set of our own interval names ('1P', '9m' …); 0 bits for names no tone has. */
export function toneSetOf(intervals: readonly string[]): ToneSet {
  let set = 0
  for (const interval of intervals) set |= INTERVAL_BITS.get(interval) ?? 0
  return set
}
const INTERVAL_BITS: ReadonlyMap<string, ToneSet> = new Map(TONES.map(({ interval }, index) => [interval, 1 << index]))

/** F𝄫 is −15 fifths from C, B𝄪 is 19: the names a chart can print. */
const LOWEST_FIFTHS = -15
const HIGHEST_FIFTHS = 19
const NAMES: readonly NoteName[] = Array.from({ length: HIGHEST_FIFTHS - LOWEST_FIFTHS + 1 }, (_, index) =>
  noteOfFifths(index + LOWEST_FIFTHS),
)
const FIFTHS_OF_NAME: ReadonlyMap<NoteName, number> = new Map(NAMES.map((name) => [name, fifthsOfNote(name)]))

/** The tone's name over a root. Where it would need three accidentals, the same sound twelve fifths away. */
export function toneName(root: NoteName, tone: Tone): NoteName {
  return nameOfFifths((FIFTHS_OF_NAME.get(root) ?? 0) + tone.fifths)
}

/** Names and intervals of a set over a root, from the root up. */
export function spellTones(
  root: NoteName,
  set: ToneSet,
): { readonly notes: readonly NoteName[]; readonly intervals: readonly string[] } {
  const from = FIFTHS_OF_NAME.get(root) ?? 0
  const notes: NoteName[] = []
  const intervals: string[] = []
  for (let rest = set; rest !== 0; rest &= rest - 1) {
    const tone = TONES[31 - Math.clz32(rest & -rest)] as Tone
    notes.push(nameOfFifths(from + tone.fifths))
    intervals.push(tone.interval)
  }
  return { notes, intervals }
}

export function nameOfFifths(fifths: number): NoteName {
  if (fifths >= LOWEST_FIFTHS && fifths <= HIGHEST_FIFTHS) return NAMES[fifths - LOWEST_FIFTHS] as NoteName
  return nameOfFifths(fifths < 0 ? fifths + 12 : fifths - 12)
}

/** Pitch class of a note name our tables hold. */
export function pcOf(name: NoteName): number {
  return mod(7 * (FIFTHS_OF_NAME.get(name) ?? fifthsOfNote(name)), 12)
}
