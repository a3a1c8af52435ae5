/** The part that has the melody, and the pianist or guitarist who accompanies their own. */
import type { ArrangedNote, PartNote } from '../contract/index.js'
import { TICKS_PER_QUARTER } from '../contract/index.js'
import { memberOf } from '../chords/index.js'
import { groupStarts, mod, pitchClass } from '../units/index.js'
import { nearest } from './bass-notes.js'
import { spelledNote } from './note-names.js'
import { guideTones } from './voicings.js'
import { type CompStroke, strokesOnBeats } from './comp-strokes.js'
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

/** A hand plays octaves in notes of 150 ms and more. Source: from memory. */
const SHORTEST_OCTAVE_MS = 150
const runsInOctaves = ({ level, bar }: BarFrame, { durationTicks }: PartNote): boolean =>
  level === 5 && (durationTicks / TICKS_PER_QUARTER) * (60_000 / bar.tempoBpm) >= SHORTEST_OCTAVE_MS

/** At most two chord tones within a seventh below each melody note of a beat or more; at full energy one of them is the octave, which short
 *  notes have too as far as a hand can. */
export function fillUnderMelody(frame: BarFrame): PartNote[] {
  return melodyNotes(frame).flatMap((note) => {
    const span = spanAt(frame, note.startTick)
    const isShort = note.durationTicks < TICKS_PER_QUARTER
    if (!span || (isShort && !runsInOctaves(frame, note))) return [note]
    const octave = note.midi - 12
    const below: number[] = frame.level === 5 && octave > LOWEST_FILL ? [octave] : []
    for (const member of [3, 7, 5] as const) {
      const name = memberOf(span.chord, member)
      if (name === undefined || below.length === 2 || isShort) continue
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
    const to = Math.min(endTick, length, span.endTick - frame.startTick)
    const midi =
      sign === 'B'
        ? [leftBass(frame, span, startTick, Math.max(LEFT_LOW, lowestMidi))]
        : [...underRightHand(frame, { startTick, endTick: to, span }, voicings)]
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

/** What of a voicing the left hand takes: three notes at most, clear below the melody. */
function underOwnMelody(frame: BarFrame, voicing: readonly number[]): readonly number[] {
  return voicing.filter((note) => note <= lowestOf(frame) - 3).slice(0, 3)
}

const lowestOf = ({ bar }: BarFrame): number => Math.min(...bar.melody.map(({ midi }) => midi), 84)

/** One note is no chord: third and seventh instead, where they have room. */
function twoAtLeast(midi: readonly number[], span: ChordSpan, high: number): readonly number[] {
  if (midi.length >= 2) return midi
  const guides = guideTones(span, high)
  return guides.length >= 2 ? guides : midi
}

/** The same; where the right hand has octaves, below the lower of them. */
function underRightHand(
  frame: BarFrame,
  { startTick, endTick, span }: Pick<CompStroke, 'startTick' | 'endTick' | 'span'>,
  voicings: readonly (readonly number[])[],
): readonly number[] {
  const voicing = voicings[span.index] ?? []
  if (voicing.length === 0) return []
  const under = underOwnMelody(frame, voicing)
  const meanwhile = frame.bar.melody.filter(
    (note) => note.startTick < endTick && startTick < note.startTick + note.durationTicks,
  )
  const octave = Math.min(...meanwhile.map(({ midi }) => midi)) - 12
  if (frame.level < 5 || meanwhile.length === 0 || octave <= LOWEST_FILL)
    return twoAtLeast(under, span, lowestOf(frame) - 3)
  return twoAtLeast(
    under.filter((note) => note < octave),
    span,
    octave - 1,
  )
}

/** The left hand of a pianist who has a bass player: the groove's comping cells. Second voice. */
export function leftCells(
  frame: BarFrame,
  strokes: readonly CompStroke[],
  voicings: readonly (readonly number[])[],
): PartNote[] {
  return strokes.flatMap(({ startTick, endTick, span, isTriplet }) =>
    underRightHand(frame, { startTick, endTick, span }, voicings).map((midi) => ({
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
  const strokes = strokesOnBeats(frame, frame.groove.leftHand)
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
