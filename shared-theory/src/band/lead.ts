/** The part that has the melody, and the pianist or guitarist who accompanies their own. */
import type { ArrangedNote, PartNote } from '../contract/index.js'
import { TICKS_PER_QUARTER } from '../contract/index.js'
import { memberOf } from '../chords/index.js'
import { strokesOf } from '../rhythm/index.js'
import { groupStarts, mod, pitchClass } from '../units/index.js'
import { nearest } from './bass-notes.js'
import { spelledNote } from './note-names.js'
import type { CompStroke } from './comp-strokes.js'
import type { BarFrame, ChordSpan, Stop } from './frame.js'
import { chordVelocityOf, melodyVelocity } from './loudness.js'

const GROUP_START_STEP = 6
/** A left hand's bass notes: A1 to C3. Source: common practice. */
const LEFT_LOW = 33
const LEFT_HIGH = 48
const LEFT_MIDDLE = 40
/** C1, the lowest of a left hand's octaves. Source: from memory. */
const LOWEST_OCTAVE = 24
/** A left hand's chords lie between its bass notes and its softest strokes. Source: from memory. */
const LEFT_CHORD = 5
/** Chord tones under a melody lie above this, clear of the left hand. */
const LOWEST_FILL = 50

/** The bar's melody as it stands; the first note of each inner group a little louder. */
export function melodyNotes(frame: BarFrame): PartNote[] {
  const { metre, groups } = frame.bar
  const starts = groups.length > 1 ? new Set(groupStarts(metre, groups)) : new Set<number>()
  return frame.bar.melody.map((note) => melodyNote(frame, note, starts.has(note.startTick)))
}

function melodyNote(frame: BarFrame, note: ArrangedNote, isGroupStart: boolean): PartNote {
  const velocity = melodyVelocity(frame) + (isGroupStart ? GROUP_START_STEP : 0)
  return {
    startTick: note.startTick,
    durationTicks: note.durationTicks,
    midi: note.midi,
    name: note.name,
    velocity: Math.min(velocity, 127),
    ...(note.tiedToNext ? { tiedToNext: true as const } : {}),
    ...(note.tuplet ? { tuplet: note.tuplet } : {}),
  }
}

/** At most two chord tones within a seventh below each melody note of a beat or more; at full energy one of them is the octave. */
export function fillUnderMelody(frame: BarFrame): PartNote[] {
  return melodyNotes(frame).flatMap((note) => {
    const span = spanAt(frame, note.startTick)
    if (!span || note.durationTicks < TICKS_PER_QUARTER) return [note]
    const octave = note.midi - 12
    const below: number[] = frame.level === 5 && octave > LOWEST_FILL ? [octave] : []
    for (const member of [3, 7, 5] as const) {
      const name = memberOf(span.chord, member)
      if (name === undefined || below.length === 2) continue
      const midi = note.midi - 3 - mod(note.midi - 3 - pitchClass(name), 12)
      if (note.midi - midi <= 10 && midi > LOWEST_FILL) below.push(midi)
    }
    const to = Math.min(note.startTick + note.durationTicks, span.endTick - frame.startTick)
    const added = below.map((midi) => ({
      startTick: note.startTick,
      durationTicks: to - note.startTick,
      midi,
      name: spelledNote(midi, span),
      velocity: Math.max(12, note.velocity - 14),
    }))
    return [...added.sort((a, b) => a.midi - b.midi), note]
  })
}

/** The left hand's row: bass notes where nobody else plays bass, chords in the groove's register. Second voice. */
export function leftHand(
  frame: BarFrame,
  voicings: readonly (readonly number[])[],
  hasBass: boolean,
  lowestMidi: number,
  stop: Stop,
): PartNote[] {
  const length = frame.bar.lengthTicks
  if (frame.isPickup || frame.isDrumsAlone) return []
  const starts = frame.isLast || frame.level === 1
  // After a button both hands let go together.
  const isShort = frame.isLast && stop === 'button'
  const row = isShort
    ? atChordStarts(frame).slice(0, 2).map(shortened)
    : starts
      ? atChordStarts(frame)
      : rowPlaces(frame)
  return row.flatMap(({ startTick, endTick, sign }) => {
    const span = spanAt(frame, startTick)
    if (!span || span.bassPc === undefined || startTick >= length || (sign === 'B' && hasBass)) return []
    const midi =
      sign === 'B'
        ? [leftBass(frame, span, startTick, Math.max(LEFT_LOW, lowestMidi))]
        : [...underOwnMelody(frame, voicings[span.index] ?? [])]
    const to = Math.min(endTick, length, span.endTick - frame.startTick)
    // With everything out the bass stands in octaves.
    const below = (midi[0] ?? 0) - 12
    if (sign === 'B' && frame.level === 5 && below >= Math.max(LOWEST_OCTAVE, lowestMidi)) midi.unshift(below)
    return midi.map((note) => ({
      startTick,
      durationTicks: Math.max(1, to - startTick),
      midi: note,
      name: spelledNote(note, span),
      velocity: chordVelocityOf(frame.groove, sign === 'B' ? 'x' : 'o', frame.level) + (sign === 'C' ? LEFT_CHORD : 0),
      voice: 2,
    }))
  })
}

