/** One part of the chart, before any XML: which notes it prints, on which staves, and where it shows chord symbols. */
import type { ArrangedBar, PartNote, PartSpec } from '../../contract/index.js'
import { type Clef, type Instrument, instrumentOf } from '../../instruments/index.js'
import type { Interval } from '../../units/index.js'
import { drumSign } from './drum-notation.js'
import { writtenInterval } from './written-pitch.js'

export interface ChartPart {
  readonly spec: PartSpec
  readonly instrument: Instrument
  readonly isDrums: boolean
  readonly interval: Interval | undefined
  readonly clef: Clef
  readonly staves: 1 | 2
  /** Two hands with rhythms of their own, told by the notes' voices; else a keyboard's notes are parted at middle C. */
  readonly hasHands: boolean
  /** The part that carries what is printed once a system: marks, tempo, chord symbols. */
  readonly isTop: boolean
}

/** Middle C: what lies below goes to the left hand's staff, where the notes don't say which hand plays them. */
const SPLIT_MIDI = 60

export function chartPart(
  spec: PartSpec,
  bars: readonly ArrangedBar[],
  pitch: 'written' | 'concert',
  isTop: boolean,
): ChartPart {
  const instrument = instrumentOf(spec)
  const isDrums = spec.role === 'drums' || instrument.clef === 'percussion'
  const isGrand = instrument.clef === 'grand' && !isDrums
  const staves = isGrand && isMostlyWritten(spec.id, bars) ? 2 : 1
  return {
    spec,
    instrument,
    isDrums,
    interval: isDrums ? undefined : writtenInterval(instrument, pitch),
    clef: isDrums ? 'percussion' : concertClef(instrument, pitch),
    staves,
    hasHands: staves === 2 && bars.some((bar) => printedNotes(bar, spec.id).some((note) => (note.voice ?? 1) > 1)),
    isTop,
  }
}

/** Low transposing instruments read treble in their own part; at concert pitch the staff follows the sound. */
function concertClef(instrument: Instrument, pitch: 'written' | 'concert'): Clef {
  const middle = (instrument.range[0] + instrument.range[1]) / 2
  const moves = pitch === 'concert' && instrument.transposeSemitones % 12 !== 0
  return moves && instrument.clef === 'treble' && middle < 55 ? 'bass' : instrument.clef
}

/** Two staves are worth their room where more than one in eight of the bars played has written notes; a last hit alone is not. */
function isMostlyWritten(partId: string, bars: readonly ArrangedBar[]): boolean {
  const played = bars.map((bar) => printedNotes(bar, partId)).filter((notes) => notes.length > 0)
  return played.filter((notes) => notes.some(isWritten)).length * 8 > played.length
}

const isWritten = (note: PartNote): boolean => note.printed !== 'slash'

/** The part's notes of a bar; a lead whose part was not realised shows the melody. */
export function printedNotes(bar: ArrangedBar, partId: string): readonly PartNote[] {
  return bar.parts[partId] ?? []
}

/** Whether a part fills the beats it has no notes for by itself: comping, time, or a solo over the changes. */
export function isSlashed(bar: ArrangedBar, partId: string): boolean {
  const notes = printedNotes(bar, partId)
  if (notes.length === 0) return bar.soloists?.includes(partId) === true
  return notes.some((note) => note.printed === 'slash')
}

/** A voice of a bar: written notes on one staff. */
export interface ChartVoice {
  readonly number: number
  readonly staff?: number
  readonly notes: readonly PartNote[]
  /** Whether silent beats print as slashes. */
  readonly slashed: boolean
  /** Another player's notes, small. */
  readonly isCue?: true
  /** Its silences are not the player's, who plays on beside it, and stay unseen. */
  readonly hidesRests?: true
}

/** A bar in which the part waits and reads what another plays. */
export function isCued(part: ChartPart, bar: ArrangedBar): boolean {
  const notes = printedNotes(bar, part.spec.id)
  return notes.length > 0 && notes.every(({ printed }) => printed === 'cue')
}

