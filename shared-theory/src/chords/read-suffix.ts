/** The grammar of what follows a chord's root: quality, figure, then alterations, additions, omissions and the slash bass. */
import type { NoteName } from '../contract/index.js'
import { T, type ToneSet, listTones, toneAt, toneName } from './chord-tones.js'
import { figureRun } from './figure-run.js'
import { NAMED_KINDS, type NamedKind } from './kinds.js'
import { type Alteration, type Quality, type Suffix, type SuffixWords, meaningOf } from './suffix-meaning.js'
import { TextCursor, type Trouble, isDigit } from './text-cursor.js'

const CLOSERS: { readonly [opener: string]: string } = { '(': ')', '[': ']', '{': '}' }
const BRACKETED_QUALITY = /^\((?:dim|aug|m(?!a)|o(?![mnt])|ø)/
const NONE: readonly never[] = []
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

/** A bass in small letters, as guitar sheets have it; 'b' alone could be B or B flat and is none. */
function readSmallNote(text: string, at: number): { readonly name: NoteName; readonly end: number } | undefined {
  const found = /^([ac-g](?:bb?|##?)?|bbb?|b##?)(?![\da-z])/.exec(text.slice(at))?.[1]
  if (found === undefined) return undefined
  return { name: found.charAt(0).toUpperCase() + found.slice(1), end: at + found.length }
}

class SuffixReader extends TextCursor implements SuffixWords {
  quality: Quality = 'major'
  majorSeventh = false
  figure = 0
  suspension: ToneSet = 0
  isAltered = false
  named: NamedKind | undefined
  bass: NoteName | undefined
  alterations: readonly Alteration[] = NONE
  additions: readonly Alteration[] = NONE
  omissions: readonly Alteration[] = NONE
  remarks: readonly Trouble[] = NONE
  /** The brackets still open, each by the sign that closes it, innermost last. */
  private closers = ''
  /** The last thing read was an opener or a separator, so that a bare figure is a tension and not more digits. */
  private isApart = false
  private lastSlash = 0

  read(): void {
    const root = this.at
    this.skipSpaces()
    if (this.at > root && /^[b#]/.test(this.text.slice(this.at, this.at + 1)))
      return this.fail(
        this.at,
        "an accidental after a space is read two ways: join it to the root ('Bb9') or bracket it ('B(b9)')",
      )
    if (this.text[this.at] === ':') this.at++
    // 'C(dim7)', 'C(m7)': the whole suffix in a bracket. '(maj7)', '(b5)', '(9)' are read with the changes below.
    if (this.text[this.at] === '(' && BRACKETED_QUALITY.test(this.text.slice(this.at, this.at + 4))) {
      this.closers += ')'
      this.at++
    }
    this.readQuality()
    if (!this.trouble) this.readFigure()
    while (!this.trouble && this.at < this.text.length) this.readItem()
    this.giveSeventhToFlatNinth()
    if (!this.trouble && this.closers.length > 0)
      this.fail(this.text.length, `a bracket is left open: close it with '${this.closers.at(-1)}'`)
  }

  /** 'sus(b9)' is the dominant of the phrygian sound: its seventh goes without saying. Common practice. */
  private giveSeventhToFlatNinth(): void {
    if (this.suspension === 0 || this.figure !== 0 || this.quality !== 'major') return
    const flatNinth = this.alterations.find(({ degree, alter }) => degree === 9 && alter === -1)
    if (!flatNinth) return
    this.figure = 7
    this.remarks = [...this.remarks, { at: flatNinth.at, message: 'read with its seventh, as 7susb9' }]
  }

  // ── quality and figure ─────────────────────────────────────────────────

  private readQuality(): void {
    if (this.takeMinor()) {
      this.quality = 'minor'
      this.takeMajorSeventhOf('m')
    } else if (this.word('dim') || this.takeSmallCircle()) {
      this.quality = 'diminished'
      this.takeMajorSeventhOf('dim')
    } else if (this.takeHalfDiminished()) {
      this.quality = 'half-diminished'
    } else if (this.word('aug') || this.take('+')) {
      this.quality = 'augmented'
      this.takeMajorSeventhOf('aug')
      if (this.text[this.at - 1] === '+' && this.text[this.at] === '5') this.at++
      const figure = /^(?:9|11|13)/.exec(this.text.slice(this.at, this.at + 2))?.[0]
      if (figure !== undefined && (this.text[this.at - 1] === '+' || figure === '11'))
        this.fail(this.at - 1, `raised is here the fifth or the ${figure}: write '${figure}#5' or '7#${figure}'`)
    } else if (this.word('dom')) this.figure = 7
    else {
      const sign = this.takeMajor()
      this.majorSeventh = sign !== undefined
      if (sign === '^') this.figure = 7
    }
    this.joinFigure()
  }

  /** An o for the degree sign, where it does not begin 'omit' or 'on E'. */
  private takeSmallCircle(): boolean {
    const sign = this.text[this.at]
    if (sign !== 'o' && sign !== 'O') return false
    return !/^o(?:mit|n *[A-G])/i.test(this.text.slice(this.at, this.at + 6)) && this.skip(1)
  }

  /** Spaces between a word and its figure. */
  private joinFigure(): void {
    if (this.text[this.at] === ' ' && /^ +\d/.test(this.text.slice(this.at, this.at + 4))) this.skipSpaces()
  }

  /** 'm', 'mi', 'min', 'minor', '-', and their capitals except a lone 'M'. */
  private takeMinor(): boolean {
    if (this.take('-')) return true
    const letter = this.text[this.at]
    if (letter !== 'm' && letter !== 'M') return false
    const here = this.text.slice(this.at, this.at + 5).toLowerCase()
    if (here === 'minor') return this.skip(5)
    if (here.startsWith('min')) return this.skip(3)
    if (here.startsWith('mi')) return this.skip(2)
    if (letter !== 'm' || this.startsMajorWord()) return false
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
    if (this.text[this.at] === ' ' && /^ +maj/i.test(this.text.slice(this.at, this.at + 5))) this.skipSpaces()
    const from = this.at
    const sign = this.takeMajor()
    if (sign === undefined) return
    this.majorSeventh = true
    if (sign !== '^') this.joinFigure()
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
    if (this.takeRun()) return
    const figure = this.number()
    if (figure === undefined) return
    if (this.text[from] === '0')
      return this.fail(from, "0 is no figure of a chord: write '°' or 'dim' for a diminished chord, 'ø' for m7b5")
    if (figure === 67 || figure === 76) {
      this.figure = 7
      return this.add(from, 6, 0)
    }
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
    if (figure === 2) {
      if (this.figure !== 0 || (this.quality !== 'major' && this.quality !== 'minor'))
        return this.fail(from, "'2' stands after a plain major or minor chord only: write 'add9' or 'sus2'")
      this.majorSeventh = false
    }
    this.figure = figure
    if (figure === 6 && /^\/7(?!\d)/.test(this.text.slice(this.at, this.at + 3))) {
      this.at += 2
      this.figure = 7
      return this.add(from, 6, 0)
    }
    this.word('th')
    if (figure === 7 && !this.majorSeventh && (this.quality === 'major' || this.quality === 'minor')) {
      // '7M' and '7maj': the usual spelling of the major seventh in Romance-language charts.
      this.majorSeventh = this.takeMajor() !== undefined
    }
  }

  /** '79♭', '7911♯13': figures in a row. */
  private takeRun(): boolean {
    const run = figureRun(this.text, this.at)
    if (!run) return false
    const from = this.at
    this.figure = run.figure
    this.at += run.length
    const says = run.tensions.map(({ degree, alter }) => {
      if (alter === 0) this.add(from, degree, 0)
      else this.alter(from, degree, alter)
      return `${alter < 0 ? 'b' : alter > 0 ? '#' : ''}${degree}`
    })
    if (run.isOpen)
      this.remarks = [
        ...this.remarks,
        { at: from, message: `each sign is read with the figure before it: ${says.join(', ')}` },
      ]
    return true
  }

  // ── everything after the figure ────────────────────────────────────────

  private readItem(): void {
    const from = this.at
    const sign = this.text[from] as string
    const apart = this.isApart
    this.isApart = false
    if (this.bass !== undefined && !/[ )\]}]/.test(sign))
      return this.fail(from, `a bass is one note; for one chord above another write '${this.twoChords()}'`)
    if (sign === ' ' || sign === ',' || sign === ';') {
      this.at++
      this.isApart = true
    } else if (CLOSERS[sign] !== undefined) {
      this.at++
      this.closers += CLOSERS[sign]
      this.isApart = true
      this.takeNamed()
    } else if (sign === ')' || sign === ']' || sign === '}') {
      this.at++
      if (!this.closers.endsWith(sign)) this.fail(from, `'${sign}' closes no bracket`)
      this.closers = this.closers.slice(0, -1)
    } else if (sign === '/' || sign === '\\') this.readSlash()
    else if (sign === 'b' || sign === '#') this.readAlteration()
    else if (sign === '+' || sign === '-') this.readSigned(sign)
    else if (sign >= '0' && sign <= '9') this.readBareTension(apart)
    else this.readWord()
  }

  private readSlash(): void {
    const slash = this.at
    this.lastSlash = slash
    let next = slash + 1
    while (this.text[next] === ' ') next++
    if (this.text[next] === '(' && readNote(this.text, next + 1)) {
      this.closers += ')'
      next++
    }
    const bass = readNote(this.text, next) ?? readSmallNote(this.text, next)
    if (!bass) {
      const rest = this.text.slice(next)
      if (rest === '') return this.fail(slash, 'a bass note is missing after the slash')
      if (/^h/i.test(rest)) return this.fail(next, "H is no note here: write 'B' (and 'Bb' for a German B)")
      if (rest === 'b') return this.fail(next, "a small b is B or B flat: write '/B' or '/Bb'")
      const figure = /^([b#]?)([1-578])(?![\d+-])/.exec(rest)
      const isBassDegree =
        figure && !(figure[1] === 'b' && figure[2] === '5') && !(figure[1] === '#' && /[45]/.test(rest))
      if (isBassDegree) return this.fail(next, this.bassMend(figure[1] as string, Number(figure[2])))
      this.at = slash + 1
      this.isApart = true
      return
    }
    this.bass = bass.name
    this.at = bass.end
  }

  /** 'D/C7': the slash that stands between two chords. */
  private twoChords(): string {
    return `${this.text.slice(0, this.lastSlash).trim()} over ${this.text.slice(this.lastSlash + 1).trim()}`
  }

  private bassMend(sign: string, figure: number): string {
    const root = readNote(this.text, this.text.search(/[A-G]/))?.name ?? 'C'
    const degree = figure === 8 ? 1 : figure
    const tone = listTones(toneAt(degree, sign === 'b' ? -1 : sign === '#' ? 1 : 0))[0]
    const name = tone ? toneName(root, tone) : root
    const added =
      degree === 2
        ? ", or 'add9' for the second"
        : degree === 4
          ? ", or 'sus4' or 'add11' for the fourth"
          : degree === 7
            ? ', or the seventh without its slash'
            : ''
    return `a bass is named by its note: write '/${name}'${added}`
  }

  private readAlteration(): void {
    const from = this.at
    const alter = this.accidentals()
    if (
      alter === 1 &&
      this.text[this.at] === '7' &&
      (this.quality === 'major' || this.quality === 'minor') &&
      this.figure === 0
    ) {
      // 'm(#7)': the seventh raised from the minor one.
      this.at++
      this.majorSeventh = true
      this.figure = 7
      return
    }
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
      if (degree === 7 && this.quality === 'minor')
        return this.fail(
          from,
          sign === '+'
            ? "'+7' after a minor chord is read two ways: write 'mMaj7' or 'm7#5'"
            : "'-' stands twice: write 'm7'",
        )
      if (this.figure === 6 || this.figure === 69)
        return this.fail(from, `'${sign}' after a 6 could join or alter: write '6/9', '6(b9)' or '6(#11)'`)
      return this.alter(from, degree, sign === '+' ? 1 : -1)
    }
    if (sign === '-') return this.fail(from, "'-' here alters nothing: name the figure, as in '7-9' or '7b9'")
    if (this.quality === 'minor' && this.figure > 0)
      return this.fail(from, "'+' after a minor seventh is read two ways: write 'mMaj7' or 'm7#5'")
    if (this.figure === 11) return this.fail(from, "'+' after 11 is read two ways: write '7#11' or '11#5'")
    if (this.quality === 'augmented') return this.fail(from, "'+' stands twice")
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
    this.alterations = [...this.alterations, { at: from, degree: read, alter }]
  }

  /** '7(9)', '6/9', '7(9,13)': a natural figure set apart is added; '7(9-)', '7/11+': its sign may follow it. */
  private readBareTension(apart: boolean): void {
    const from = this.at
    const run = apart && this.figure === 0 && this.takeRun()
    if (run) return
    const degree = this.number() as number
    if (!apart) return this.fail(from, `${degree} runs into what stands before it: set it apart, as in '7(${degree})'`)
    const sign = /^[-+b#](?!\d)/.exec(this.text.slice(this.at, this.at + 2))?.[0]
    if (sign !== undefined) {
      this.at++
      return this.alter(from, degree, sign === '+' || sign === '#' ? 1 : -1)
    }
    if (degree === 6 || degree === 9 || degree === 11 || degree === 13) return this.add(from, degree, 0)
    const isFirst = this.figure === 0 && this.closers.length > 0
    if (isFirst && degree === 7) {
      this.figure = 7
      return
    }
    if (isFirst && (degree === 2 || degree === 5) && this.quality === 'major') {
      this.figure = degree
      return
    }
    const mend = degree === 4 ? ": write 'sus4' or 'add11'" : ': 6, 9, 11 and 13 can'
    this.fail(from, `${degree} cannot be added like that${mend}`)
  }

  private readWord(): void {
    const from = this.at
    if (this.word('add')) this.readAddition(from)
    else if (this.word('sus')) this.readSuspension(from)
    else if (this.word('omit') || this.word('no')) this.readOmission(from)
    else if (this.word('altered') || this.word('alt')) this.readAltered(from)
    else if (this.word('aug')) this.alter(from, this.number() ?? 5, 1)
    else if (/^dim\d/i.test(this.text.slice(from, from + 4)) && this.word('dim'))
      this.alter(from, this.number() ?? 5, -1)
    else if (this.figure !== 0 && isDigit(this.text.charCodeAt(from - 1)) && this.word('th')) return
    else if (this.takeBassWord()) return
    else {
      const sign = this.takeMajor()
      if (sign !== undefined) this.readLateMajorSeventh(from, sign)
      else this.unreadable(from)
    }
  }

  /** 'C on E', 'C(onE)': the bass as Japanese charts name it. */
  private takeBassWord(): boolean {
    const found = /^on ?(?=[A-G])/.exec(this.text.slice(this.at, this.at + 4))?.[0]
    const bass = found === undefined ? undefined : readNote(this.text, this.at + found.length)
    if (!bass) return false
    this.lastSlash = this.at
    this.bass = bass.name
    this.at = bass.end
    return true
  }

  /** 'add(9)', 'sus (4)': a bracket between a word and its figure. */
  private openAfterWord(): void {
    if (/^ *\([b#]*\d/.test(this.text.slice(this.at, this.at + 6))) {
      this.skipSpaces()
      this.at++
      this.closers += ')'
    } else this.skipSpaces()
  }

  private readAddition(from: number): void {
    this.openAfterWord()
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
    this.additions = [...this.additions, { at: from, degree, alter }]
  }

  private readSuspension(from: number): void {
    if (this.suspension && !/sus[24]$/.test(this.text.slice(0, from))) return this.fail(from, "'sus' stands twice")
    if (/^ *\(?[24](?!\d)/.test(this.text.slice(this.at, this.at + 6))) this.openAfterWord()
    const strange = /^(?:#4|#11|b2)(?!\d)/.exec(this.text.slice(this.at, this.at + 3))?.[0]
    if (strange !== undefined) {
      this.at += strange.length
      this.suspension |= strange === 'b2' ? T.flatNinth : T.augmentedFourth
      return
    }
    if (this.figure === 0 && this.takeRun()) {
      this.suspension |= T.fourth
      return
    }
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
    } else if (figure === 9 || figure === 13) {
      this.suspension |= T.fourth
      if (this.figure !== 0) return this.add(from, figure, 0)
      this.figure = figure
      this.remarks = [...this.remarks, { at: from, message: `read with its seventh, as ${figure}sus4` }]
    } else this.fail(from, `'sus${figure}' names no chord: write 'sus4' or 'sus2', with its figure before it`)
  }

  private readOmission(from: number): void {
    this.openAfterWord()
    if (this.word('root') || this.take('R')) {
      this.omissions = [...this.omissions, { at: from, degree: 1, alter: 0 }]
      return
    }
    const degree = this.number()
    if (degree === undefined) return this.fail(from, "say what is left out, as in 'no3' or 'omit5'")
    if (!this.word('rd') && !this.word('th') && !this.word('nd') && !this.word('st')) this.word('d')
    this.omissions = [...this.omissions, { at: from, degree, alter: 0 }]
    const further = /^ *[,/&+] *(?=[1357](?:[^\d]|$))/.exec(this.text.slice(this.at))?.[0]
    if (further === undefined) return
    this.at += further.length
    this.readOmission(this.at)
  }

  private readAltered(from: number): void {
    if (this.quality !== 'major' || this.majorSeventh || this.suspension || (this.figure !== 0 && this.figure !== 7))
      return this.fail(from, "'alt' belongs to a plain dominant: write '7alt'")
    if (this.figure === 0 && this.text[this.at] === '7') this.at++
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
