/** A key pressed on a keyboard, as the letter one would type for it. */
import { keySignature, type Mode, pitchInKey, parsePitch, keySignatureOf } from '@chartloft/shared-theory'

const LETTERS = 'CDEFGAB'
const SHARPS = 'FCGDAEB'
const SIGNS: { readonly [alter: number]: string } = { [-2]: '__', [-1]: '_', 0: '=', 1: '^', 2: '^^' }

/** ABC for a pitch: '^F' in C, 'F' in G; with its accidental where one stands before it in the bar. `before` is the text up to there. */
export function typedNote(midi: number, tonic: string, mode: Mode, before: string): string {
  const key = keySignature(tonic, mode) ?? keySignatureOf('C major')
  const pitch = parsePitch(pitchInKey(midi, key))
  if (!pitch) return ''
  const letter = LETTERS[pitch.step] as string
  const place = SHARPS.indexOf(letter)
  const own = key.fifths > 0 ? (place < key.fifths ? 1 : 0) : 6 - place < -key.fifths ? -1 : 0
  const sign = pitch.alter === own && !isAltered(before, letter) ? '' : (SIGNS[pitch.alter] ?? '')
  const high = pitch.octave >= 5
  const marks = high ? "'".repeat(pitch.octave - 5) : ','.repeat(Math.max(0, 4 - pitch.octave))
  return sign + (high ? letter.toLowerCase() : letter) + marks
}

/** Whether the letter has an accidental of its own earlier in the bar. */
function isAltered(before: string, letter: string): boolean {
  const bar = /[^|]*$/.exec(before.replaceAll(/"[^"]*"/g, ''))?.[0] ?? ''
  return new RegExp(`[_=^]${letter}`, 'i').test(bar)
}
