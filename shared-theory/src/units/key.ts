/** Keys: their signatures, scales, and how a pitch is spelled in them. */
import type { KeyName, KeySignature, Mode, NoteName } from '../contract/index.js'
import { assert, must } from './assert.js'
import { type Interval, transposeName } from './interval.js'
import { LETTERS, mod, noteName, parseNoteName, pitchAs, pitchClass } from './pitch.js'

/** Letters in the order sharps are added. */
const FIFTHS_ORDER = 'FCGDAEB'
/** Fifths from the major key on the same tonic to the mode's signature. */
const MODE_FIFTHS: { readonly [mode in Mode]: number } = {
  major: 0,
  minor: -3,
  dorian: -2,
  phrygian: -4,
  lydian: 1,
  mixolydian: -1,
  locrian: -5,
}
/** Whether a mode counts as a minor key when only major and minor are asked for. */
const MINOR_MODES: ReadonlySet<Mode> = new Set(['minor', 'dorian', 'phrygian', 'locrian'])
const MAJOR_STEPS: readonly number[] = [0, 2, 4, 5, 7, 9, 11]
const MINOR_STEPS: readonly number[] = [0, 2, 3, 5, 7, 8, 10]

/** Position of a note on the line of fifths, C = 0, G = 1, F = −1. */
export function fifthsOfNote(name: NoteName): number {
  const spelled = must(parseNoteName(name), `'${name}' is a note name`)
  return FIFTHS_ORDER.indexOf(LETTERS[spelled.step] as string) - 1 + 7 * spelled.alter
}

export function noteOfFifths(fifths: number): NoteName {
  const letter = FIFTHS_ORDER[mod(fifths + 1, 7)] as string
  return noteName({ step: LETTERS.indexOf(letter), alter: Math.floor((fifths + 1) / 7) })
}

