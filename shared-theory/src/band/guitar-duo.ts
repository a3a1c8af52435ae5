/** A guitarist who keeps the time without a drummer: the strokes of a groove broken as the hand would break them.
 *  Source: common practice; which groove does what is the groove book's. */
import { type PartNote, TICKS_PER_QUARTER } from '../contract/index.js'
import { chordScale, memberOf, pitchClassesOf } from '../chords/index.js'
import { type DuoGuitar, strokesOf } from '../rhythm/index.js'
import { mod, pitchClass } from '../units/index.js'
import { nearest } from './bass-notes.js'
import { type CompStroke, spanAt } from './comp-strokes.js'
import { spelledNote } from './note-names.js'
import type { BarFrame } from './frame.js'
import { chordVelocityOf } from './loudness.js'

/** E2 to E3: where the thumb and the low strings play. */
const LOW = 40
const HIGH = 52
/** A damped string sounds so long. */
const DAMPED = TICKS_PER_QUARTER / 8
/** A root below has no clean sixth above it. Source: low-interval limits, Lowell & Pullig 2003. */
const LOWEST_SIXTH = 41

/** The notes of a bar's strokes, given as chords (low first), as this duo breaks them. */
export function brokenChords(
  frame: BarFrame,
  chords: readonly (readonly [CompStroke, readonly PartNote[]])[],
  duo: DuoGuitar,
): PartNote[] {
  switch (duo.way) {
    case 'strum':
      return chords.flatMap(([, notes]) => fewer(notes, duo.strings))
    case 'damped':
      return chords.flatMap(([{ sign }, notes]) =>
        sign === 'o' ? notes.map((note) => ({ ...note, durationTicks: Math.min(note.durationTicks, DAMPED) })) : notes,
      )
    case 'ring':
      return chords.flatMap(([stroke, notes], index) => {
        const until = Math.min(chords[index + 1]?.[0].startTick ?? Infinity, endOfChord(frame, stroke))
        return notes.map((note) => ringing(note, until))
      })
    case 'up':
    case 'up-down':
      return arpeggio(frame, chords, duo.way)
    case 'inner':
      return movedInside(frame, chords)
    case 'low-strings':
      return chords.flatMap(([stroke]) => onLowStrings(frame, stroke))
    case 'octaves':
      return inOctaves(chords, frame.bar.melody.length === 0, LOWEST_GUITAR_OCTAVE)
  }
}

/** The thumb's notes on the low strings: the root where the bar or a chord begins, else its fifth. */
export function thumbNotes(frame: BarFrame, { thumb }: DuoGuitar): PartNote[] {
  if (thumb === undefined || frame.isPickup || frame.isLast || frame.isDrumsAlone) return []
  const strokes = strokesOf(thumb, frame.patternTicks).filter(({ startTick }) => startTick < frame.bar.lengthTicks)
  return strokes.flatMap(({ startTick }, index) => {
    const span = spanAt(frame, startTick)
    if (!span || span.bassPc === undefined) return []
    const before = strokes[index - 1]
    const isNew = !before || spanAt(frame, before.startTick) !== span
    const fifth = memberOf(span.chord, 5)
    const pc = isNew || index % 2 === 0 || fifth === undefined ? span.bassPc : pitchClass(fifth)
    const midi = nearest(pc, LOW, LOW, HIGH)
    const next = strokes[index + 1]?.startTick ?? frame.bar.lengthTicks
    const end = Math.min(next, endOfChord(frame, { span }))
    return [
      {
        startTick,
        durationTicks: end - startTick,
        midi,
        name: spelledNote(midi, span),
        velocity: chordVelocityOf(frame.groove, 'x', frame.level),
        voice: 2,
        printed: 'slash' as const,
      },
    ]
  })
}

/** Voices one after another, each in octaves: the figure of a montuno. */
export function inOctaves(
  chords: readonly (readonly [CompStroke, readonly PartNote[]])[],
  isOpen: boolean,
  lowest: number = LOWEST_OCTAVE,
): PartNote[] {
  return chords.flatMap(([, notes], index) => {
    const own = notes[FIGURE[index % FIGURE.length] as number] ?? notes[0]
    if (!own) return []
    const low = octaveAway(own, -1)
    if (low.midi >= lowest) return [low, own]
    // Where the upper octave would stand in the melody's way the chord stays whole.
    const top = notes.at(-1)
    return top && (isOpen || own.midi + 12 <= top.midi) ? [own, octaveAway(own, 1)] : [...notes]
  })
}

