/** Whether a value from anywhere is what the music calls it: a metre, a key signature, a chord, a note. Nothing here throws. */
import type { Chord, KeySignature, MelodyNote, Metre, PlacedChord } from '../contract/index.js'
import { barTicks, parseInterval, parseKey, parseNoteName, parsePitch } from '../units/index.js'

/** An object whose fields are still unknown. */
export type Fields = { readonly [field: string]: unknown }

export const isFields = (value: unknown): value is Fields =>
  typeof value === 'object' && value !== null && !Array.isArray(value)

/** A whole number from 0 on that a tick, an index or a count can be. */
export const isTick = (value: unknown): value is number =>
  typeof value === 'number' && Number.isSafeInteger(value) && value >= 0

/** 1 to 64 beats over 2, 4, 8 or 16. */
export const isMetre = (value: unknown): value is Metre =>
  isFields(value) &&
  isTick(value['beats']) &&
  value['beats'] >= 1 &&
  value['beats'] <= 64 &&
  [2, 4, 8, 16].includes(value['beatType'] as number) &&
  Number.isInteger(barTicks(value as unknown as Metre))

const MODES: ReadonlySet<unknown> = new Set(['major', 'minor', 'dorian', 'phrygian', 'lydian', 'mixolydian', 'locrian'])

export const isKeySignature = (value: unknown): value is KeySignature =>
  isFields(value) &&
  typeof value['key'] === 'string' &&
  parseKey(value['key']) !== undefined &&
  MODES.has(value['mode']) &&
  Number.isInteger(value['fifths']) &&
  Math.abs(value['fifths'] as number) <= 7

export const isPlacedChord = (value: unknown): value is PlacedChord =>
  isFields(value) && isTick(value['startTick']) && isTick(value['durationTicks']) && isChord(value['chord'])

const isName = (value: unknown): boolean => typeof value === 'string' && parseNoteName(value) !== undefined

/** A chord as data, two chords at most one over the other. */
export function isChord(value: unknown, depth = 0): value is Chord {
  if (!isFields(value) || depth > 1) return false
  const { root, bass, symbol, notes, intervals, omitted, kind, degrees, over } = value
  return (
    (root === '' || isName(root)) &&
    (bass === undefined || isName(bass)) &&
    typeof symbol === 'string' &&
    typeof kind === 'string' &&
    isListOf(notes, isName) &&
    isListOf(intervals, isInterval) &&
    isListOf(omitted, isInterval) &&
    (notes as unknown[]).length === (intervals as unknown[]).length &&
    isListOf(degrees, isDegree) &&
    (over === undefined || isChord(over, depth + 1))
  )
}

const isDegree = (value: unknown): boolean =>
  isFields(value) &&
  Number.isInteger(value['value']) &&
  Number.isInteger(value['alter']) &&
  ['add', 'alter', 'subtract'].includes(value['type'] as string)

/** A list whose every place holds one; a gap is none. */
export const isListOf = (value: unknown, isWhole: (item: unknown) => boolean): boolean => {
  if (!Array.isArray(value)) return false
  for (const item of value) if (!isWhole(item)) return false
  return true
}
const isInterval = (value: unknown): boolean => typeof value === 'string' && parseInterval(value) !== undefined

/** Start, length, MIDI number and some name: what every note has, drums too. */
export function isTimedNote(value: unknown): value is Fields & { readonly startTick: number; durationTicks: number } {
  return (
    isFields(value) &&
    isTick(value['startTick']) &&
    isTick(value['durationTicks']) &&
    value['durationTicks'] > 0 &&
    isTick(value['midi']) &&
    value['midi'] <= 127 &&
    typeof value['name'] === 'string'
  )
}

/** A timed note with a spelled pitch. */
export const isPitchedNote = (value: unknown): boolean =>
  isTimedNote(value) && parsePitch(value['name'] as string) !== undefined

/** A melody note with all it may carry: tie, tuplet, word and grace notes. */
export const isMelodyNote = (value: unknown): value is MelodyNote =>
  isPitchedNote(value) &&
  isFields(value) &&
  (value['tiedToNext'] === undefined || value['tiedToNext'] === true) &&
  (value['tuplet'] === undefined || isTuplet(value['tuplet'])) &&
  (value['lyric'] === undefined || typeof value['lyric'] === 'string') &&
  (value['grace'] === undefined || isListOf(value['grace'], isPitch))

const isPitch = (value: unknown): boolean => typeof value === 'string' && parsePitch(value) !== undefined
const isTuplet = (value: unknown): boolean =>
  isFields(value) && [value['actual'], value['normal']].every((count) => isTick(count) && count >= 1 && count <= 64)
