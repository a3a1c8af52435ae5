/** How findings speak: bars as printed, notes with real accidental signs, beats in words. */
import type { ArrangedBar, Chord, KeySignature, Metre } from '../contract/index.js'
import { formatChord } from '../chords/index.js'
import { barTicks, parsePitch, pitchInKey, tonicOf, unitTicks } from '../units/index.js'

/** 'Bb4' → 'B♭4', 'F##' → 'F𝄪'. */
export const shownName = (name: string): string =>
  name
    .replace('##', '𝄪')
    .replace('#', '♯')
    .replace('bb', '𝄫')
    .replace(/(?<=[A-G])b/, '♭')

/** As a chart has it, and as players say it: 'sus' alone means the fourth, and 'alt' is said in full. */
export const shownChord = (chord: Chord): string =>
  formatChord(chord, 'symbols').replace('sus4', 'sus').replace(/alt$/, ' altered')

/** A note by its own name, or the key's where it has none. */
export const shownNote = (note: { readonly midi: number; readonly name: string }, key: KeySignature): string =>
  shownName(parsePitch(note.name) ? note.name : pitchInKey(note.midi, key))

export const shownKey = (key: KeySignature): string => shownName(tonicOf(key.key))

/** 'trumpet' of 'Trumpet': a part named inside a sentence. */
export const partWords = (name: string): string =>
  /^[A-Z][a-z ]/.test(name) ? name.charAt(0).toLowerCase() + name.slice(1) : name

/** Bar number as printed: a pickup at the start is not counted. */
export function barNumberOf(bars: readonly (ArrangedBar | undefined)[], index: number): number {
  const first = bars[0]
  return first && first.lengthTicks < barTicks(first.metre) ? index : index + 1
}

/** 'a, b and c'. */
export function listWords(words: readonly string[]): string {
  if (words.length < 2) return words.join('')
  return `${words.slice(0, -1).join(', ')} and ${words.at(-1)}`
}

const NUMBERS: readonly string[] = [
  'no',
  'one',
  'two',
  'three',
  'four',
  'five',
  'six',
  'seven',
  'eight',
  'nine',
  'ten',
  'eleven',
  'twelve',
]
const UNITS: { readonly [beatType in Metre['beatType']]: string } = {
  2: 'half note',
  4: 'beat',
  8: 'eighth',
  16: 'sixteenth',
}
const FRACTIONS: readonly (readonly [twelfths: number, words: string])[] = [
  [3, 'a quarter'],
  [4, 'a third'],
  [6, 'a half'],
  [8, 'two thirds'],
  [9, 'three quarters'],
]

export const numberWord = (value: number): string => NUMBERS[value] ?? String(value)

/** 'four and a half beats', 'half a beat', 'seven eighths'. */
export function beatsInWords(ticks: number, metre: Metre): string {
  const unit = unitTicks(metre)
  const noun = UNITS[metre.beatType]
  const whole = Math.floor(ticks / unit)
  const twelfths = ((ticks - whole * unit) * 12) / unit
  const fraction = FRACTIONS.find(([part]) => part === twelfths)?.[1]
  if (twelfths === 0) return `${numberWord(whole)} ${noun}${whole === 1 ? '' : 's'}`
  if (fraction === undefined) return `${Number((ticks / unit).toFixed(2))} ${noun}s`
  if (whole > 0) return `${numberWord(whole)} and ${fraction} ${noun}s`
  return fraction === 'a half' ? `half ${/^[aeiou]/.test(noun) ? 'an' : 'a'} ${noun}` : `${fraction} of a ${noun}`
}
