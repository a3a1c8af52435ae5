/** An ABC 2.1 tune into written bars. Source: the ABC music standard 2.1 (December 2011). */
import { LIMITS, must } from '../../units/index.js'
import { type IssueList, Unreadable } from '../issue-list.js'
import { LeftOut, shownWords } from '../left-out.js'
import { expandParts } from '../part-sequence.js'
import type { WrittenTune } from '../written.js'
import { AbcBars } from './abc-bars.js'
import { danceTempo } from './abc-dances.js'
import { defaultUnit, readAbcTempo } from './abc-fields.js'
import { AbcHead, placeOf } from './abc-head.js'
import { type AbcKey, readAbcKey, readStaff } from './abc-key.js'
import { layLyrics } from './abc-lyrics.js'
import { decodeAbcText } from './abc-text.js'
import { tokenizeAbc } from './abc-tokens.js'
import { transposeWritten } from '../transpose-written.js'
import { type AbcFile, type AbcLine, type AbcTune, splitAbc } from './abc-tunes.js'
import { said } from '../said.js'

/** Fields that may stand on a line of their own inside the music (section 3, table of fields). */
const BODY_FIELDS = 'IKLMmNPQRrsTUVWw'

export function readAbc(text: string, issues: IssueList, tuneNumber?: number): WrittenTune {
  const file = splitAbc(text)
  const tune = chooseTune(file, issues, tuneNumber)
  return new AbcReader(file.head, tune.lines, issues).read()
}

function chooseTune(file: AbcFile, issues: IssueList, tuneNumber: number | undefined): AbcTune {
  const numbers = file.tunes.map((tune) => tune.number ?? 0)
  const chosen = tuneNumber === undefined ? file.tunes[0] : file.tunes.find((tune) => tune.number === tuneNumber)
  if (!chosen && tuneNumber !== undefined && file.tunes.length === 1 && file.tunes[0]?.number === undefined)
    throw new Unreadable('RD2', 'file', said`This file has one tune without a number; tune ${tuneNumber} is not in it.`)
  if (!chosen)
    throw new Unreadable(
      'RD2',
      'file',
      said`Tune ${tuneNumber ?? ''} is not in this file; it has ${numbers.slice(0, 40).join(', ')}.`,
    )
  if (tuneNumber === undefined && file.tunes.length > 1)
    issues.add(
      'RD2',
      'note',
      'file',
      said`This file has ${file.tunes.length} tunes (${numbers.slice(0, 12).join(', ')}${numbers.length > 12 ? ' …' : ''}); the first was read. Choose another by its number.`,
    )
  const stray = file.stray[0]
  if (stray && file.tunes.length === 1)
    issues.add(
      'RD3',
      'warning',
      `line/${stray.number}`,
      said`Line ${stray.number}: an empty line ended the tune, so this and what follows was not read. Take the empty line out if it belongs to the tune.`,
    )
  return chosen
}

class AbcReader {
  readonly #head: AbcHead
  readonly #leftOut = new LeftOut()
  #bars: AbcBars | undefined
  #voice: string | undefined
  #hasFields = false
  #tokenCount = 0
  #isContinued = false
  #hadLyrics = false

  constructor(
    readonly fileHead: readonly AbcLine[],
    readonly lines: readonly AbcLine[],
    readonly issues: IssueList,
  ) {
    this.#head = new AbcHead(issues, this.#leftOut)
  }

  read(): WrittenTune {
    for (const line of this.fileHead) this.#fileHeadLine(line)
    for (const line of joinedFields(this.lines)) {
      if (line.text.length > LIMITS.abcLine)
        throw new Unreadable(
          'RD10',
          `line/${line.number}`,
          said`Line ${line.number} has more than ${LIMITS.abcLine} characters; break it into lines of a few bars.`,
        )
      const text = withoutComment(line.text)
      if (line.text.startsWith('%%') || line.text.startsWith('I:')) this.#directive(line)
      else if (text.trim() === '') continue
      else if (this.#bars) this.#bodyLine({ ...line, text }, this.#bars)
      else this.#headLine({ ...line, text })
    }
    const lastLine = this.lines.at(-1)?.number ?? 1
    if (!this.#bars)
      throw new Unreadable(
        'RD1',
        `line/${lastLine}`,
        said`No tune was found: an ABC tune needs a K: line (its key) and music after it.`,
      )
    return this.#result(this.#bars, lastLine)
  }

  #result(bars: AbcBars, lastLine: number): WrittenTune {
    const head = this.#head
    const written = bars.finish(lastLine)
    const shift = this.#startKey.transposeSemitones
    const tempo = head.tempo && readAbcTempo(head.tempo.text, this.#startUnit)
    if (head.tempo) this.#tempoWords(head.tempo)
    this.#leftOut.tell(this.issues)
    if (head.tempo && tempo === undefined)
      this.issues.add(
        'RD3',
        'note',
        `line/${head.tempo.number}`,
        said`Line ${head.tempo.number}: tempo '${head.tempo.text.slice(0, 40)}' could not be read; write Q:1/4=120.`,
      )
    const danced = typeof tempo === 'number' ? {} : this.#danced()
    const order = head.order && expandParts(head.order.text)
    if (head.order && !order)
      this.issues.add(
        'RD8',
        'warning',
        `line/${head.order.number}`,
        said`Line ${head.order.number}: the order of parts '${head.order.text.slice(0, 40)}' could not be read; write P:AABA.`,
      )
    return {
      format: 'abc',
      title: head.title,
      ...(head.composer ? { composer: head.composer } : {}),
      rights: head.rights,
      ...(typeof tempo === 'number' ? { tempoBpm: tempo } : danced),
      bars: shift === 0 ? written : transposeWritten(written, shift),
      ...(order ? { partOrder: order } : {}),
    }
  }

  /** A tune without a tempo is played at its dance's, and the band is told. */
  #danced(): { readonly tempoBpm?: number } {
    const { dance, metre } = this.#head
    const found = dance && danceTempo(dance.text, metre)
    if (!found) return {}
    const text = said`Line ${dance.number}: no tempo is given; a ${found.name}'s is taken, ${found.beat}=${found.perMinute}. Write Q: for another.`
    this.issues.add('RD30', 'note', `line/${dance.number}`, text)
    return { tempoBpm: found.tempoBpm }
  }

  /** 'Allegro' beside or instead of the number. */
  #tempoWords(line: AbcLine): void {
    for (const [, words] of line.text.matchAll(/"([^"]{1,200})"/g))
      this.#leftOut.add('words', shownWords(decodeAbcText(words as string)), placeOf(line))
  }

