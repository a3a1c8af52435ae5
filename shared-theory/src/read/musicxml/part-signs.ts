/** Signs that hold from where they stand on: divisions, key, metre, transposition, tempo. Source: MusicXML 4.0. */
import type { KeySignature, Metre } from '../../contract/index.js'
import { barTicks, keySignatureOf } from '../../units/index.js'
import type { IssueList } from '../issue-list.js'
import { readKeySignature, readTimeSignature } from './signatures.js'
import { type XmlElement, childOf, childrenOf, numberOf } from './xml.js'
import { said } from '../said.js'

export class PartSigns {
  divisions = 1
  /** Undefined: free time. */
  metre: Metre | undefined = { beats: 4, beatType: 4 }
  key: KeySignature = keySignatureOf('C major')
  isModeWritten = true
  isKeyWritten = false
  /** From written to sounding pitch; undefined where nothing said it. */
  transposeSemitones: number | undefined
  tempoBpm: number | undefined
  #waiting: (() => void) | undefined

  constructor(readonly issues: IssueList) {}

  attributes(element: XmlElement, open: { readonly at: number; readonly place: string }): void {
    const divisions = numberOf(element, 'divisions')
    if (divisions !== undefined && divisions > 0) this.divisions = divisions
    const key = childrenOf(element, 'key').find((one) => (one.attributes['number'] ?? '1') === '1')
    const time = childrenOf(element, 'time').find((one) => (one.attributes['number'] ?? '1') === '1')
    const isAtEnd = open.at > 0 && this.metre !== undefined && open.at >= barTicks(this.metre)
    if (isAtEnd) this.#waiting = () => this.#readSigns(key, time, open.place)
    else this.#readSigns(key, time, open.place)
    if (open.at > 0 && !isAtEnd && (key || time))
      this.issues.addOnce(
        'inside',
        'RD3',
        'note',
        `line/${element.line}`,
        key
          ? said`${open.place}: the key changes inside the bar; it is taken for the whole bar.`
          : said`${open.place}: the metre changes inside the bar; it is taken for the whole bar.`,
      )
    const transpose = childOf(element, 'transpose')
    if (!transpose) return
    const semitones = Math.round(
      (numberOf(transpose, 'chromatic') ?? 0) + 12 * (numberOf(transpose, 'octave-change') ?? 0),
    )
    if (Math.abs(semitones) > 48) {
      this.issues.addOnce(
        'far',
        'RD9',
        'warning',
        `line/${transpose.line}`,
        said`Line ${transpose.line}: a transposition of ${semitones} half steps is none an instrument has; the notes are read as they stand.`,
      )
      return
    }
    if (this.transposeSemitones !== undefined && this.transposeSemitones !== semitones)
      this.issues.addOnce(
        'transpose',
        'RD9',
        'warning',
        `line/${transpose.line}`,
        said`Line ${transpose.line}: the part changes instrument; everything is read with the first transposition.`,
      )
    this.transposeSemitones ??= semitones
  }

  #readSigns(key: XmlElement | undefined, time: XmlElement | undefined, place: string): void {
    if (key) this.#readKey(key)
    if (time) this.#readTime(time, place)
  }

  /** Signs after a bar's last note belong to the next bar. */
  startMeasure(): void {
    this.#waiting?.()
    this.#waiting = undefined
  }

  #readKey(element: XmlElement): void {
    const read = readKeySignature(element)
    if (!read) {
      this.issues.add(
        'RD11',
        'warning',
        `line/${element.line}`,
        said`Line ${element.line}: this key signature is none of the usual ones; the one before goes on.`,
      )
      return
    }
    this.key = read.key
    this.isKeyWritten = true
    if (!read.isModeWritten) this.isModeWritten = false
  }

  #readTime(element: XmlElement, place: string): void {
    const metre = readTimeSignature(element)
    if (metre) this.metre = metre === 'free' ? undefined : metre
    if (metre === 'free')
      this.issues.addOnce(
        'free',
        'RD3',
        'note',
        `line/${element.line}`,
        said`${place}: free time (senza misura) is read as bars as long as what stands in them.`,
      )
    if (!metre)
      this.issues.add(
        'RD3',
        'warning',
        `line/${element.line}`,
        said`Line ${element.line}: this time signature can't be counted; the metre before goes on.`,
      )
  }

  setTempo(tempo: number, place: string, element: XmlElement): void {
    if (tempo < 10 || tempo > 600)
      this.issues.addOnce(
        'no tempo',
        'RD3',
        'note',
        `line/${element.line}`,
        said`${place}: a tempo of ${tempo} quarters a minute can't be played; it was left out.`,
      )
    if (tempo < 10 || tempo > 600 || tempo === this.tempoBpm) return
    if (this.tempoBpm === undefined) this.tempoBpm = tempo
    else
      this.issues.addOnce(
        'tempo',
        'RD9',
        'note',
        `line/${element.line}`,
        said`${place}: a tune has one tempo; the change is left to the arrangement.`,
      )
  }
}
