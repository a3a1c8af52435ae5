/** The K: field: tonic, mode, extra accidentals, and what it says of the staff (ABC standard 2.1, sections 3.1.14 and 4.6). */
import type { KeySignature, Mode } from '../../contract/index.js'
import { LETTERS, fifthsOfNote, keyAway, keySignature, keySignatureOf, must } from '../../units/index.js'

export interface AbcKey {
  readonly key: KeySignature
  /** Alteration by letter (C D E F G A B) for notes without an accidental. */
  readonly alters: readonly number[]
  readonly octaveShift: number
  readonly transposeSemitones: number
  /** What could not be kept, in words; shown with the place. */
  readonly problem?: string
}

/** First three letters of each mode's name; 'm' alone is minor. */
const MODES: { readonly [start: string]: Mode } = {
  '': 'major',
  maj: 'major',
  ion: 'major',
  m: 'minor',
  min: 'minor',
  aeo: 'minor',
  dor: 'dorian',
  phr: 'phrygian',
  lyd: 'lydian',
  mix: 'mixolydian',
  loc: 'locrian',
}
const MODE_FIFTHS: { readonly [mode in Mode]: number } = {
  major: 0,
  minor: -3,
  dorian: -2,
  phrygian: -4,
  lydian: 1,
  mixolydian: -1,
  locrian: -5,
}
const SHARPS_ORDER = 'FCGDAEB'
const ACCIDENTAL: { readonly [sign: string]: number } = { '^^': 2, '^': 1, '=': 0, _: -1, __: -2 }

/** Alteration of each letter under any number of sharps or flats, beyond seven too. */
function altersOf(fifths: number): number[] {
  return Array.from(LETTERS).map((letter) => Math.floor((fifths - SHARPS_ORDER.indexOf(letter) - 1) / 7) + 1)
}

/** Reads the field's text; total, what is not a key is C major with a problem. `before` is the key so far, for fields that only name a clef. */
export function readAbcKey(text: string, before?: AbcKey): AbcKey {
  const staff = readStaff(text, before)
  const plain = text
    .replace(/\b(clef|octave|transpose|middle|stafflines|staffscale|name|nm|snm|m|t)=("[^"]*"|\S+)/gi, ' ')
    .trim()
  const shift = { octaveShift: staff.octaveShift, transposeSemitones: staff.transposeSemitones }
  const none = { key: keySignatureOf('C major'), alters: altersOf(0), ...shift }
  if (plain === '' || /^none\b/i.test(plain))
    return before && plain === '' && text.trim() !== '' ? { ...before, ...shift } : none
  if (/^(treble|bass|alto|tenor|soprano|mezzosoprano|baritone|perc)\S*$/i.test(plain))
    return before ? { ...before, ...shift } : none
  if (/^H[Pp]\b/.test(plain)) {
    const pipes = must(keySignature('A', 'mixolydian'), 'A mixolydian has a signature')
    return { key: pipes, alters: altersOf(2), ...shift }
  }
  const found = /^([A-G])([#b]?)\s*([A-Za-z]*)/.exec(plain)
  if (!found)
    return { ...none, problem: `'${plain.slice(0, 40)}' is no key; read as C major. Write K:G, K:Bb or K:Dm.` }
  const tonic = `${found[1]}${found[2]}`
  const word = (found[3] as string).toLowerCase()
  const isExplicit = word.startsWith('exp')
  const isClef = /^(treble|bass|alto|tenor|perc)/.test(word)
  const mode = isExplicit || isClef ? 'major' : MODES[word.length > 1 ? word.slice(0, 3) : word]
  const usedMode = mode ?? 'major'
  const fifths = isExplicit ? 0 : fifthsOfNote(tonic) + MODE_FIFTHS[usedMode]
  const alters = altersOf(fifths)
  const extra = [...plain.slice(found[0].length).matchAll(/(\^\^|\^|=|__|_)([A-Ga-g])/g)]
  for (const [, sign, letter] of extra)
    alters[LETTERS.indexOf((letter as string).toUpperCase())] = ACCIDENTAL[sign as string] ?? 0
  const signature = isExplicit ? nearestSignature(tonic, alters) : keySignature(tonic, usedMode)
  const problem =
    mode === undefined
      ? `mode '${found[3]}' is not known; read as major.`
      : !signature
        ? `${tonic} ${usedMode} needs more than seven accidentals; its notes are kept, its signature is written as another spelling.`
        : extra.length > 0
          ? 'the signature has accidentals of its own; the notes are read with them, the charts print the plain signature.'
          : undefined
  const key = signature ?? keyAway({ key: 'C major', mode: usedMode, fifths: 0 }, semitonesOf(tonic))
  return { key, alters, ...shift, ...(problem ? { problem } : {}) }
}

function semitonesOf(tonic: string): number {
  const fifths = fifthsOfNote(tonic)
  return (((fifths * 7) % 12) + 12) % 12
}

/** For K:D exp ^f: the mode on the tonic whose signature comes nearest to the accidentals written. */
function nearestSignature(tonic: string, alters: readonly number[]): KeySignature | undefined {
  let best: { key: KeySignature; distance: number } | undefined
  for (const mode of ['major', 'minor', 'mixolydian', 'dorian', 'lydian', 'phrygian', 'locrian'] as const) {
    const key = keySignature(tonic, mode)
    if (!key) continue
    const own = altersOf(key.fifths)
    const distance = own.reduce((sum, alter, at) => sum + Math.abs(alter - (alters[at] ?? 0)), 0)
    if (!best || distance < best.distance) best = { key, distance }
  }
  return best?.key
}

/** What a field says of octave and transposition; what it leaves out stays as it was. */
export function readStaff(
  text: string,
  before?: { readonly octaveShift: number; readonly transposeSemitones: number },
): { octaveShift: number; transposeSemitones: number } {
  const octave = /\boctave=([+-]?\d{1,2})/i.exec(text)
  const transpose = /(?:\btranspose|\bt)=([+-]?\d{1,3})/i.exec(text)
  const clef = /\b(?:clef=(?:treble|bass|alto|tenor|none|G|F|C)|treble|bass|alto|tenor)\d?([+-]8)?/i.exec(
    text.replace(/"[^"]*"/g, ''),
  )
  const saysOctave = octave !== null || clef?.[1] !== undefined
  const clefShift = clef?.[1] === undefined ? 0 : clef[1] === '+8' ? 1 : -1
  return {
    octaveShift: saysOctave ? clamp(octave ? Number(octave[1]) : 0, 4) + clefShift : (before?.octaveShift ?? 0),
    transposeSemitones: transpose ? clamp(Number(transpose[1]), 36) : (before?.transposeSemitones ?? 0),
  }
}

const clamp = (value: number, most: number): number => Math.max(-most, Math.min(most, value))