  #startKey: AbcKey = readAbcKey('C')
  #startUnit = 2520

  /** Before the first tune only what holds for every tune is taken; the rest is free text. */
  #fileHeadLine(line: AbcLine): void {
    if (line.text.startsWith('%%')) this.#directive(line)
    const field = /^([MLC]):(.{0,200})$/.exec(line.text)
    if (field) this.#head.field(field[1] as string, (field[2] as string).trim(), line)
  }

  #headLine(line: AbcLine): void {
    const field = /^([A-Za-z]):(.*)$/.exec(line.text)
    if (!field) {
      if (!this.#hasFields)
        throw new Unreadable(
          'RD1',
          `line/${line.number}`,
          said`Line ${line.number}: this is no ABC tune; one begins with X:1, T: its title and K: its key.`,
        )
      this.issues.add(
        'RD3',
        'warning',
        `line/${line.number}`,
        said`Line ${line.number}: music begins before any K: line; it is read in C major. Put K: and the key before it.`,
      )
      this.#startBody(readAbcKey('C'))
      this.#musicLine(line, must(this.#bars, 'the body has begun'))
      return
    }
    this.#hasFields = true
    const letter = field[1] as string
    const text = (field[2] as string).trim()
    if (letter === 'K') this.#startBody(this.#head.readKey(text, line.number))
    else this.#head.field(letter, text, line)
  }

  #startBody(key: AbcKey): void {
    const head = this.#head
    const { metre } = head
    const unitTicks = head.unitTicks ?? defaultUnit(metre)
    const staff = readStaff(head.voiceText)
    this.#startKey = {
      ...key,
      octaveShift: key.octaveShift || staff.octaveShift,
      transposeSemitones: key.transposeSemitones || staff.transposeSemitones,
    }
    this.#startUnit = unitTicks
    if (metre === 'free')
      this.issues.add(
        'RD3',
        'note',
        'file',
        said`The tune has no metre (M:), which is free time: every bar is read as long as what stands in it.`,
      )
    this.#bars = new AbcBars(this.issues, this.#leftOut, {
      key: this.#startKey,
      metre: metre === 'free' ? undefined : metre,
      unitTicks,
    })
    this.#bars.propagate = head.propagate
  }

  /** Octave and transposition of the first voice, where they are said in the body. */
  #voiceStaff(text: string, bars: AbcBars): void {
    if (this.#voice !== this.#head.voices[0]) return
    const staff = readStaff(text.replace(/^\S+/, ''), bars.key)
    if (bars.isEmpty) this.#startKey = { ...this.#startKey, transposeSemitones: staff.transposeSemitones }
    bars.key = { ...bars.key, ...staff }
  }

  #directive(line: AbcLine): void {
    this.#head.directive(line)
    if (this.#bars) this.#bars.propagate = this.#head.propagate
  }

  #bodyLine(line: AbcLine, bars: AbcBars): void {
    const field = /^([A-Za-z]):(.*)$/.exec(line.text)
    if (!field || !BODY_FIELDS.includes(field[1] as string)) {
      this.#musicLine(line, bars)
      return
    }
    this.#bodyField(field[1] as string, (field[2] as string).trim(), line.number, bars)
  }

  #bodyField(letter: string, text: string, lineNumber: number, bars: AbcBars): void {
    if (letter === 'V') {
      this.#voice = /^\S+/.exec(text)?.[0]
      this.#head.declareVoice(text)
      this.#voiceStaff(text, bars)
      return
    }
    if (this.#skipsVoice(lineNumber)) return
    const path = `line/${lineNumber}`
    switch (letter) {
      case 'K':
        bars.key = this.#head.readKey(text, lineNumber, bars.key)
        break
      case 'I':
        this.#directive({ text: `I:${text}`, number: lineNumber })
        break
      case 'T':
      case 'W':
        this.#head.field(letter, text, { text, number: lineNumber })
        break
      case 'U':
        this.#head.ownSign(text, { text, number: lineNumber })
        break
      case 'M': {
        const metre = this.#head.readMetre(text, lineNumber)
        bars.metre = metre === 'free' ? undefined : metre
        break
      }
      case 'L':
        bars.unitTicks = this.#head.readLength(text, lineNumber) ?? bars.unitTicks
        break
      case 'Q':
        if (bars.isEmpty) this.#head.tempo = { text, number: lineNumber }
        else
          this.issues.addOnce(
            'tempo',
            'RD9',
            'note',
            path,
            said`Line ${lineNumber}: a tune has one tempo; the change is left to the arrangement.`,
          )
        break
      case 'P':
        if (text) bars.label(decodeAbcText(text))
        break
      case 'w':
        this.#lyrics(text, lineNumber, bars)
        break
      case 's':
      case 'm':
        this.issues.addOnce(
          `field ${letter}`,
          'RD3',
          'note',
          path,
          said`Line ${lineNumber}: ${letter}: lines are not used; put chord symbols in quotes before their note.`,
        )
        break
      default:
    }
  }

  #lyrics(text: string, lineNumber: number, bars: AbcBars): void {
    if (this.#hadLyrics) {
      this.issues.addOnce(
        'verses',
        'RD12',
        'note',
        `line/${lineNumber}`,
        said`Line ${lineNumber}: only the first verse is kept under the notes.`,
      )
      return
    }
    this.#hadLyrics = true
    if (!layLyrics(text, bars.lineNotes))
      this.issues.add(
        'RD12',
        'note',
        `line/${lineNumber}`,
        said`Line ${lineNumber}: there are more syllables than notes in the music line before; the last were left out.`,
      )
  }

  #musicLine(line: AbcLine, bars: AbcBars): void {
    if (this.#skipsVoice(line.number) && !line.text.includes('[V:')) return
    if (!this.#isContinued) {
      bars.lineNotes = []
      this.#hadLyrics = false
    }
    this.#isContinued = /\\\s*$/.test(line.text)
    const tokens = tokenizeAbc(line.text, this.#head.signs)
    this.#tokenCount += tokens.length
    if (this.#tokenCount > LIMITS.abcTokens)
      throw new Unreadable(
        'RD10',
        `line/${line.number}`,
        said`Line ${line.number}: more than ${LIMITS.abcTokens} notes and signs; save the one tune by itself.`,
      )
    for (const token of tokens) {
      if (token.kind === 'field') {
        if ('IKLMPQRVmrUN'.includes(token.letter)) this.#bodyField(token.letter, token.text.trim(), line.number, bars)
        else
          this.issues.addOnce(
            `inline ${token.letter}`,
            'RD3',
            'note',
            `line/${line.number}/column/${token.column}`,
            said`Line ${line.number}: [${token.letter}:] inside the music is not known and was skipped.`,
          )
      } else if (!this.#skipsVoice(line.number)) bars.take(token, line.number)
    }
  }

  /** True while another voice than the first is being written. */
  #skipsVoice(lineNumber: number): boolean {
    const first = this.#head.voices[0]
    if (this.#voice === undefined || first === undefined || this.#voice === first) return false
    this.issues.addFirst(
      `voice ${this.#voice}`,
      'RD9',
      'note',
      `line/${lineNumber}`,
      said`Line ${lineNumber}: voice ${this.#voice.slice(0, 30)} is not read; the melody is taken from voice ${first.slice(0, 30)}.`,
    )
    return true
  }
}

/** A field that goes on in +: lines, as one line (section 3.3); one beyond the limit is refused where lines are read. */
function joinedFields(lines: readonly AbcLine[]): readonly AbcLine[] {
  const out: AbcLine[] = []
  for (const line of lines) {
    const last = out.at(-1)
    if (!line.text.startsWith('+:') || !last || !/^[A-Za-z]:/.test(last.text)) out.push(line)
    else if (last.text.length <= LIMITS.abcLine)
      out[out.length - 1] = { ...last, text: `${last.text} ${line.text.slice(2).trim()}` }
  }
  return out
}

/** A line without its remark; a % in quotes or behind a backslash is none. */
function withoutComment(text: string): string {
  if (!text.includes('%')) return text
  let isQuoted = false
  for (let at = 0; at < text.length; at++) {
    const sign = text[at]
    if (sign === '"') isQuoted = !isQuoted && text.includes('"', at + 1)
    else if (sign === '\\') at++
    else if (sign === '%' && !isQuoted) return text.slice(0, at)
  }
  return text
}
