/** The chosen part's measures as written bars: one voice of melody, chord symbols, signatures and road map. Source: MusicXML 4.0. */
import { type KeySignature, type Metre, TICKS_PER_QUARTER } from '../../contract/index.js'
import { LIMITS, barTicks, formatPitch, keySignatureOf, midiOf } from '../../units/index.js'
import { type IssueList, Unreadable } from '../issue-list.js'
import type { RoadMarks, WrittenBar, WrittenChord, WrittenNote } from '../written.js'
import { type DirectionFacts, readBarline, readDirection, readSound } from './directions.js'
import { readHarmony } from './harmony.js'
import { isFirstStaff, isMelodic, readLyric, voiceOf } from './note-facts.js'
import { readKeySignature, readTimeSignature } from './signatures.js'
import { type XmlElement, childOf, childrenOf, numberOf, textOf } from './xml.js'

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
  #divisions = 1
  #metre: Metre | undefined = { beats: 4, beatType: 4 }
  #key: KeySignature = keySignatureOf('C major')
  #isModeWritten = true
  #isKeyWritten = false
  #transpose: number | undefined
  #tempo: number | undefined
  #ending: readonly number[] | undefined
  #grace: string[] = []
  #waitingLabel: string | undefined
  #number = 0

  constructor(
    readonly voice: string,
    readonly issues: IssueList,
  ) {}

  read(measures: readonly XmlElement[]): PartReading {
    if (measures.length > LIMITS.tuneBars)
      throw new Unreadable('RD10', 'file', `The part has ${measures.length} bars; a tune may have ${LIMITS.tuneBars}.`)
    const bars = measures.map((measure) => this.#measure(measure))
    return {
      bars,
      ...(this.#tempo ? { tempoBpm: this.#tempo } : {}),
      transposeSemitones: this.#transpose ?? 0,
      isModeWritten: this.#isModeWritten,
      isKeyWritten: this.#isKeyWritten,
    }
  }

  #measure(element: XmlElement): WrittenBar {
    this.#number++
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
    for (const child of element.children) this.#child(child, open)
    if (this.#ending && !open.marks.ending) open.marks = { ...open.marks, ending: this.#ending }
    if (open.endsEnding) this.#ending = undefined
    const full = this.#metre ? barTicks(this.#metre) : open.longest
    const notes = withoutOverlap(open.notes)
    return {
      metre: this.#metre,
      key: this.#key,
      lengthTicks: open.longest === 0 ? full || 4 * TICKS_PER_QUARTER : Math.round(open.longest),
      notes,
      chords: open.chords.sort((a, b) => a.startTick - b.startTick),
      ...(open.label ? { label: open.label } : {}),
      marks: open.marks,
      path: open.path,
      place: open.place,
    }
  }

  /** The melody's voice, or another one of the first staff where that voice is silent in this bar. */
  #voiceIn(measure: XmlElement): string {
    const voices = childrenOf(measure, 'note')
      .filter((note) => isMelodic(note) && isFirstStaff(note))
      .map(voiceOf)
    return voices.includes(this.voice) || voices.length === 0 ? this.voice : (voices[0] as string)
  }

  #child(child: XmlElement, open: OpenMeasure): void {
    switch (child.name) {
      case 'note':
        this.#note(child, open)
        break
      case 'backup':
        open.at = Math.max(0, open.at - this.#ticks(child))
        break
      case 'forward':
        this.#advance(open, this.#ticks(child))
        break
      case 'attributes':
        this.#attributes(child)
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
    return duration > 0 ? (duration / this.#divisions) * TICKS_PER_QUARTER : 0
  }

  #advance(open: OpenMeasure, ticks: number): void {
    open.at += ticks
    open.longest = Math.max(open.longest, open.at)
    if (open.longest > 64 * TICKS_PER_QUARTER)
      throw new Unreadable(
        'RD10',
        open.path,
        `${open.place} is longer than 64 quarters; check its durations and divisions.`,
      )
  }

  #note(note: XmlElement, open: OpenMeasure): void {
    const isChord = childOf(note, 'chord') !== undefined
    const isMine = isFirstStaff(note) && voiceOf(note) === open.voice
    const pitch = isMine ? this.#pitch(note, open) : undefined
    if (childOf(note, 'grace')) {
      if (pitch && !isChord) this.#grace.push(pitch.name)
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
        `${open.place}: only voice ${open.voice} is read as the melody; the other voices are left out.`,
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
        `${open.place}: where notes stand together the top note is read as the melody.`,
      )
      if (written.midi > last.midi)
        open.notes[open.notes.length - 1] = { ...written, ...(last.lyric ? { lyric: last.lyric } : {}) }
    } else open.notes.push(written)
    if (open.notes.length > LIMITS.notesPerBar)
      throw new Unreadable('RD10', open.path, `${open.place}: more than ${LIMITS.notesPerBar} notes in one bar.`)
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
          `${open.place}: notes without a pitch are read as rests.`,
        )
      return undefined
    }
    if (!isMelodic(note)) {
      this.issues.addOnce(
        'slashes',
        'RD9',
        'note',
        `line/${note.line}`,
        `${open.place}: slashes and cue notes are read as rests.`,
      )
      return undefined
    }
    const step = 'CDEFGAB'.indexOf(textOf(element, 'step').toUpperCase() || '-')
    const octave = numberOf(element, 'octave')
    const alter = numberOf(element, 'alter') ?? 0
    const isWhole = Number.isInteger(alter) && Math.abs(alter) <= 2
    const spelled = { step, alter: Math.max(-2, Math.min(2, Math.round(alter))), octave: octave ?? 4 }
    const midi = step < 0 ? -1 : midiOf(spelled)
    if (!isWhole || octave === undefined || !Number.isInteger(octave) || midi < 0 || midi > 127) {
      this.issues.add(
        'RD4',
        'warning',
        `line/${note.line}`,
        `${open.place}, line ${note.line}: ${isWhole ? 'the pitch is none that can be played; read as a rest' : 'the pitch lies between the semitones; read as the nearest'}.`,
      )
      if (midi < 0 || midi > 127 || octave === undefined || !Number.isInteger(octave)) return undefined
    }
    return { midi, name: formatPitch(spelled) }
  }

  #attributes(element: XmlElement): void {
    const divisions = numberOf(element, 'divisions')
    if (divisions !== undefined && divisions > 0) this.#divisions = divisions
    const key = childrenOf(element, 'key').find((one) => (one.attributes['number'] ?? '1') === '1')
    if (key) this.#readKey(key)
    const time = childrenOf(element, 'time').find((one) => (one.attributes['number'] ?? '1') === '1')
    if (time) this.#readTime(time)
    const transpose = childOf(element, 'transpose')
    if (!transpose) return
    const semitones = Math.round(
      (numberOf(transpose, 'chromatic') ?? 0) + 12 * (numberOf(transpose, 'octave-change') ?? 0),
    )
    if (Math.abs(semitones) > 48) return
    if (this.#transpose !== undefined && this.#transpose !== semitones)
      this.issues.addOnce(
        'transpose',
        'RD9',
        'warning',
        `line/${transpose.line}`,
        `Line ${transpose.line}: the part changes instrument; everything is read with the first transposition.`,
      )
    this.#transpose ??= semitones
  }

  #readKey(element: XmlElement): void {
    const read = readKeySignature(element)
    if (!read) {
      this.issues.add(
        'RD11',
        'warning',
        `line/${element.line}`,
        `Line ${element.line}: this key signature is none of the usual ones; the one before goes on.`,
      )
      return
    }
    this.#key = read.key
    this.#isKeyWritten = true
    if (!read.isModeWritten) this.#isModeWritten = false
  }

  #readTime(element: XmlElement): void {
    const metre = readTimeSignature(element)
    if (metre) this.#metre = metre === 'free' ? undefined : metre
    else
      this.issues.add(
        'RD3',
        'warning',
        `line/${element.line}`,
        `Line ${element.line}: this time signature can't be counted; the metre before goes on.`,
      )
  }

  #harmony(element: XmlElement, open: OpenMeasure): void {
    const offset = ((numberOf(element, 'offset') ?? 0) / this.#divisions) * TICKS_PER_QUARTER
    const chord = readHarmony(element)
    if (!chord.ok) {
      this.issues.add(
        'RD5',
        'warning',
        `line/${element.line}`,
        `${open.place}, line ${element.line}: the chord could not be read: ${chord.issues[0]?.message ?? ''}`,
      )
      return
    }
    if (childrenOf(element, 'root').length > 1)
      this.issues.add(
        'RD5',
        'note',
        `line/${element.line}`,
        `${open.place}, line ${element.line}: of two chords in one symbol the first was read.`,
      )
    open.chords.push({ startTick: Math.max(0, Math.round(open.at + offset)), chord: chord.value })
  }

  #direction(facts: DirectionFacts, element: XmlElement, open: OpenMeasure): void {
    open.marks = { ...open.marks, ...facts.marks }
    if (facts.tempoBpm !== undefined) this.#setTempo(facts.tempoBpm, open, element)
    if (facts.rehearsal !== undefined) this.#label(open, facts.rehearsal)
    else if (facts.sectionWord !== undefined && !open.label) this.#label(open, facts.sectionWord)
  }

  /** A mark past the middle of a bar names what follows. */
  #label(open: OpenMeasure, text: string): void {
    const middle = this.#metre ? barTicks(this.#metre) / 2 : Number.POSITIVE_INFINITY
    if (open.at > middle) this.#waitingLabel = text
    else open.label = text
  }

  #setTempo(tempo: number, open: OpenMeasure, element: XmlElement): void {
    if (tempo < 10 || tempo > 600 || tempo === this.#tempo) return
    if (this.#tempo === undefined) this.#tempo = tempo
    else
      this.issues.addOnce(
        'tempo',
        'RD9',
        'note',
        `line/${element.line}`,
        `${open.place}: a tune has one tempo; the change is left to the arrangement.`,
      )
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
