/** The chosen part's measures as written bars: one voice of melody, chord symbols, signatures and road map. Source: MusicXML 4.0. */
import { TICKS_PER_QUARTER } from '../../contract/index.js'
import { LIMITS, barTicks } from '../../units/index.js'
import { type IssueList, Unreadable } from '../issue-list.js'
import { LeftOut } from '../left-out.js'
import type { RoadMarks, WrittenBar, WrittenChord, WrittenNote } from '../written.js'
import { type DirectionFacts, readBarline, readDirection, readSound } from './directions.js'
import { readHarmony } from './harmony.js'
import { isFirstStaff, isMelodic, readLyric, voiceOf } from './note-facts.js'
import { PartSigns } from './part-signs.js'
import { readPitch } from './pitch.js'
import { UnreadElements } from './unread-elements.js'
import { type XmlElement, childOf, childrenOf, numberOf } from './xml.js'
import { said } from '../said.js'

export interface PartReading {
  readonly bars: readonly WrittenBar[]
  readonly tempoBpm?: number
  /** Semitones from written to sounding pitch. */
  readonly transposeSemitones: number
  /** False where a signature stood without its mode. */
  readonly isModeWritten: boolean
  readonly isKeyWritten: boolean
}

export function readMeasures(measures: readonly XmlElement[], voice: string, issues: IssueList): PartReading {
  return new MeasureReader(voice, issues).read(measures)
}

interface OpenMeasure {
  readonly element: XmlElement
  readonly place: string
  readonly path: string
  readonly voice: string
  at: number
  longest: number
  /** Start of the last note that was not part of a chord. */
  lastStart: number
  readonly notes: WrittenNote[]
  readonly chords: WrittenChord[]
  marks: RoadMarks
  label: string | undefined
  endsEnding: boolean
}

class MeasureReader {
  readonly #signs: PartSigns
  #ending: readonly number[] | undefined
  #grace: string[] = []
  #waitingLabel: string | undefined
  #number = 0
  readonly #leftOut = new LeftOut()
  readonly #unread = new UnreadElements(this.#leftOut)
  #lastPlace = { place: '', path: 'file' }

  constructor(
    readonly voice: string,
    readonly issues: IssueList,
  ) {
    this.#signs = new PartSigns(issues)
  }

  read(measures: readonly XmlElement[]): PartReading {
    if (measures.length > LIMITS.tuneBars)
      throw new Unreadable(
        'RD10',
        'file',
        said`The part has ${measures.length} bars; a tune may have ${LIMITS.tuneBars}.`,
      )
    const bars = measures.map((measure) => this.#measure(measure))
    if (this.#grace.length > 0) this.#leftOut.add('other', 'grace notes after the last note', this.#lastPlace)
    this.#leftOut.tell(this.issues)
    return {
      bars,
      ...(this.#signs.tempoBpm ? { tempoBpm: this.#signs.tempoBpm } : {}),
      transposeSemitones: this.#signs.transposeSemitones ?? 0,
      isModeWritten: this.#signs.isModeWritten,
      isKeyWritten: this.#signs.isKeyWritten,
    }
  }

  #measure(element: XmlElement): WrittenBar {
    this.#number++
    this.#signs.startMeasure()
    const printed = element.attributes['number'] ?? String(this.#number)
    const open: OpenMeasure = {
      element,
      place: `Bar ${printed} (line ${element.line})`,
      path: `line/${element.line}`,
      voice: this.#voiceIn(element),
      at: 0,
      longest: 0,
      lastStart: 0,
      notes: [],
      chords: [],
      marks: {},
      label: this.#waitingLabel,
      endsEnding: false,
    }
    this.#waitingLabel = undefined
    this.#lastPlace = { place: `bar ${printed}`, path: open.path }
    this.#unread.measure(element, `bar ${printed}`, (note) => isFirstStaff(note) && voiceOf(note) === open.voice)
    for (const child of element.children) this.#child(child, open)
    if (this.#ending && !open.marks.ending) open.marks = { ...open.marks, ending: this.#ending }
    if (open.endsEnding) this.#ending = undefined
    const full = this.#signs.metre ? barTicks(this.#signs.metre) : open.longest
    const notes = withoutOverlap(open.notes)
    const sounding = (list: readonly WrittenNote[]): number =>
      list.reduce((sum, { durationTicks }) => sum + durationTicks, 0)
    if (sounding(notes) < sounding(open.notes))
      this.#leftOut.add('other', 'the end of notes that overlap', this.#lastPlace)
    return {
      metre: this.#signs.metre,
      key: this.#signs.key,
      lengthTicks: open.longest === 0 ? full || 4 * TICKS_PER_QUARTER : Math.round(open.longest),
      notes,
      chords: open.chords.sort((a, b) => a.startTick - b.startTick),
      ...(open.label ? { label: open.label } : {}),
      marks: open.marks,
      path: open.path,
      place: open.place,
    }
  }

  /** The melody's voice, or another one of the first staff where that voice is silent in this bar; that is told. */
  #voiceIn(measure: XmlElement): string {
    const voices = childrenOf(measure, 'note')
      .filter((note) => isMelodic(note) && isFirstStaff(note))
      .map(voiceOf)
    if (voices.includes(this.voice) || voices.length === 0) return this.voice
    const other = voices[0] as string
    this.issues.addOnce(
      'other voice',
      'RD9',
      'note',
      `line/${measure.line}`,
      said`Bar ${measure.attributes['number'] ?? this.#number}: voice ${this.voice} is silent; voice ${other} was read as the melody.`,
    )
    return other
  }

  #child(child: XmlElement, open: OpenMeasure): void {
    switch (child.name) {
      case 'note':
        this.#note(child, open)
        break
      case 'backup':
        this.#back(this.#ticks(child), child, open)
        break
      case 'forward':
        this.#advance(open, this.#ticks(child))
        break
      case 'attributes':
        this.#signs.attributes(child, open)
        break
      case 'harmony':
        this.#harmony(child, open)
        break
      case 'direction':
        this.#direction(readDirection(child), child, open)
        break
      case 'sound':
        this.#direction(readSound(child), child, open)
        break
      case 'barline':
        this.#barline(child, open)
        break
      default:
    }
  }

  #ticks(element: XmlElement): number {
    const duration = numberOf(element, 'duration') ?? 0
    return duration > 0 ? (duration / this.#signs.divisions) * TICKS_PER_QUARTER : 0
  }

  #advance(open: OpenMeasure, ticks: number): void {
    open.at += ticks
    open.longest = Math.max(open.longest, open.at)
    if (open.longest > 64 * TICKS_PER_QUARTER)
      throw new Unreadable(
        'RD10',
        open.path,
        said`${open.place} is longer than 64 quarters; check its durations and divisions.`,
      )
  }

  /** A hair too far is a matter of rounding. */
  #back(ticks: number, element: XmlElement, open: OpenMeasure): void {
    if (ticks > open.at + 1)
      this.issues.addOnce(
        'backup',
        'RD6',
        'warning',
        `line/${element.line}`,
        said`${open.place}, line ${element.line}: the file counts back to before the bar; read from the bar's beginning. Check the durations.`,
      )
    open.at = Math.max(0, open.at - ticks)
  }

