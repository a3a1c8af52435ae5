/** Chord players: their strokes as notes, anticipations tied on, voicings made by hand in their place. */
import type { PartNote } from '../contract/index.js'
import { TICKS_PER_QUARTER } from '../contract/index.js'
import { mod } from '../units/index.js'
import { answerNotes } from './comp-answers.js'
import { type CompContext, type CompStroke, duoOf, spanAt, strokesOfAll } from './comp-strokes.js'
import type { BarFrame } from './frame.js'
import { brokenChords, inOctaves, thumbNotes } from './guitar-duo.js'
import { chordVelocityOf, melodyVelocity } from './loudness.js'
import { melodyAt, melodyDuring } from './melody-room.js'
import { spelledNote } from './note-names.js'
import { underComing, underMelody } from './voicings.js'

/** Source: from memory. */
const HIGHEST_TOP = 84
/** A guitar that plays all four beats has its second and fourth only a little louder. */
const STRUM_ACCENT = 8

export type { CompContext } from './comp-strokes.js'

/** Notes of every bar, in order. */
export function playChords(context: CompContext): readonly (readonly PartNote[])[] {
  const { bars } = context.frames
  const strokes = strokesOfAll(context)
  let tied: readonly PartNote[] = []
  return bars.map((frame, index) => {
    const own = strokes[index] ?? []
    const until = Math.min(TICKS_PER_QUARTER, own[0]?.startTick ?? frame.bar.lengthTicks)
    // What was anticipated goes on as it was struck, up to a beat or the next stroke.
    const carried = tied.map(({ tiedToNext: _tie, tuplet: _tuplet, ...note }) => ({
      ...note,
      startTick: 0,
      durationTicks: until,
    }))
    const struck = broken(
      frame,
      own.map((stroke) => [stroke, strokeNotes(frame, stroke, context)]),
      context,
    )
    const notes = withEdits(frame, until > 0 ? [...carried, ...struck] : struck, context)
    tied = notes.filter(({ tiedToNext }) => tiedToNext)
    return notes
  })
}

/** Chords as they are struck; a guitarist without drums, and a montuno, break them. */
function broken(
  frame: BarFrame,
  chords: readonly (readonly [CompStroke, readonly PartNote[]])[],
  context: CompContext,
): PartNote[] {
  if (frame.isLast || context.edits.has(frame.index)) return chords.flatMap(([, notes]) => notes)
  const duo = duoOf(frame, context)
  if (duo) return inOrder([...brokenChords(frame, chords, duo), ...thumbNotes(frame, duo)])
  const isMontuno = context.style === 'cells' && frame.groove.voicing.kind === 'octaves'
  if (isMontuno) return inOctaves(chords, frame.bar.melody.length === 0)
  const answer = context.style === 'cells' ? answerNotes(frame, chords) : []
  return inOrder([...chords.flatMap(([, notes]) => notes), ...answer])
}

const inOrder = (notes: PartNote[]): PartNote[] => notes.sort((a, b) => a.startTick - b.startTick || a.midi - b.midi)

function strokeNotes(frame: BarFrame, stroke: CompStroke, context: CompContext): PartNote[] {
  // Where a voice sings, chords are one level softer; from level 3, and not where they are the whole band.
  const softer = frame.sung && frame.level > 2 && frame.groove.feel !== 'rubato' ? 1 : 0
  const louder = answersHeld(frame, stroke.startTick) ? 1 : 0
  const level = Math.min(5, Math.max(1, frame.level - softer + louder)) as BarFrame['level']
  const isStrummedAccent = context.style === 'guitar' && stroke.sign === 'X'
  const firm =
    chordVelocityOf(frame.groove, isStrummedAccent ? 'x' : stroke.sign, level) + (isStrummedAccent ? STRUM_ACCENT : 0)
  // Whatever the band does, the melody is on top.
  const velocity = frame.bar.melody.length > 0 ? Math.min(firm, melodyVelocity(frame) - 1) : firm
  const melody = melodyAt(frame.bar, stroke.startTick)
  const next = stroke.isTied ? context.frames.bars[frame.index + 1] : undefined
  const overBar = next && melodyAt(next.bar, 0)
  const coming = [
    ...melodyDuring(frame.bar, stroke.startTick, stroke.endTick),
    ...(overBar === undefined ? [] : [overBar]),
  ]
  const struck = underMelody(context.voicings[stroke.span.index] ?? [], melody, stroke.span, frame.sung)
  const clear = underComing(struck, coming, stroke.span, frame.sung)
  const isOpen = melody === undefined && coming.length === 0 && !frame.sung
  const midi = isOpen && frame.level === 5 && context.style === 'cells' ? withOctave(clear) : clear
  return midi.map((note) => ({
    startTick: stroke.startTick,
    durationTicks: stroke.endTick - stroke.startTick,
    midi: note,
    name: spelledNote(note, stroke.span),
    velocity,
    ...(frame.isLast ? {} : { printed: 'slash' as const }),
    ...(stroke.isTied ? { tiedToNext: true as const } : {}),
    ...(stroke.isTriplet ? { tuplet: { actual: 3, normal: 2 } } : {}),
  }))
}

/** Where a groove says so the band comes up under a note the melody holds two beats and more, after its first half beat. */
function answersHeld(frame: BarFrame, tick: number): boolean {
  if (frame.groove.melody.held !== 'fill' || frame.isLast) return false
  return frame.bar.melody.some(
    ({ startTick, durationTicks }) =>
      durationTicks >= 2 * TICKS_PER_QUARTER &&
      tick >= startTick + TICKS_PER_QUARTER / 2 &&
      tick < startTick + durationTicks,
  )
}

/** With both hands and nobody above: the top again an octave up, where it makes no minor ninth. */
function withOctave(midi: readonly number[]): readonly number[] {
  const top = midi.at(-1)
  if (top === undefined || top + 12 > HIGHEST_TOP || midi.some((note) => mod(top - note, 12) === 1)) return midi
  return [...midi, top + 12]
}

/** Voicings fixed by hand take the place of what sounds on their chord, and print. */
function withEdits(frame: BarFrame, notes: readonly PartNote[], context: CompContext): PartNote[] {
  let edited = [...notes]
  for (const edit of context.edits.get(frame.index) ?? []) {
    const span = spanAt(frame, edit.startTick)
    if (!span || edit.startTick >= frame.bar.lengthTicks) continue
    const to = Math.min(span.endTick - frame.startTick, frame.bar.lengthTicks)
    const inside = (note: PartNote) => note.startTick >= edit.startTick && note.startTick < to
    const starts = [...new Set(edited.filter(inside).map(({ startTick }) => startTick))]
    const lengths = new Map(edited.filter(inside).map((note) => [note.startTick, note]))
    const struck = starts.length > 0 ? starts : [edit.startTick]
    const written = struck.flatMap((startTick) => {
      const was = lengths.get(startTick)
      return [...new Set(edit.midi)]
        .sort((a, b) => a - b)
        .map((midi) => ({
          startTick,
          durationTicks: was?.durationTicks ?? to - startTick,
          midi,
          name: spelledNote(midi, span),
          velocity: was?.velocity ?? chordVelocityOf(frame.groove, 'x', frame.level),
          ...(was?.tuplet ? { tuplet: was.tuplet } : {}),
        }))
    })
    edited = [...edited.filter((note) => !inside(note)), ...written].sort(
      (a, b) => a.startTick - b.startTick || a.midi - b.midi,
    )
  }
  return edited
}