const shortened = (place: Place): Place => ({
  ...place,
  endTick: Math.min(place.endTick, place.startTick + TICKS_PER_QUARTER),
})

/** What of a voicing the left hand takes: three notes at most, clear below the melody; below its octave where that is played and leaves two. */
function underOwnMelody(frame: BarFrame, voicing: readonly number[]): readonly number[] {
  const lowestMelody = Math.min(...frame.bar.melody.map(({ midi }) => midi), 84)
  const under = voicing.filter((note) => note <= lowestMelody - 3).slice(0, 3)
  const underOctave = under.filter((note) => note < lowestMelody - 12)
  return frame.level === 5 && underOctave.length >= 2 ? underOctave : under
}

/** The left hand of a pianist who has a bass player: the groove's comping cells. Second voice. */
export function leftCells(
  frame: BarFrame,
  strokes: readonly CompStroke[],
  voicings: readonly (readonly number[])[],
): PartNote[] {
  return strokes.flatMap(({ startTick, endTick, span, isTriplet }) =>
    underOwnMelody(frame, voicings[span.index] ?? []).map((midi) => ({
      startTick,
      durationTicks: endTick - startTick,
      midi,
      name: spelledNote(midi, span),
      velocity: chordVelocityOf(frame.groove, 'o', frame.level) + LEFT_CHORD,
      voice: 2,
      ...(isTriplet ? { tuplet: { actual: 3, normal: 2 } } : {}),
    })),
  )
}

/** The root; where the groove's bass row has its fifth, that: below the root where the hand has it. */
function leftBass(frame: BarFrame, span: ChordSpan, startTick: number, low: number): number {
  const root = nearest(span.bassPc ?? 0, LEFT_MIDDLE, low, LEFT_HIGH + 4)
  const fifth = memberOf(span.chord, 5)
  if (fifth === undefined || span.chord.bass !== undefined || span.isPedal || !readsFifth(frame, span, startTick))
    return root
  const below = root - mod(root - pitchClass(fifth), 12)
  return below >= low ? below : below + 12
}

/** Whether the bass row of the bar, the one in two where there is one, has the chord's fifth at a place. */
function readsFifth(
  { groove, barInSection, patternTicks, startTick: barStart }: BarFrame,
  span: ChordSpan,
  tick: number,
): boolean {
  const rows = groove.bass['two-feel'] ?? groove.bass.one
  const row = rows?.[barInSection % rows.length] ?? []
  const position = Math.round((tick * groove.grid) / patternTicks)
  const token = row.find((each) => each.position <= position && position < each.position + each.length)
  const isWalked = token?.degree === 'w' && position * 2 === groove.grid
  return tick > span.startTick - barStart && (isWalked || token?.degree === '5' || token?.degree === '5_')
}

interface Place {
  readonly startTick: number
  readonly endTick: number
  readonly sign: string
}

/** Strokes of the row; each sounds to the next. */
function rowPlaces(frame: BarFrame): readonly Place[] {
  const strokes = strokesOf(frame.groove.leftHand, frame.patternTicks)
  return strokes.map((stroke, index) => ({
    startTick: stroke.startTick,
    endTick: strokes[index + 1]?.startTick ?? frame.patternTicks,
    sign: stroke.sign,
  }))
}

function atChordStarts(frame: BarFrame): readonly Place[] {
  return frame.chords.flatMap((span) => {
    const place = { startTick: span.startTick - frame.startTick, endTick: span.endTick - frame.startTick }
    return [
      { ...place, sign: 'B' },
      { ...place, sign: 'C' },
    ]
  })
}

function spanAt(frame: BarFrame, tick: number): ChordSpan | undefined {
  const at = frame.startTick + tick
  return frame.chords.findLast(({ startTick }) => startTick <= at)
}
