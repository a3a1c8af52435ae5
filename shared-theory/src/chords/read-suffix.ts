/** The grammar of what follows a chord's root: after quality and figure the alterations, additions, omissions and the slash bass. */
import { T, listTones, toneAt, toneName } from './chord-tones.js'
import { NAMED_KINDS } from './kinds.js'
import { readNote, readSmallNote } from './read-note.js'
import { SuffixHead } from './suffix-head.js'
import { type Suffix, meaningOf } from './suffix-meaning.js'
import { type Trouble, isDigit } from './text-cursor.js'

const CLOSERS: { readonly [opener: string]: string } = { '(': ')', '[': ']', '{': '}' }
const BRACKETED_QUALITY = /^\((?:dim|aug|m(?!a)|o(?![mnt])|ø)/

/** Reads `text` from `start` to its end. Total: whatever it cannot read becomes a trouble at its place. */
export function readSuffix(text: string, start: number): Suffix | Trouble {
  const reader = new SuffixReader(text, start)
  reader.read()
  return reader.trouble ?? meaningOf(reader)
}

export function isTrouble(value: Suffix | Trouble): value is Trouble {
  return 'message' in value
}

class SuffixReader extends SuffixHead {
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