/** The voices a part prints in a bar, at least one a staff. */
export function voicesOf(part: ChartPart, bar: ArrangedBar): readonly ChartVoice[] {
  const all = printedNotes(bar, part.spec.id)
  const slashed = isSlashed(bar, part.spec.id)
  const written = all.filter(isWritten)
  // The player's own rest stands under the cue.
  if (isCued(part, bar)) {
    return [
      { number: 1, notes: written, slashed: false, isCue: true },
      { number: 2, notes: [], slashed: false },
    ]
  }
  if (part.isDrums) return drumVoices(written, slashed, bar)
  if (part.staves === 1) return layers(written, slashed)
  const isUpper = (note: PartNote): boolean => (part.hasHands ? (note.voice ?? 1) === 1 : note.midi >= SPLIT_MIDI)
  const upper = written.filter(isUpper)
  const lower = written.filter((note) => !isUpper(note))
  return [
    { number: 1, staff: 1, notes: upper, slashed },
    { number: 5, staff: 2, notes: lower, slashed },
  ]
}

function layers(written: readonly PartNote[], slashed: boolean): readonly ChartVoice[] {
  const numbers = [...new Set(written.map((note) => note.voice ?? 1))].sort((a, b) => a - b)
  if (numbers.length < 2) return [{ number: 1, notes: written, slashed }]
  return numbers.map((number, index) => ({
    number: index + 1,
    notes: written.filter((note) => (note.voice ?? 1) === number),
    slashed: slashed && index === 0,
  }))
}

/** Hands and feet; a drum's sign lasts until the next stroke of its voice or the end of its beat. A hit that is held is one chord. */
function drumVoices(written: readonly PartNote[], slashed: boolean, bar: ArrangedBar): readonly ChartVoice[] {
  const { lengthTicks } = bar
  const cues = written.filter((note) => note.printed === 'cue')
  const own = written.filter((note) => note.printed !== 'cue')
  if (bar.fermataTick !== undefined && own.length > 0 && own.every(({ startTick }) => startTick === 0))
    return [{ number: 1, notes: own.map((note) => ({ ...note, durationTicks: lengthTicks })), slashed: false }]
  const hands = own.filter((note) => drumSign(note.midi).voice === 1)
  const feet = own.filter((note) => drumSign(note.midi).voice === 2)
  const voices: ChartVoice[] = []
  if (hands.length > 0 || feet.length === 0) voices.push({ number: 1, notes: untilNext(hands, lengthTicks), slashed })
  if (feet.length > 0) {
    voices.push({ number: 2, notes: untilNext(feet, lengthTicks), slashed: slashed && voices.length === 0 })
  }
  if (cues.length > 0) voices.push({ number: 3, notes: cues, slashed: false, isCue: true, hidesRests: true })
  return voices
}

const QUARTER = 5040

function untilNext(notes: readonly PartNote[], lengthTicks: number): readonly PartNote[] {
  const starts = [...new Set(notes.map(({ startTick }) => startTick))].sort((a, b) => a - b)
  return notes.map((note) => {
    const next = starts.find((tick) => tick > note.startTick) ?? lengthTicks
    const beatEnd = note.startTick - (note.startTick % QUARTER) + QUARTER
    const end = Math.max(Math.min(next, beatEnd, lengthTicks), Math.min(note.startTick + note.durationTicks, next))
    return { ...note, durationTicks: end - note.startTick }
  })
}

/** Leads and the rhythm section read the changes; a horn only where it plays on them. Drums read none. In a score the top staff has them. */
export function showsHarmony(part: ChartPart, bar: ArrangedBar, isScore: boolean): boolean {
  if (isScore) return part.isTop
  if (part.isDrums) return false
  if (part.spec.role === 'horn' || part.spec.role === 'voice') {
    return isSlashed(bar, part.spec.id)
  }
  return true
}
