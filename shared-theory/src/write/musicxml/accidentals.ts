/** Which accidentals a staff must show: those the key and the bar so far don't say, and a courtesy one in the bar after. */
import { type SpelledPitch, signatureAlter } from '../../units/index.js'

export interface ShownAccidental {
  readonly sign: 'sharp' | 'flat' | 'natural' | 'double-sharp' | 'flat-flat'
  readonly isCourtesy: boolean
}

const SIGNS: { readonly [alter: number]: ShownAccidental['sign'] } = {
  [-2]: 'flat-flat',
  [-1]: 'flat',
  0: 'natural',
  1: 'sharp',
  2: 'double-sharp',
}

/** Keeps one staff's accidentals bar by bar. Lines with the same letter in other octaves count for courtesy only. */
export class AccidentalKeeper {
  private fifths = 0
  private bar = new Map<string, number>()
  private barBefore: ReadonlyMap<number, number> = new Map()
  private reminded = new Set<string>()

  /** Begins a bar under a written key. */
  startBar(fifths: number): void {
    const letters = new Map<number, number>()
    for (const [place, alter] of this.bar) letters.set(Number(place.split(',')[0]), alter)
    this.barBefore = letters
    this.bar = new Map()
    this.reminded = new Set()
    this.fifths = fifths
  }

  /** The sign to print before a note, or undefined; a note tied in from the bar before needs none. */
  show(pitch: SpelledPitch, isTiedIn: boolean): ShownAccidental | undefined {
    if (isTiedIn) return undefined
    const place = `${pitch.step},${pitch.octave}`
    const inForce = this.bar.get(place) ?? signatureAlter(this.fifths, pitch.step)
    const sign = SIGNS[pitch.alter] ?? 'natural'
    if (pitch.alter !== inForce) {
      this.bar.set(place, pitch.alter)
      return { sign, isCourtesy: false }
    }
    if (this.reminded.has(place) || this.bar.has(place)) return undefined
    const elsewhere = [...this.bar].some(
      ([other, alter]) => Number(other.split(',')[0]) === pitch.step && alter !== pitch.alter,
    )
    const before = this.barBefore.get(pitch.step)
    if (!elsewhere && (before === undefined || before === pitch.alter)) return undefined
    this.reminded.add(place)
    return { sign, isCourtesy: true }
  }
}
