/** Builds written bars from ABC tokens: lengths, accidentals, tuplets, broken rhythm, ties, chord symbols, endings. */
import { parseChord } from '../../chords/index.js'
import type { Chord, Metre } from '../../contract/index.js'
import { LIMITS, barTicks, formatPitch, midiOf } from '../../units/index.js'
import { type IssueList, Unreadable } from '../issue-list.js'
import { type LeftOut, type LeftOutPlace, shownWords } from '../left-out.js'
import { readRoadWords } from '../road-words.js'
import type { RoadMarks, WrittenBar } from '../written.js'
import { type AbcEvent, type BarStart, type RawBar, writtenBar } from './abc-bar.js'
import type { AbcKey } from './abc-key.js'
import { decorationName } from './abc-decorations.js'
import { decodeAbcText } from './abc-text.js'
import type { AbcPitch, AbcToken } from './abc-tokens.js'
import { said } from '../said.js'

interface OpenTuplet {
  readonly actual: number
  readonly normal: number
  left: number
}

const EVENTS_PER_BAR = LIMITS.notesPerBar * 16
/** Notes in the time of how many, where only the first figure is written (section 4.13); 5, 7 and 9 depend on the metre. */
const TUPLET_TIME: { readonly [actual: number]: number } = { 2: 3, 3: 2, 4: 3, 6: 2, 8: 3 }

export class AbcBars {
  readonly #bars: RawBar[] = []
  /** Notes since the last lyrics, in order, for w: lines. */
  lineNotes: AbcEvent[] = []
  metre: Metre | undefined
  unitTicks: number
  key: AbcKey
  propagate: 'not' | 'octave' | 'pitch' = 'pitch'
  #label: string | undefined
  #events: AbcEvent[] = []
  #start: BarStart | undefined
  /** Where the first sign after the bar line stands: a chord symbol may come before the first note. */
  #from: string | undefined
  #accidentals = new Map<string, number>()
  #chords: Chord[] = []
  #grace: readonly AbcPitch[] = []
  #tuplet: OpenTuplet | undefined
  #broken = 0
  #ending: readonly number[] | undefined
  #marks: RoadMarks = {}
  #endMarks: RoadMarks = {}
  #carried: { readonly step: number; readonly octave: number; readonly alter: number } | undefined
  #overlay = false

  constructor(
    readonly issues: IssueList,
    readonly leftOut: LeftOut,
    start: { readonly key: AbcKey; readonly metre: Metre | undefined; readonly unitTicks: number },
  ) {
    this.key = start.key
    this.metre = start.metre
    this.unitTicks = start.unitTicks
  }

  /** True until the first note or rest. */
  get isEmpty(): boolean {
    return this.#bars.length === 0 && this.#events.length === 0
  }

  label(text: string): void {
    this.#label = text
  }