  #note(note: XmlElement, open: OpenMeasure): void {
    const isChord = childOf(note, 'chord') !== undefined
    const isMine = isFirstStaff(note) && voiceOf(note) === open.voice
    const pitch = isMine ? this.#pitch(note, open) : undefined
    if (childOf(note, 'grace')) {
      if (pitch && !isChord) this.#grace.push(pitch.name)
      else if (pitch) this.#leftOut.add('other', 'lower notes of grace chords', this.#lastPlace)
      return
    }
    const length = this.#ticks(note)
    const start = isChord ? open.lastStart : open.at
    if (!isChord) {
      open.lastStart = open.at
      this.#advance(open, length)
    }
    if (!isMine && isMelodic(note))
      this.issues.addOnce(
        'voices',
        'RD9',
        'note',
        `line/${note.line}`,
        said`${open.place}: only voice ${open.voice} is read as the melody; the other voices are left out.`,
      )
    if (pitch && length <= 0)
      this.issues.addOnce(
        'no length',
        'RD4',
        'warning',
        `line/${note.line}`,
        said`${open.place}, line ${note.line}: a note of no length was left out; it needs a duration.`,
      )
    if (!pitch || length <= 0) return
    const startTick = Math.round(start)
    const written = this.#written(note, pitch, startTick, Math.round(start + length) - startTick)
    const last = open.notes.at(-1)
    if (isChord && last?.startTick === startTick) {
      this.issues.addOnce(
        'notes',
        'RD9',
        'note',
        `line/${note.line}`,
        said`${open.place}: where notes stand together the top note is read as the melody.`,
      )
      if (written.midi > last.midi)
        open.notes[open.notes.length - 1] = { ...written, ...(last.lyric ? { lyric: last.lyric } : {}) }
    } else open.notes.push(written)
    if (open.notes.length > LIMITS.notesPerBar)
      throw new Unreadable('RD10', open.path, said`${open.place}: more than ${LIMITS.notesPerBar} notes in one bar.`)
  }

  #written(
    note: XmlElement,
    pitch: { midi: number; name: string },
    startTick: number,
    durationTicks: number,
  ): WrittenNote {
    const isTied =
      childrenOf(note, 'tie').some((tie) => tie.attributes['type'] === 'start') ||
      childrenOf(childOf(note, 'notations'), 'tied').some((tied) => tied.attributes['type'] === 'start')
    const change = childOf(note, 'time-modification')
    const actual = numberOf(change, 'actual-notes')
    const normal = numberOf(change, 'normal-notes')
    const lyric = readLyric(note)
    if (childrenOf(note, 'lyric').length > 1)
      this.issues.addOnce(
        'verses',
        'RD12',
        'note',
        `line/${note.line}`,
        said`${this.#placeOf()}: only the first verse is kept under the notes.`,
      )
    const grace = this.#grace
    this.#grace = []
    return {
      startTick,
      durationTicks,
      ...pitch,
      ...(isTied ? { tied: true as const } : {}),
      ...(actual && normal && actual !== normal ? { tuplet: { actual, normal } } : {}),
      ...(lyric ? { lyric } : {}),
      ...(grace.length > 0 ? { grace } : {}),
    }
  }

  #placeOf(): string {
    return this.#lastPlace.place.replace(/^bar/, 'Bar')
  }

  /** Undefined for rests, cues, slashes and anything without a pitch. */
  #pitch(note: XmlElement, open: OpenMeasure): { midi: number; name: string } | undefined {
    const element = childOf(note, 'pitch')
    if (!element) {
      if (childOf(note, 'unpitched'))
        this.issues.addOnce(
          'unpitched',
          'RD9',
          'note',
          `line/${note.line}`,
          said`${open.place}: notes without a pitch are read as rests.`,
        )
      return undefined
    }
    if (!isMelodic(note)) {
      this.issues.addOnce(
        'slashes',
        'RD9',
        'note',
        `line/${note.line}`,
        said`${open.place}: slashes and cue notes are read as rests.`,
      )
      return undefined
    }
    const { pitch, problem } = readPitch(element)
    if (problem)
      this.issues.add(
        'RD4',
        'warning',
        `line/${note.line}`,
        problem === 'unplayable'
          ? said`${open.place}, line ${note.line}: the pitch is none that can be played; read as a rest.`
          : said`${open.place}, line ${note.line}: the pitch lies between the semitones; read as the nearest.`,
      )
    return pitch
  }

  #harmony(element: XmlElement, open: OpenMeasure): void {
    if (element.attributes['type'] === 'alternate') {
      this.#leftOut.add('other', 'alternate chords', { place: this.#lastPlace.place, path: `line/${element.line}` })
      return
    }
    const offset = ((numberOf(element, 'offset') ?? 0) / this.#signs.divisions) * TICKS_PER_QUARTER
    const chord = readHarmony(element)
    if (!chord.ok) {
      this.issues.add(
        'RD5',
        'warning',
        `line/${element.line}`,
        said`${open.place}, line ${element.line}: the chord could not be read: ${chord.issues[0]?.message ?? ''}`,
      )
      return
    }
    if (childrenOf(element, 'root').length > 1)
      this.issues.add(
        'RD5',
        'note',
        `line/${element.line}`,
        said`${open.place}, line ${element.line}: of two chords in one symbol the first was read.`,
      )
    open.chords.push({ startTick: Math.max(0, Math.round(open.at + offset)), chord: chord.value })
  }

  #direction(facts: DirectionFacts, element: XmlElement, open: OpenMeasure): void {
    open.marks = { ...open.marks, ...facts.marks }
    if (facts.hasUnreadTempo && facts.tempoBpm === undefined)
      this.#leftOut.add('other', 'metronome marks without a number', {
        place: this.#lastPlace.place,
        path: `line/${element.line}`,
      })
    if (facts.tempoBpm !== undefined) this.#signs.setTempo(facts.tempoBpm, open.place, element)
    if (facts.rehearsal !== undefined) this.#label(open, facts.rehearsal)
    else if (facts.sectionWord !== undefined && !open.label) this.#label(open, facts.sectionWord)
  }

  /** A mark past the middle of a bar names what follows. */
  #label(open: OpenMeasure, text: string): void {
    const middle = this.#signs.metre ? barTicks(this.#signs.metre) / 2 : Number.POSITIVE_INFINITY
    if (open.at > middle) this.#waitingLabel = text
    else open.label = text
  }

  #barline(element: XmlElement, open: OpenMeasure): void {
    const facts = readBarline(element)
    if (facts.marks.ending) this.#ending = facts.marks.ending
    open.marks = { ...open.marks, ...facts.marks }
    if (facts.endsEnding) open.endsEnding = true
  }
}

/** Bars are cut out of one voice: a note that runs into the next (as overlapping voices do) ends there. */
function withoutOverlap(notes: readonly WrittenNote[]): WrittenNote[] {
  const sorted = [...notes].sort((a, b) => a.startTick - b.startTick)
  return sorted.flatMap((note, at) => {
    const next = sorted[at + 1]
    const end = Math.min(note.startTick + note.durationTicks, next?.startTick ?? Number.POSITIVE_INFINITY)
    return end > note.startTick ? [{ ...note, durationTicks: end - note.startTick }] : []
  })
}
