/** Spelled pitches: a letter, its accidentals and an octave, beside the MIDI number they sound as (middle C = C4 = 60). */
import type { NoteName } from '../contract/index.js'
import { assert } from './assert.js'

/** Letter as a scale step: C 0 … B 6. */
export interface Spelled {
  readonly step: number
  /** −2 double flat … +2 double sharp; wider values may pass through a sum but are never written. */
  readonly alter: number
}
export interface SpelledPitch extends Spelled {
  /** Scientific octave of the letter: B#3 sounds as C4 but has octave 3. */
  readonly octave: number
}

export const LETTERS = 'CDEFGAB'
/** Semitones of the natural letters above C. */
export const NATURAL_SEMITONES: readonly number[] = [0, 2, 4, 5, 7, 9, 11]
const ACCIDENTALS: { readonly [alter: number]: string } = { [-2]: 'bb', [-1]: 'b', 0: '', 1: '#', 2: '##' }

export const mod = (value: number, modulus: number): number => ((value % modulus) + modulus) % modulus

/** 'Bb' → { step 6, alter −1 }; undefined for anything that is no note name. */
export function parseNoteName(name: string): Spelled | undefined {
  const found = /^([A-G])(bb|b|##|#|)$/.exec(name)
  if (!found) return undefined
  const step = LETTERS.indexOf(found[1] as string)
  const marks = found[2] as string
  return { step, alter: marks.startsWith('b') ? -marks.length : marks.length }
}

/** The ASCII name; accidentals beyond doubles are refused, since no chart can print them. */
export function noteName(spelled: Spelled): NoteName {
  const marks = ACCIDENTALS[spelled.alter]
  assert(marks !== undefined, `alteration ${spelled.alter} has no sign`)
  return `${LETTERS[mod(spelled.step, 7)]}${marks}`
}

/** Pitch class 0…11 of a note name. */
export function pitchClass(name: NoteName): number {
  const spelled = parseNoteName(name)
  assert(spelled, `'${name}' is a note name`)
  return mod((NATURAL_SEMITONES[spelled.step] as number) + spelled.alter, 12)
}

/** 'Bb4' → { step, alter, octave }. */
export function parsePitch(text: string): SpelledPitch | undefined {
  const found = /^([A-G](?:bb|b|##|#|))(-?\d+)$/.exec(text)
  if (!found) return undefined
  const spelled = parseNoteName(found[1] as string)
  return spelled && { ...spelled, octave: Number(found[2]) }
}

export function formatPitch(pitch: SpelledPitch): string {
  return `${noteName(pitch)}${pitch.octave}`
}

/** MIDI number of a spelled pitch: C4 → 60, B#3 → 60, Cb4 → 59. */
export function midiOf(pitch: SpelledPitch): number {
  return (pitch.octave + 1) * 12 + (NATURAL_SEMITONES[pitch.step] as number) + pitch.alter
}

/** MIDI number of a pitch text; our own data only. */
export function midiOfName(text: string): number {
  const pitch = parsePitch(text)
  assert(pitch, `'${text}' is a pitch`)
  return midiOf(pitch)
}

/** A MIDI number under a given note name: (58, 'Bb') → 'Bb3', (60, 'B#') → 'B#3'. The name must have that pitch class. */
export function pitchAs(midi: number, name: NoteName): string {
  const spelled = parseNoteName(name)
  assert(spelled && pitchClass(name) === mod(midi, 12), `'${name}' names MIDI ${midi}`)
  const octave = (midi - spelled.alter - (NATURAL_SEMITONES[spelled.step] as number)) / 12 - 1
  return `${name}${octave}`
}

/** The note name of a pitch text: 'Bb4' → 'Bb'. */
export function nameOfPitch(text: string): NoteName {
  const pitch = parsePitch(text)
  assert(pitch, `'${text}' is a pitch`)
  return noteName(pitch)
}

/** The same sound with at most one accidental: 'Fb' → 'E', 'Abb' → 'G', 'Bb' stays. */
export function simplifyNoteName(name: NoteName): NoteName {
  const spelled = parseNoteName(name)
  assert(spelled, `'${name}' is a note name`)
  if (Math.abs(spelled.alter) < 2 && !/^(Cb|Fb|B#|E#)$/.test(name)) return name
  const flats = ['C', 'Db', 'D', 'Eb', 'E', 'F', 'Gb', 'G', 'Ab', 'A', 'Bb', 'B']
  const sharps = ['C', 'C#', 'D', 'D#', 'E', 'F', 'F#', 'G', 'G#', 'A', 'A#', 'B']
  return (spelled.alter < 0 ? flats : sharps)[pitchClass(name)] as string
}