  take(token: AbcToken, line: number): void {
    const path = `line/${line}/column/${token.column}`
    if (token.kind === 'quoted') this.#from ??= path
    if (this.#overlay && token.kind !== 'bar') return
    switch (token.kind) {
      case 'note':
        this.#note(token, line, path)
        break
      case 'rest':
        this.#push({ length: token.length * this.unitTicks, tied: false, chords: [], bar: 0 }, line, path)
        break
      case 'bar-rest':
        this.#barRest(token.bars, line, path)
        break
      case 'bar':
        this.#barLine(token.sign, line, path)
        break
      case 'ending':
        this.#ending = token.numbers
        break
      case 'quoted':
        this.#quoted(token.text, line, path)
        break
      case 'decoration':
        this.#decoration(token.name, { place: `line ${line}`, path })
        break
      case 'broken':
        this.#brokenRhythm(token.dots, line, path)
        break
      case 'tuplet':
        this.#startTuplet(token, line, path)
        break
      case 'grace':
        this.#grace = token.pitches
        break
      case 'tie': {
        const last = this.#events.at(-1)
        if (last) last.tied = true
        break
      }
      case 'overlay':
        this.#overlay = true
        this.issues.addOnce(
          'overlay',
          'RD9',
          'warning',
          path,
          said`Line ${line}: a second voice begins with '&'; only the first is read.`,
        )
        break
      case 'unknown':
        this.issues.addOnce(
          `unknown ${line}`,
          'RD4',
          'warning',
          path,
          said`Line ${line}, column ${token.column}: '${token.text}' is not understood there and was skipped; take it out or put it in quotes as a remark.`,
        )
        break
      case 'field':
        break
    }
  }

  /** Ends the last bar where the file forgot to, and hands out all bars. */
  finish(line: number): readonly WrittenBar[] {
    const path = `line/${line}/column/1`
    if (this.#events.length > 0) this.#close(path)
    this.#markLast(this.#endMarks)
    if (this.#grace.length > 0)
      this.leftOut.add('other', 'grace notes with no note after them', { place: `line ${line}`, path })
    if (this.#chords.length > 0)
      this.issues.add(
        'RD5',
        'note',
        path,
        said`Line ${line}: a chord symbol stands after the last note and was left out.`,
      )
    const first = this.#bars[0]
    const length = first?.events.reduce((sum, event) => sum + event.length, 0) ?? 0
    const hasPickup = first?.start.metre !== undefined && length < barTicks(first.start.metre)
    return this.#bars.map((bar, index) => writtenBar(bar, index + (hasPickup ? 0 : 1)))
  }

  #note(token: Extract<AbcToken, { kind: 'note' }>, line: number, path: string): void {
    const sounding = token.pitches.map((pitch) => this.#sound(pitch))
    const grace = this.#grace.map((pitch) => this.#sound(pitch, true))
    this.#grace = []
    const top = sounding.reduce((best, one) => (one.midi > best.midi ? one : best))
    if (token.pitches.length > 1)
      this.issues.addOnce(
        'notes',
        'RD9',
        'note',
        path,
        said`Line ${line}: where notes stand together the top note is read as the melody.`,
      )
    this.#carried = undefined
    const isPlayable = top.midi >= 0 && top.midi <= 127 && Math.abs(top.alter) <= 2
    if (!isPlayable)
      this.issues.add(
        'RD4',
        'warning',
        path,
        said`Line ${line}, column ${token.column}: the note is beyond any instrument and was read as a rest; check its octave marks.`,
      )
    const graceNames = grace.filter((one) => one.midi >= 0 && one.midi <= 127).map((one) => one.name)
    this.#push(
      {
        length: token.length * this.unitTicks,
        ...(isPlayable
          ? { note: { midi: top.midi, name: top.name, ...(graceNames.length > 0 ? { grace: graceNames } : {}) } }
          : {}),
        tied: token.isTied,
        chords: [],
        bar: 0,
      },
      line,
      path,
    )
    if (token.isTied) this.#carried = { step: top.step, octave: top.octave, alter: top.alter }
  }

  /** A written pitch under key, accidentals of the bar, and a tie from the bar before. */
  #sound(
    pitch: AbcPitch,
    isGrace = false,
  ): { midi: number; name: string; step: number; octave: number; alter: number } {
    const slot = this.propagate === 'octave' ? `${pitch.step}:${pitch.octave}` : `${pitch.step}`
    if (pitch.accidental !== undefined && this.propagate !== 'not' && !isGrace)
      this.#accidentals.set(slot, pitch.accidental)
    const tiedOver =
      this.#carried?.step === pitch.step && this.#carried.octave === pitch.octave ? this.#carried.alter : undefined
    const alter = pitch.accidental ?? this.#accidentals.get(slot) ?? tiedOver ?? this.key.alters[pitch.step] ?? 0
    const octave = pitch.octave + this.key.octaveShift
    const spelled = { step: pitch.step, alter: Math.max(-2, Math.min(2, alter)), octave }
    return { midi: midiOf(spelled), name: formatPitch(spelled), step: pitch.step, octave: pitch.octave, alter }
  }

  #push(event: AbcEvent, line: number, path: string): void {
    this.#open(line, path)
    if (event.length <= 0 || !Number.isFinite(event.length)) {
      this.issues.add(
        'RD4',
        'warning',
        path,
        said`Line ${line}: a note of no length was left out; write a length such as 2 or /2.`,
      )
      return
    }
    const tuplet = this.#tuplet
    if (tuplet) {
      event.length = (event.length * tuplet.normal) / tuplet.actual
      tuplet.left--
      if (tuplet.left === 0) this.#tuplet = undefined
    }
    if (this.#broken !== 0) {
      event.length *= shorter(this.#broken)
      this.#broken = 0
    }
    const full: AbcEvent = {
      ...event,
      ...(tuplet ? { tuplet: { actual: tuplet.actual, normal: tuplet.normal } } : {}),
      chords: this.#chords,
      bar: this.#bars.length,
    }
    this.#chords = []
    this.#events.push(full)
    if (full.note) this.lineNotes.push(full)
    if (this.#events.length > EVENTS_PER_BAR)
      throw new Unreadable(
        'RD10',
        path,
        said`Line ${line}: more than ${EVENTS_PER_BAR} notes without a bar line; put the bar lines in.`,
      )
  }

  #open(line: number, path: string): void {
    this.#start ??= { key: this.key, metre: this.metre, path: this.#from ?? path, line }
  }

  /** >: the note before takes from the note after; <: the other way round. */
  #brokenRhythm(dots: number, line: number, path: string): void {
    const before = this.#events.at(-1)
    if (!before) {
      this.issues.add(
        'RD4',
        'warning',
        path,
        said`Line ${line}: '>' or '<' needs a note before it in the same bar; it was skipped.`,
      )
      return
    }
    before.length *= shorter(-dots)
    this.#broken = dots
  }

  #startTuplet(token: Extract<AbcToken, { kind: 'tuplet' }>, line: number, path: string): void {
    const { actual } = token
    const isCompound =
      this.metre !== undefined && this.metre.beatType >= 8 && this.metre.beats % 3 === 0 && this.metre.beats > 3
    const normal = token.normal ?? TUPLET_TIME[actual] ?? (isCompound ? 3 : 2)
    const left = token.notes ?? actual
    if (actual < 2 || normal < 1 || left < 1) {
      this.issues.add(
        'RD4',
        'warning',
        path,
        said`Line ${line}: '(${actual}' is no tuplet; write (3 before three notes in the time of two.`,
      )
      return
    }
    this.#tuplet = { actual, normal, left }
  }

