/** <key> and <time> as our key and metre. Source: MusicXML 4.0. */
import type { KeySignature, Metre, Mode } from '../../contract/index.js'
import { keySignature, noteOfFifths } from '../../units/index.js'
import { type XmlElement, childOf, childrenOf, numberOf, textOf } from './xml.js'

/** Fifths from a mode's signature back to its tonic's place on the line of fifths. */
const TONIC_FIFTHS: { readonly [mode in Mode]: number } = {
  major: 0,
  minor: 3,
  dorian: 2,
  phrygian: 4,
  lydian: -1,
  mixolydian: 1,
  locrian: 5,
}
/** Other names of the same modes. */
const MODE_NAMES: { readonly [name: string]: Mode } = { ionian: 'major', aeolian: 'minor' }
/** Parts of one additive time signature that are read. */
const MOST_PARTS = 8

/** Undefined where it is no signature of up to seven sharps or flats. */
export function readKeySignature(
  element: XmlElement,
): { readonly key: KeySignature; readonly isModeWritten: boolean } | undefined {
  const fifths = numberOf(element, 'fifths')
  if (fifths === undefined || !Number.isInteger(fifths)) return undefined
  const name = textOf(element, 'mode').toLowerCase()
  const mode = Object.hasOwn(TONIC_FIFTHS, name)
    ? (name as Mode)
    : Object.hasOwn(MODE_NAMES, name)
      ? MODE_NAMES[name]
      : undefined
  const used = mode ?? 'major'
  if (Math.abs(fifths) > 7) return undefined
  const key = keySignature(noteOfFifths(fifths + TONIC_FIFTHS[used]), used)
  return key && { key, isModeWritten: mode !== undefined }
}

/** 'free' without a measure; undefined where it can't be counted. Additive metres are summed in their smallest unit. */
export function readTimeSignature(element: XmlElement): Metre | 'free' | undefined {
  if (childOf(element, 'senza-misura')) return 'free'
  const beats = childrenOf(element, 'beats')
    .slice(0, MOST_PARTS)
    .map((one) => one.text.split('+').reduce((sum, part) => sum + Number(part), 0))
  const types = childrenOf(element, 'beat-type')
    .slice(0, MOST_PARTS)
    .map((one) => Number(one.text))
  const beatType = Math.max(...types)
  const sum = beats.reduce((total, count, at) => total + (count * beatType) / (types[at] ?? beatType), 0)
  if (!Number.isInteger(sum) || sum < 1 || sum > 64) return undefined
  if (beatType === 2 || beatType === 4 || beatType === 8 || beatType === 16) return { beats: sum, beatType }
  return beatType === 1 && sum <= 16 ? { beats: sum * 2, beatType: 2 } : undefined
}
