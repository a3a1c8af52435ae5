/** The head of an ABC tune: what its fields and instructions say before the music (ABC standard 2.1, section 3.1). */
import type { Metre, Tune } from '../../contract/index.js'
import type { IssueList } from '../issue-list.js'
import { type LeftOut, type LeftOutPlace, shownWords } from '../left-out.js'
import type { AbcBars } from './abc-bars.js'
import { readAbcMetre, readNoteLength } from './abc-fields.js'
import { type AbcKey, readAbcKey } from './abc-key.js'
import { decodeAbcText } from './abc-text.js'
import type { AbcLine } from './abc-tunes.js'
import { said } from '../said.js'

const RIGHTS: readonly Tune['rights'][] = ['own', 'public-domain', 'licensed', 'unknown']
/** Voices told apart in one tune. */
const MOST_VOICES = 64
const MOST_SIGNS = 64
export const placeOf = ({ number }: { readonly number: number }): LeftOutPlace => ({
  place: `line ${number}`,
  path: `line/${number}`,
})

export class AbcHead {
  title = ''
  composer = ''
  rights: Tune['rights'] = 'unknown'
  metre: Metre | 'free' = 'free'
  unitTicks: number | undefined
  tempo: AbcLine | undefined
  /** The kind of dance (R:). */
  dance: AbcLine | undefined
  order: AbcLine | undefined
  propagate: AbcBars['propagate'] = 'pitch'
  /** In the order they are first named; the first is read. */
  readonly voices: string[] = []
  /** What V: says of the first voice. */
  voiceText = ''

  /** Letters the file gives a meaning (U:). */
  readonly signs = new Map<string, string>()

  constructor(
    readonly issues: IssueList,
    readonly leftOut: LeftOut,
  ) {}

  /** Any field but K:, which ends the head. */
  field(letter: string, text: string, line: AbcLine): void {
    switch (letter) {
      case 'T':
        if (this.title) this.leftOut.add('other', `the further title ${shownWords(decodeAbcText(text))}`, placeOf(line))
        else this.title = decodeAbcText(text)
        break
      case 'C':
        this.composer = [this.composer, decodeAbcText(text)].filter(Boolean).join(', ')
        break
      case 'W':
        this.leftOut.add('other', 'words after the tune (W:)', placeOf(line))
        break
      case 'M':
        this.metre = this.readMetre(text, line.number)
        break
      case 'L':
        this.unitTicks = this.readLength(text, line.number)
        break
      case 'Q':
        this.tempo = { text, number: line.number }
        break
      case 'R':
        this.dance ??= { text, number: line.number }
        break
      case 'P':
        this.order = { text, number: line.number }
        break
      case 'V':
        this.declareVoice(text)
        break
      case 'U':
        this.ownSign(text, line)
        break
      case 'm':
        this.issues.addOnce(
          'field m',
          'RD3',
          'note',
          `line/${line.number}`,
          said`Line ${line.number}: m: (a macro) is not used; write the music out.`,
        )
        break
      default:
        if (!'XABDFGHNOSZrsWw+'.includes(letter))
          this.issues.add(
            'RD3',
            'note',
            `line/${line.number}`,
            said`Line ${line.number}: field '${letter}:' is not known and was skipped.`,
          )
    }
  }

  /** U: T = !trill! */
  ownSign(text: string, line: AbcLine): void {
    const [, sign, given] = /^([~H-Yh-w])\s*=\s*(\S.{0,60})$/.exec(text) ?? []
    if (sign && given && this.signs.size < MOST_SIGNS) this.signs.set(sign, given.trim())
    else
      this.issues.addOnce(
        'field U',
        'RD3',
        'note',
        `line/${line.number}`,
        said`Line ${line.number}: U: '${text.slice(0, 30)}' gives no sign a meaning; write U: T = !trill!.`,
      )
  }

  readMetre(text: string, lineNumber: number): Metre | 'free' {
    const metre = readAbcMetre(text)
    if (metre) return metre
    this.issues.add(
      'RD3',
      'warning',
      `line/${lineNumber}`,
      said`Line ${lineNumber}: metre '${text.slice(0, 40)}' can't be counted; 4/4 is taken. Write M:3/4, M:6/8, M:C …`,
    )
    return { beats: 4, beatType: 4 }
  }

  readLength(text: string, lineNumber: number): number | undefined {
    const ticks = readNoteLength(text)
    if (ticks === undefined)
      this.issues.add(
        'RD3',
        'warning',
        `line/${lineNumber}`,
        said`Line ${lineNumber}: note length '${text.slice(0, 40)}' can't be read; write L:1/8.`,
      )
    return ticks
  }

  readKey(text: string, lineNumber: number, before?: AbcKey): AbcKey {
    this.#clef(text, lineNumber)
    const key = readAbcKey(text, before)
    if (key.problem)
      this.issues.add('RD11', 'warning', `line/${lineNumber}`, said`Line ${lineNumber}, K: ${key.problem}`)
    return key
  }

  #clef(text: string, lineNumber: number): void {
    if (/(?:^|[\s=])perc/i.test(text))
      this.leftOut.add('other', 'the percussion clef (notes are read at their pitch)', placeOf({ number: lineNumber }))
  }

  declareVoice(text: string): void {
    const [, id, rest] = /^(\S+)\s*(.*)$/.exec(text) ?? []
    if (!id) return
    if (this.voices.length === 0) this.voiceText = rest ?? ''
    if (!this.voices.includes(id) && this.voices.length < MOST_VOICES) this.voices.push(id)
  }

  /** A %% or I: line. */
  directive(line: AbcLine): void {
    const text = line.text.replace(/^(%%|I:)\s*/, '')
    const rights = /^rights\s+(\S+)/i.exec(text)?.[1]
    const propagate = /^propagate-accidentals\s+(not|octave|pitch)/.exec(text)?.[1]
    if (rights) {
      const known = RIGHTS.find((one) => one === rights.toLowerCase())
      if (known) this.rights = known
      else
        this.issues.add(
          'RD3',
          'note',
          `line/${line.number}`,
          said`Line ${line.number}: rights '${rights.slice(0, 40)}' is none of own, public-domain, licensed, unknown.`,
        )
    } else if (propagate) {
      this.propagate = propagate as AbcBars['propagate']
    } else if (!/^(abc-version|abc-charset|linebreak|decoration|abc-creator)/.test(text))
      this.leftOut.add('instructions', text.split(/\s/, 1)[0]?.slice(0, 30) ?? '', placeOf(line))
  }
}
