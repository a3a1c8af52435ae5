/** The head of a chord's suffix: quality and figure, and what both halves of the grammar write down. */
import type { NoteName } from '../contract/index.js'
import { type ToneSet, toneAt } from './chord-tones.js'
import { figureRun } from './figure-run.js'
import type { NamedKind } from './kinds.js'
import type { Alteration, Quality, SuffixWords } from './suffix-meaning.js'
import { TextCursor, type Trouble, isDigit } from './text-cursor.js'

const NONE: readonly never[] = []
const FIGURES: ReadonlySet<number> = new Set([2, 5, 6, 7, 9, 11, 13, 69])

export class SuffixHead extends TextCursor implements SuffixWords {
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
  protected closers = ''

  // ── quality and figure ─────────────────────────────────────────────────

  protected readQuality(): void {
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
  protected takeSmallCircle(): boolean {
    const sign = this.text[this.at]
    if (sign !== 'o' && sign !== 'O') return false
    return !/^o(?:mit|n *[A-G])/i.test(this.text.slice(this.at, this.at + 6)) && this.skip(1)
  }

  /** Spaces between a word and its figure. */
  protected joinFigure(): void {
    if (this.text[this.at] === ' ' && /^ +\d/.test(this.text.slice(this.at, this.at + 4))) this.skipSpaces()
  }

  /** 'm', 'mi', 'min', 'minor', '-', and their capitals except a lone 'M'. */
  protected takeMinor(): boolean {
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
  protected startsMajorWord(): boolean {
    return /^(?:maj|ma(?!dd|lt|ug))/i.test(this.text.slice(this.at, this.at + 4))
  }

  /** 'major', 'maj', 'ma', 'M', '^' or 'j'; undefined where none stands here. */
  protected takeMajor(): string | undefined {
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
  protected takeMajorSeventhOf(quality: string): void {
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

  protected takeHalfDiminished(): boolean {
    if (this.take('ø')) return true
    return (
      this.word('half-diminished') ||
      this.word('half-dim') ||
      this.word('halfdim') ||
      this.word('hdim') ||
      (this.text[this.at] === 'h' && /^h(?:$|[79/(])/.test(this.text.slice(this.at, this.at + 2)) && this.skip(1))
    )
  }

  protected readFigure(): void {
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
  protected takeRun(): boolean {
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

  // ── what is written down ────

  protected alter(from: number, degree: number, alter: number): void {
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

  protected add(from: number, degree: number, alter: number): void {
    if (toneAt(degree, alter) === 0) return this.fail(from, `no chord adds ${alter ? 'that altered ' : 'a '}${degree}`)
    this.additions = [...this.additions, { at: from, degree, alter }]
  }
}