export function parseKey(key: KeyName): { readonly tonic: NoteName; readonly mode: 'major' | 'minor' } | undefined {
  const found = /^([A-G](?:b|#|))(?: )(major|minor)$/.exec(key)
  return found ? { tonic: found[1] as string, mode: found[2] as 'major' | 'minor' } : undefined
}

export function tonicOf(key: KeyName): NoteName {
  return must(parseKey(key), `'${key}' is a key`).tonic
}

export function isMinorKey(key: KeyName): boolean {
  return key.endsWith(' minor')
}

/** The signature of a tonic and mode, or undefined where it would need more than seven accidentals. */
export function keySignature(tonic: NoteName, mode: Mode = 'major'): KeySignature | undefined {
  const fifths = fifthsOfNote(tonic) + MODE_FIFTHS[mode]
  if (Math.abs(fifths) > 7) return undefined
  return { key: `${tonic} ${MINOR_MODES.has(mode) ? 'minor' : 'major'}`, mode, fifths }
}

export function keySignatureOf(key: KeyName): KeySignature {
  const parsed = must(parseKey(key), `'${key}' is a key`)
  return must(keySignature(parsed.tonic, parsed.mode), `'${key}' has a signature`)
}

/** The seven notes of a key, from its tonic (natural minor for minor keys). */
export function scaleOf(key: KeyName): readonly NoteName[] {
  const { tonic, mode } = must(parseKey(key), `'${key}' is a key`)
  const start = must(parseNoteName(tonic), tonic)
  return (mode === 'major' ? MAJOR_STEPS : MINOR_STEPS).map((semitones, steps) =>
    transposeName(noteName(start), { steps, semitones } satisfies Interval),
  )
}

/** The letter's alteration under a signature: (2 flats, B) → −1. */
export function signatureAlter(fifths: number, step: number): number {
  const place = FIFTHS_ORDER.indexOf(LETTERS[mod(step, 7)] as string)
  if (fifths > 0) return place < fifths ? 1 : 0
  return 6 - place < -fifths ? -1 : 0
}

/** How a chromatic pitch class is usually named in a key: scale notes as they are; else raised 1, 2, 4, 5 going with sharps
 *  (♯4 and, in minor, ♯6 ♯7), lowered 3, 6, 7, 2 otherwise. Source: common practice. */
export function nameInKey(pc: number, key: KeySignature): NoteName {
  const tonic = tonicOf(key.key)
  const above = mod(pc - pitchClass(tonic), 12)
  const minor = isMinorKey(key.key)
  // Fifths above the tonic for each semitone: 1 ♭2 2 ♭3 3 4 ♯4 5 ♭6 6 ♭7 7; in minor ♯6 and ♯7 are the same names.
  const fifthsAbove = [0, -5, 2, -3, 4, -1, 6, 1, -4, 3, -2, 5][above] as number
  const fifths = fifthsOfNote(tonic) + fifthsAbove
  if (fifths > 19 || fifths < -15) return simplest(pc, key.fifths)
  const name = noteOfFifths(fifths)
  const spelled = must(parseNoteName(name), name)
  if (Math.abs(spelled.alter) > 1 && !minor) return simplest(pc, key.fifths)
  return Math.abs(spelled.alter) > 1 ? simplest(pc, key.fifths) : name
}

function simplest(pc: number, fifths: number): NoteName {
  const flats = ['C', 'Db', 'D', 'Eb', 'E', 'F', 'Gb', 'G', 'Ab', 'A', 'Bb', 'B']
  const sharps = ['C', 'C#', 'D', 'D#', 'E', 'F', 'F#', 'G', 'G#', 'A', 'A#', 'B']
  return (fifths < 0 ? flats : sharps)[pc] as string
}

/** A MIDI number named in a key: (70, F major) → 'Bb4'. */
export function pitchInKey(midi: number, key: KeySignature): string {
  return pitchAs(midi, nameInKey(mod(midi, 12), key))
}

/** The key a number of semitones away, spelled with the fewer accidentals; at six each, `prefer` decides (default flats). */
export function keyAway(key: KeySignature, semitones: number, prefer: 'flats' | 'sharps' = 'flats'): KeySignature {
  const tonic = tonicOf(key.key)
  const candidates: KeySignature[] = []
  for (let fifths = -8; fifths <= 12; fifths++) {
    const name = noteOfFifths(fifths)
    if (pitchClass(name) !== mod(pitchClass(tonic) + semitones, 12)) continue
    const signature = keySignature(name, key.mode)
    if (signature) candidates.push(signature)
  }
  candidates.sort(
    (a, b) =>
      Math.abs(a.fifths) - Math.abs(b.fifths) || (prefer === 'flats' ? a.fifths - b.fifths : b.fifths - a.fifths),
  )
  const best = candidates[0]
  assert(best, `a key ${semitones} semitones from ${key.key}`)
  return best
}

/** The interval by which names move from one key to another, within ±6 semitones (+6 by default for the tritone). */
export function intervalBetweenKeys(from: KeySignature, to: KeySignature, semitones: number): Interval {
  const steps = mod(LETTERS.indexOf(tonicOf(to.key)[0] as string) - LETTERS.indexOf(tonicOf(from.key)[0] as string), 7)
  // Nearest octave of the letter distance to the sounding distance.
  const candidates = [steps - 14, steps - 7, steps, steps + 7, steps + 14]
  const approximate = (semitones * 7) / 12
  candidates.sort((a, b) => Math.abs(a - approximate) - Math.abs(b - approximate))
  return { steps: candidates[0] as number, semitones }
}

const ABC_MODES: { readonly [mode in Mode]: string } = {
  major: '',
  minor: 'm',
  dorian: 'dor',
  phrygian: 'phr',
  lydian: 'lyd',
  mixolydian: 'mix',
  locrian: 'loc',
}

/** As ABC's `K:` field has it: Bb, Dm, Gdor. */
export function abcKey({ key, mode }: KeySignature): string {
  return `${tonicOf(key)}${ABC_MODES[mode]}`
}