/** Bottom, top, middle … */
const FIGURE: readonly number[] = [0, 2, 1, 2, 0, 2, 1]
/** E3 on a keyboard, A2 on a guitar. Source: from memory. */
const LOWEST_OCTAVE = 52
const LOWEST_GUITAR_OCTAVE = 45

function octaveAway(note: PartNote, by: 1 | -1): PartNote {
  const octave = Number(/-?\d+$/.exec(note.name)?.[0]) + by
  return { ...note, midi: note.midi + 12 * by, name: `${note.name.replace(/-?\d+$/, '')}${octave}` }
}

/** Upper strings rather than lower ones. */
const fewer = (notes: readonly PartNote[], strings: number | undefined): readonly PartNote[] =>
  strings === undefined || notes.length <= strings ? notes : notes.slice(notes.length - strings)

const endOfChord = (frame: BarFrame, { span }: Pick<CompStroke, 'span'>): number =>
  Math.min(frame.bar.lengthTicks, Math.max(1, span.endTick - frame.startTick))

function ringing(note: PartNote, until: number): PartNote {
  return until > note.startTick ? { ...note, durationTicks: until - note.startTick } : note
}

/** String by string; each rings until it is struck again or the chord ends. */
function arpeggio(
  frame: BarFrame,
  chords: readonly (readonly [CompStroke, readonly PartNote[]])[],
  way: 'up' | 'up-down',
): PartNote[] {
  let at = 0
  const picked = chords.flatMap(([stroke, notes], index) => {
    const before = chords[index - 1]?.[0]
    at = stroke.sign !== 'o' || before?.span !== stroke.span ? 0 : at + 1
    const turn = Math.max(1, 2 * notes.length - 2)
    const place = way === 'up' ? at % Math.max(1, notes.length) : Math.min(at % turn, turn - (at % turn))
    const note = notes[place]
    return note ? [{ stroke, note }] : []
  })
  return picked.map(({ stroke, note }, index) => {
    const again = picked.slice(index + 1).find((other) => other.note.midi === note.midi)?.note.startTick ?? Infinity
    return ringing(note, Math.min(again, endOfChord(frame, stroke)))
  })
}

/** The chord on its first stroke rings on; on the next one of its voices, not an outer one, moves a step of the scale. */
function movedInside(frame: BarFrame, chords: readonly (readonly [CompStroke, readonly PartNote[]])[]): PartNote[] {
  return chords.flatMap(([stroke, notes], index) => {
    const before = chords[index - 1]
    const moves = before?.[0].span === stroke.span && before[1].length >= 3
    const next = chords[index + 1]?.[0]
    if (!moves) {
      const inner = notes[1]
      const movesOn = next?.span === stroke.span && notes.length >= 3
      return notes.map((note) => ringing(note, movesOn && note === inner ? next.startTick : endOfChord(frame, stroke)))
    }
    const inner = before[1][1] as PartNote
    const scale = new Set(chordScale(stroke.span.chord, stroke.span.key).map(pitchClass))
    const others = before[1].map(({ midi }) => midi)
    const step = [-2, -1, 2, 1].find((by) => {
      const midi = inner.midi + by
      return scale.has(mod(midi, 12)) && others.every((other) => other === inner.midi || Math.abs(other - midi) > 1)
    })
    if (step === undefined) return []
    const midi = inner.midi + step
    const moved = { ...inner, startTick: stroke.startTick, midi, name: spelledNote(midi, stroke.span) }
    return [ringing(moved, endOfChord(frame, stroke))]
  })
}

/** Root and fifth, root and sixth, beat by beat; the fifth alone where the chord is not major. */
function onLowStrings(frame: BarFrame, { startTick, endTick, sign, span, isTriplet }: CompStroke): PartNote[] {
  const fifth = memberOf(span.chord, 5)
  if (span.bassPc === undefined || fifth === undefined || span.chord.bass !== undefined) return []
  const root = nearest(span.bassPc, LOW + 4, LOW, HIGH)
  const isMajor = memberOf(span.chord, 3) !== undefined && pitchClassesOf(span.chord).includes(mod(root + 4, 12))
  const isSecond = Math.floor(startTick / TICKS_PER_QUARTER) % 2 === 1
  const sixth = isMajor && isSecond && root >= LOWEST_SIXTH ? root + 9 : undefined
  const upper = sixth ?? root + mod(pitchClass(fifth) - root, 12)
  return [root, upper].map((midi) => ({
    startTick,
    durationTicks: endTick - startTick,
    midi,
    name: spelledNote(midi, span),
    velocity: chordVelocityOf(frame.groove, sign === 'X' ? 'x' : sign, frame.level),
    printed: 'slash' as const,
    ...(isTriplet ? { tuplet: { actual: 3, normal: 2 } } : {}),
  }))
}
