/** What a pianist answers in a ballad where the melody rests: two or three eighths, an octave above the chord. Source: common practice. */
import { type PartNote, TICKS_PER_QUARTER } from '../contract/index.js'
import { mod } from '../units/index.js'
import type { CompStroke } from './comp-strokes.js'
import type { BarFrame } from './frame.js'
import { chordVelocityOf } from './loudness.js'
import { restsOf } from './melody-room.js'
import { spelledNote } from './note-names.js'

const EIGHTH = TICKS_PER_QUARTER / 2
const BALLADS: ReadonlySet<string> = new Set(['ballad-even', 'ballad-swing'])
const MOST = 3
/** E6. Source: from memory. */
const HIGHEST = 88

/** The answer's notes; none under a singer, at the edges of loudness, or where the rest is too short for two. */
export function answerNotes(
  frame: BarFrame,
  chords: readonly (readonly [CompStroke, readonly PartNote[]])[],
): PartNote[] {
  const { groove, level, sung, isSolo, bar } = frame
  if (!BALLADS.has(groove.id) || level < 2 || level > 4 || sung || isSolo || bar.melody.length === 0) return []
  const [rest] = restsOf(bar).filter(([from]) => from > 0)
  if (!rest) return []
  const from = Math.ceil(rest[0] / EIGHTH) * EIGHTH
  const count = Math.min(MOST, Math.floor((rest[1] - EIGHTH - from) / EIGHTH))
  const sounding = chords.findLast(([{ startTick }]) => startTick <= from)
  const end = sounding && sounding[0].span.endTick - frame.startTick
  if (!sounding || count < 2 || from + count * EIGHTH > (end ?? 0)) return []
  const [{ span }, held] = sounding
  const pitches = held.map(({ midi }) => midi)
  const isClean = (midi: number): boolean => midi <= HIGHEST && pitches.every((low) => mod(midi - low, 12) !== 1)
  const above = pitches.map((midi) => midi + 12).filter(isClean)
  const line = above.slice(-count)
  if (line.length < count) return []
  return line.map((midi, at) => ({
    startTick: from + at * EIGHTH,
    durationTicks: EIGHTH,
    midi,
    name: spelledNote(midi, span),
    velocity: chordVelocityOf(groove, 'o', level),
    printed: 'slash' as const,
  }))
}
