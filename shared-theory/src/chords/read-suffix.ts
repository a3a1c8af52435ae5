/** The grammar of what follows a chord's root: quality, figure, then alterations, additions, omissions and the slash bass. */
import type { NoteName } from '../contract/index.js'
import { T, type ToneSet, toneAt } from './chord-tones.js'
import { NAMED_KINDS, type NamedKind } from './kinds.js'
import { type Alteration, type Quality, type Suffix, type SuffixWords, meaningOf } from './suffix-meaning.js'
import { TextCursor, type Trouble, isDigit } from './text-cursor.js'

const CLOSERS: { readonly [opener: string]: string } = { '(': ')', '[': ']', '{': '}' }
const BRACKETED_QUALITY = /^\((?:dim|aug|m(?!a)|o(?!m|t)|ø)/
const FIGURES: ReadonlySet<number> = new Set([2, 5, 6, 7, 9, 11, 13, 69])

/** Reads `text` from `start` to its end. Total: whatever it cannot read becomes a trouble at its place. */
export function readSuffix(text: string, start: number): Suffix | Trouble {
  const reader = new SuffixReader(text, start)
  reader.read()
  return reader.trouble ?? meaningOf(reader)
}

export function isTrouble(value: Suffix | Trouble): value is Trouble {
  return 'message' in value
}

/** Reads a note name at `at`: letter, then up to two accidentals (b, #, x); undefined where no capital A–G stands there. */
export function readNote(text: string, at: number): { readonly name: NoteName; readonly end: number } | undefined {
  const letter = text.charCodeAt(at)
  if (!(letter >= 65 && letter <= 71)) return undefined
  const sign = text[at + 1]
  if (sign === 'x') return { name: `${text[at]}##`, end: at + 2 }
  if (sign !== 'b' && sign !== '#') return { name: text[at] as string, end: at + 1 }
  const doubled = text[at + 2] === sign
  return { name: text.slice(at, at + (doubled ? 3 : 2)), end: at + (doubled ? 3 : 2) }
}

class SuffixReader extends TextCursor implements SuffixWords {
  quality: Quality = 'major'
  majorSeventh = false
  figure = 0
  suspension: ToneSet = 0
  isAltered = false
  named: NamedKind | undefined
  bass: NoteName | undefined
  private readonly closers: string[] = []
  readonly alterations: Alteration[] = []
  readonly additions: Alteration[] = []
  readonly omissions: Alteration[] = []
  /** The last thing read was an opener or a separator, so that a bare figure is a tension and not more digits. */
  private isApart = false

  read(): void {
    if (this.text[this.at] === ':') this.at++
    // 'C(dim7)', 'C(m7)': the whole suffix in a bracket. '(maj7)', '(b5)', '(9)' are read with the changes below.
    if (BRACKETED_QUALITY.test(this.text.slice(this.at, this.at + 4))) {
      this.closers.push(')')
      this.at++
    }
    this.readQuality()
    if (!this.trouble) this.readFigure()
    while (!this.trouble && this.at < this.text.length) this.readItem()
    if (!this.trouble && this.closers.length > 0)
      this.fail(this.text.length, `a bracket is left open: close it with '${this.closers.at(-1)}'`)
  }

  // ── quality and figure ─────────────────────────────────────────────────

  private readQuality(): void {
    if (this.takeMinor()) {
      this.quality = 'minor'
      this.takeMajorSeventhOf('m')
    } else if (this.word('dim') || (!this.continues('omit') && this.word('o'))) {
      this.quality = 'diminished'
      this.takeMajorSeventhOf('dim')
    } else if (this.takeHalfDiminished()) {
      this.quality = 'half-diminished'
    } else if (this.word('aug') || this.take('+')) {
      this.quality = 'augmented'
      this.takeMajorSeventhOf('aug')
      if (this.text[this.at - 1] === '+' && /^(?:9|11|13)/.test(this.text.slice(this.at, this.at + 2)))
        this.fail(this.at - 1, "'+' here could raise the fifth or the figure after it: write 9#5 or 7#9, 7#11 …")
    } else if (!this.word('dom')) {
      const sign = this.takeMajor()
      this.majorSeventh = sign !== undefined
      if (sign === '^') this.figure = 7
    }
  }

  /** 'm', 'mi', 'min', 'minor', '-', and their capitals except a lone 'M'. */
  private takeMinor(): boolean {
    if (this.take('-')) return true
    const here = this.text.slice(this.at, this.at + 5).toLowerCase()
    if (here === 'minor') return this.skip(5)
    if (here.startsWith('min')) return this.skip(3)
    if (here.startsWith('mi')) return this.skip(2)
    if (this.text[this.at] !== 'm' || this.startsMajorWord()) return false
    return this.skip(1)
  }

  /** 'maj' or 'ma' here, but not the m of 'madd9'. */
  private startsMajorWord(): boolean {
    return /^(?:maj|ma(?!dd|lt|ug))/i.test(this.text.slice(this.at, this.at + 4))
  }

  /** 'major', 'maj', 'ma', 'M', '^' or 'j'; undefined where none stands here. */
  private takeMajor(): string | undefined {
    const sign = this.text[this.at]
    if (sign === '^') {
      this.at++
      return '^'
    }
    if (sign === 'j' && /\d/.test(this.text[this.at + 1] ?? '')) {
      this.at++
      return 'j'
    }
    if (sign !== 'm' && sign !== 'M') return undefined
    if (this.startsMajorWord()) {
      if (!this.word('major') && !this.word('maj')) this.word('ma')
      return 'maj'
    }
    if (sign === 'M' && !/^mi/i.test(this.text.slice(this.at, this.at + 2))) {
      this.at++
      return 'M'
    }
    return undefined
  }

  /** A major sign after another quality speaks of the seventh: 'mMaj7', '°∆', '+M7'. */
  private takeMajorSeventhOf(quality: string): void {
    const from = this.at
    const sign = this.takeMajor()
    if (sign === undefined) return
    this.majorSeventh = true
    if (sign === '^') this.figure = 7
    else if (!isDigit(this.text.charCodeAt(this.at)))
      this.fail(from, `two qualities stand together: write '${quality}Maj7' where the seventh is major`)
  }

  private takeHalfDiminished(): boolean {
    if (this.take('ø')) return true
    return (
      this.word('half-diminished') ||
      this.word('half-dim') ||
      this.word('halfdim') ||
      this.word('hdim') ||
      (this.text[this.at] === 'h' && /^h(?:$|[79/(])/.test(this.text.slice(this.at, this.at + 2)) && this.skip(1))
    )
  }

  private readFigure(): void {
    const from = this.at
    const figure = this.number()
    if (figure === undefined) return
    if (!FIGURES.has(figure)) {
      const mend =
        figure === 4
          ? "write 'sus4' for a fourth instead of the third, 'add11' for both"
          : figure === 24 || figure === 42
            ? "write 'sus2sus4'"
            : 'a chord is figured 5, 6, 6/9, 7, 9, 11 or 13'
      return this.fail(from, `${figure} is no figure of a chord: ${mend}`)
    }
    if (figure === 5 && this.text[from - 1] === '-')
      return this.fail(
        from - 1,
        "'-' after the root means minor: write '(b5)' for a lowered fifth, 'm' for a minor chord",
      )
    if (figure === 5 && (this.quality !== 'major' || this.majorSeventh))
      return this.fail(from, "'5' means root and fifth alone and takes no other quality")
    if (figure === 2 && (this.majorSeventh || (this.quality !== 'major' && this.quality !== 'minor')))
      return this.fail(from, "'2' stands after a plain major or minor chord only: write 'add9' or 'sus2'")
    this.figure = figure
    if (figure === 7 && !this.majorSeventh && (this.quality === 'major' || this.quality === 'minor')) {
      // '7M' and '7maj': the usual spelling of the major seventh in Romance-language charts.
      this.majorSeventh = this.takeMajor() !== undefined
    }
  }

  // ── everything after the figure ────────────────────────────────────────

  private readItem(): void {
    const from = this.at
    const sign = this.text[from] as string
    const apart = this.isApart
    this.isApart = false
    if (sign === ' ' || sign === ',' || sign === ';') {
      this.at++
      this.isApart = true
    } else if (CLOSERS[sign] !== undefined) {
      this.at++
      this.closers.push(CLOSERS[sign])
      this.isApart = true
      this.takeNamed()
    } else if (sign === ')' || sign === ']' || sign === '}') {
      this.at++
      if (this.closers.pop() !== sign) this.fail(from, `'${sign}' closes no bracket`)
    } else if (sign === '/') this.readSlash()
    else if (sign === 'b' || sign === '#') this.readAlteration()
    else if (sign === '+' || sign === '-') this.readSigned(sign)
    else if (sign >= '0' && sign <= '9') this.readBareTension(apart)
    else this.readWord()
  }

  private readSlash(): void {
    const slash = this.at
    let next = slash + 1
    while (this.text[next] === ' ') next++
    const bass = readNote(this.text, next)
    if (!bass) {
      const rest = this.text.slice(next)
      if (rest === '') return this.fail(slash, 'a bass note is missing after the slash')
      if (/^h/i.test(rest)) return this.fail(next, "H is no note here: write 'B' (and 'Bb' for a German B)")
      if (/^[a-g](?:b|#|x)*$/.test(rest))
        return this.fail(next, `bass notes are capital letters: write '/${rest[0]?.toUpperCase()}${rest.slice(1)}'`)
      this.at = slash + 1
      this.isApart = true
      return
    }
    if (this.closers.length > 0) return this.fail(slash, 'close the bracket before the slash bass')
    if (this.text.slice(bass.end).trim() !== '') {
      const lower = this.text.slice(next).trim()
      return this.fail(
        bass.end,
        `a bass is one note; for one chord above another write '${this.text.slice(0, slash).trim()} over ${lower}'`,
      )
    }
    this.bass = bass.name
    this.at = this.text.length
  }

  private readAlteration(): void {
    const from = this.at
    const alter = this.accidentals()
    const degree = this.number()
    if (degree === undefined)
      return this.fail(from, `an accidental needs its figure, as in '${alter < 0 ? 'b9' : '#11'}'`)
    this.alter(from, degree, alter)
  }

  /** '+' and '-' before a figure raise and lower it ('7-9'); a '+' after the figure raises the fifth ('7+'). */
  private readSigned(sign: '+' | '-'): void {
    const from = this.at
    this.at++
    const degree = this.number()
    if (degree !== undefined) {
      if (this.figure === 6 || this.figure === 69)
        return this.fail(from, `'${sign}' after a 6 could join or alter: write '6/9', '6(b9)' or '6(#11)'`)
      return this.alter(from, degree, sign === '+' ? 1 : -1)
    }
    if (sign === '-') return this.fail(from, "'-' here alters nothing: name the figure, as in '7-9' or '7b9'")
    if (this.quality === 'minor' && this.figure > 0)
      return this.fail(from, "'+' after a minor seventh is read two ways: write 'mMaj7' or 'm7#5'")
    this.alter(from, 5, 1)
  }

  private alter(from: number, degree: number, alter: number): void {
    const read = degree === 4 && alter === 1 ? 11 : degree
    if (toneAt(read, alter) === 0 || ![5, 6, 9, 11, 13].includes(read) || (read === 6 && alter !== -1))
      return this.fail(
        from,
        `${alter < 0 ? 'b' : '#'}${degree} is no alteration of a chord: 5, 9, 11 and 13 are altered`,
      )
    if (this.alterations.some((other) => other.degree === read && other.alter === alter))
      return this.fail(from, `${alter < 0 ? 'b' : '#'}${degree} stands twice`)
    this.alterations.push({ at: from, degree: read, alter })
  }

  /** '7(9)', '6/9', '7(9,13)': a natural figure set apart is added. */
  private readBareTension(apart: boolean): void {
    const from = this.at
    const degree = this.number() as number
    if (!apart) return this.fail(from, `${degree} runs into what stands before it: set it apart, as in '7(${degree})'`)
    if (degree === 6 || degree === 9 || degree === 11 || degree === 13) this.add(from, degree, 0)
    else this.fail(from, `${degree} cannot be added like that: 6, 9, 11 and 13 can`)
  }

  private readWord(): void {
    const from = this.at
    if (this.word('add')) this.readAddition(from)
    else if (this.word('sus')) this.readSuspension(from)
    else if (this.word('omit') || this.word('no')) this.readOmission(from)
    else if (this.word('altered') || this.word('alt')) this.readAltered(from)
    else if (this.word('aug')) this.alter(from, 5, 1)
    else {
      const sign = this.takeMajor()
      if (sign !== undefined) this.readLateMajorSeventh(from, sign)
      else this.unreadable(from)
    }
  }

  private readAddition(from: number): void {
    this.skipSpaces()
    if (/^maj7/i.test(this.text.slice(this.at, this.at + 4))) {
      this.at += 4
      return this.add(from, 7, 0)
    }
    const alter = this.accidentals()
    const degree = this.number()
    if (degree === undefined) return this.fail(from, "'add' needs a figure, as in 'add9'")
    if (degree === 7 && alter === 0)
      return this.fail(from, "'add7' leaves open which seventh: write '7' or 'maj7' after the root")
    this.add(from, degree, alter)
  }

  private add(from: number, degree: number, alter: number): void {
    if (toneAt(degree, alter) === 0) return this.fail(from, `no chord adds ${alter ? 'that altered ' : 'a '}${degree}`)
    this.additions.push({ at: from, degree, alter })
  }

  private readSuspension(from: number): void {
    if (this.suspension && !/sus[24]$/.test(this.text.slice(0, from))) return this.fail(from, "'sus' stands twice")
    const figure = this.number()
    if (figure === undefined || figure === 4) {
      this.suspension |= T.fourth
      if (figure === 4 && /^\/2(?!\d)/.test(this.text.slice(this.at))) {
        this.at += 2
        this.suspension |= T.second
      }
    } else if (figure === 2) {
      this.suspension |= T.second
      if (/^\/4(?!\d)/.test(this.text.slice(this.at))) {
        this.at += 2
        this.suspension |= T.fourth
      }
    } else if (figure === 24 || figure === 42) this.suspension |= T.second | T.fourth
    else if (figure === 7 && this.figure === 0) {
      this.suspension |= T.fourth
      this.figure = 7
    } else this.fail(from, `'sus${figure}' is read two ways: write '${figure}sus4' or 'sus4(add${figure})'`)
  }

  private readOmission(from: number): void {
    this.skipSpaces()
    if (this.word('root') || this.take('R')) {
      this.omissions.push({ at: from, degree: 1, alter: 0 })
      return
    }
    const degree = this.number()
    if (degree === undefined) return this.fail(from, "say what is left out, as in 'no3' or 'omit5'")
    if (!this.word('rd') && !this.word('th') && !this.word('nd')) this.word('st')
    this.omissions.push({ at: from, degree, alter: 0 })
  }

  private readAltered(from: number): void {
    if (this.quality !== 'major' || this.majorSeventh || this.suspension || (this.figure !== 0 && this.figure !== 7))
      return this.fail(from, "'alt' belongs to a plain dominant: write '7alt'")
    this.isAltered = true
  }

  private readLateMajorSeventh(from: number, sign: string): void {
    const figure = this.number() ?? (sign === '^' ? 7 : undefined)
    if (this.quality === 'diminished' && this.figure === 7 && figure === 7) return this.add(from, 7, 0)
    if (figure === 7 && this.figure === 6 && !this.majorSeventh) return this.add(from, 7, 0)
    if (
      figure === 7 &&
      this.figure >= 9 &&
      this.figure <= 13 &&
      !this.majorSeventh &&
      this.quality !== 'half-diminished'
    ) {
      // 'm9(maj7)': the figure stands, its seventh is major.
      this.majorSeventh = true
      return
    }
    if (this.figure !== 0 || this.majorSeventh || this.quality === 'half-diminished')
      return this.fail(from, 'this chord already has its seventh')
    if (figure !== 7 && figure !== 9 && figure !== 11 && figure !== 13)
      return this.fail(from, "a major seventh is written 'maj7' (or maj9, maj11, maj13)")
    this.majorSeventh = true
    this.figure = figure
  }

  private takeNamed(): void {
    for (const named of NAMED_KINDS) {
      const end = this.at + named.length
      if (this.text[end] !== ')' || !this.text.startsWith(named, this.at)) continue
      if (this.figure || this.quality !== 'major' || this.alterations.length > 0 || this.additions.length > 0)
        return this.fail(this.at, `'${named}' stands right after the root`)
      this.named = named
      this.at = end
    }
  }

  private unreadable(from: number): void {
    const rest = this.text.slice(from)
    const found = Array.from(rest)[0] ?? ''
    const mend = readNote(this.text, from)
      ? 'one symbol names one chord; a bass note follows a slash, a second chord the word over'
      : 'after the root come a quality (m, maj7, dim, aug, sus4), a figure and its alterations'
    this.fail(from, `'${found}' cannot be read here: ${mend}`)
  }
}