  /** A tuplet does not go on over a bar line. */
  #endTuplet(line: number, path: string): void {
    const open = this.#tuplet
    if (!open) return
    this.#tuplet = undefined
    this.issues.add(
      'RD4',
      'warning',
      path,
      said`Line ${line}: the tuplet '(${open.actual}' lacks ${open.left} of its notes before the bar line; the next bar is read plain.`,
    )
  }

  #quoted(text: string, line: number, path: string): void {
    const plain = text.trim()
    const road = readRoadWords(plain.replace(/^[\^_<>@]\s*/, ''))
    if (road) {
      this.#road(road)
      return
    }
    if (/^[\^_<>@]/.test(plain)) {
      const words = decodeAbcText(plain.slice(1).replace(plain.startsWith('@') ? /^[-\d.,\s]*/ : /^\s*/, ''))
      if (words) this.leftOut.add('words', shownWords(words), { place: `line ${line}`, path })
      return
    }
    if (plain === '') return
    const alternate = /^(.{1,40}?)\(([A-G][^()]{0,40})\)$/.exec(plain)
    const whole = parseChord(plain)
    const chord = whole.ok || !alternate ? whole : parseChord(alternate[1] as string)
    if (!chord.ok) {
      const why = chord.issues[0]?.message ?? 'not a chord symbol'
      this.issues.add(
        'RD5',
        'warning',
        path,
        said`Line ${line}: chord '${plain.slice(0, LIMITS.chordSymbol)}' could not be read: ${why} Write it another way, or as a remark: "^${plain.slice(0, 20)}".`,
      )
      return
    }
    if (!whole.ok)
      this.issues.add(
        'RD5',
        'note',
        path,
        said`Line ${line}: of '${plain}' the first chord was read, the other left out.`,
      )
    this.#chords.push(chord.value)
    if (this.#chords.length > LIMITS.chordsPerBar)
      throw new Unreadable(
        'RD10',
        path,
        said`Line ${line}: more than ${LIMITS.chordsPerBar} chord symbols in one place.`,
      )
  }

  /** A mark of the way through the piece, or one for playing, which is told. */
  #decoration(name: string, at: LeftOutPlace): void {
    const marks = readRoadWords(name)
    if (marks) this.#road(marks)
    else this.leftOut.add('marks', decorationName(name), at)
  }

  #road(marks: RoadMarks): void {
    const { segno, coda, ...atEnd } = marks
    if (segno) this.#marks = { ...this.#marks, segno }
    if (coda) this.#marks = { ...this.#marks, coda }
    // Decorations stand before their note: the mark belongs to the bar that is open or about to open, else to the one just closed.
    this.#endMarks = { ...this.#endMarks, ...atEnd }
  }

  #barRest(count: number, line: number, path: string): void {
    const full = this.metre ? barTicks(this.metre) : 4 * this.unitTicks
    if (count > LIMITS.tuneBars)
      throw new Unreadable('RD10', path, said`Line ${line}: ${count} bars of rest are more than a tune may have.`)
    for (let at = 0; at < count; at++) {
      if (at > 0) this.#close(path)
      this.#push({ length: full, tied: false, chords: [], bar: 0 }, line, path)
    }
  }

  #barLine(sign: string, line: number, path: string): void {
    this.#overlay = false
    this.#accidentals.clear()
    this.#endTuplet(line, path)
    if (this.#events.length === 0 && this.#chords.length > 0) this.#chordsOnly(line, path)
    if (this.#events.length > 0) this.#close(path)
    const ends = /^:+/.exec(sign)?.[0].length ?? 0
    const starts = /:+$/.exec(sign)?.[0].length ?? 0
    const isBoth = ends === sign.length
    if (ends > 0) this.#markLast({ repeatEnd: isBoth ? 2 : ends + 1 })
    if (starts > 0) this.#marks = { ...this.#marks, repeatStart: true }
    if (sign === ':')
      this.issues.add('RD4', 'note', path, said`Line ${line}: ':' alone was read as the end of a repeat; write ':|'.`)
    if (ends > 0 || starts > 0 || /\|\||\]|\[/.test(sign)) this.#ending = undefined
    this.#markLast(this.#endMarks)
    this.#endMarks = {}
  }

  /** A bar with chord symbols and no notes: silence under evenly spread chords. */
  #chordsOnly(line: number, path: string): void {
    this.#push(
      { length: this.metre ? barTicks(this.metre) : 4 * this.unitTicks, tied: false, chords: [], bar: 0 },
      line,
      path,
    )
  }

  #markLast(marks: RoadMarks): void {
    const last = this.#bars.at(-1)
    if (last) last.marks = { ...last.marks, ...marks }
  }

  #close(path: string): void {
    const start = this.#start
    if (!start) return
    this.#bars.push({
      start,
      events: this.#events,
      ...(this.#label ? { label: this.#label } : {}),
      marks: { ...this.#marks, ...(this.#ending ? { ending: this.#ending } : {}), ...this.#endMarks },
    })
    this.#label = undefined
    this.#marks = {}
    this.#endMarks = {}
    this.#events = []
    this.#start = undefined
    this.#from = undefined
    if (this.#bars.length > LIMITS.tuneBars)
      throw new Unreadable('RD10', path, said`Line ${start.line}: more than ${LIMITS.tuneBars} bars; is this one tune?`)
  }
}

/** Factor of the second note of a broken pair: '>' ½, '>>' ¼, '<' 1½, '<<' 1¾. */
function shorter(dots: number): number {
  const part = 2 ** -Math.abs(dots)
  return dots > 0 ? part : 2 - part
}
