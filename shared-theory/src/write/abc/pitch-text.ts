/** Pitches and lengths in ABC letters, with accidentals that every reader takes the same way. */
import { must, parsePitch, signatureAlter } from '../../units/index.js'

const SIGNS: { readonly [alter: number]: string } = { [-2]: '__', [-1]: '_', 0: '=', 1: '^', 2: '^^' }
/** L:1/8. */
const UNIT_TICKS = 2520

/** Accidentals already written in a bar. Readers differ on whether one holds in other octaves; where they would differ it is written. */
export class BarAccidentals {
  readonly #inOctave = new Map<string, number>()
  readonly #anywhere = new Map<number, number>()

  constructor(readonly fifths: number) {}

  text(pitch: string): string {
    const { step, alter, octave } = must(parsePitch(pitch), `'${pitch}' is a pitch`)
    const signed = signatureAlter(this.fifths, step)
    const place = `${step}:${octave}`
    const isKnown = (this.#inOctave.get(place) ?? signed) === alter && (this.#anywhere.get(step) ?? signed) === alter
    if (!isKnown) {
      this.#inOctave.set(place, alter)
      this.#anywhere.set(step, alter)
    }
    return `${isKnown ? '' : SIGNS[alter]}${letterText(step, octave)}`
  }
}

function letterText(step: number, octave: number): string {
  const letter = 'CDEFGAB'[step] as string
  return octave >= 5 ? letter.toLowerCase() + "'".repeat(octave - 5) : letter + ','.repeat(4 - octave)
}

/** Ticks as a multiple of L:1/8: 5040 → '2', 1260 → '/2', 3780 → '3/2'. */
export function lengthText(ticks: number): string {
  const divisor = greatestCommonDivisor(ticks, UNIT_TICKS)
  const over = ticks / divisor
  const under = UNIT_TICKS / divisor
  return `${over === 1 && under !== 1 ? '' : over === 1 ? '' : over}${under === 1 ? '' : `/${under}`}`
}

function greatestCommonDivisor(a: number, b: number): number {
  return b === 0 ? a : greatestCommonDivisor(b, a % b)
}
