/** Which line of a MIDI file is the melody: the one asked for, one with a telling name, else the highest of those that play enough. */
import type { MidiLine } from './midi-lines.js'

const MELODY_NAMES = /melod|lead|vocal|voice|sing|solo|head|tune/i
/** A line with fewer notes than this share of the busiest is a remark, not the melody. */
const LEAST_SHARE = 0.2

export interface ChosenLine {
  readonly line: MidiLine
  readonly why: 'asked' | 'named' | 'highest'
}

/** Undefined where there is none, or not the one asked for (an index into `lines`). */
export function chooseMelody(lines: readonly MidiLine[], asked?: number): ChosenLine | undefined {
  if (asked !== undefined) {
    const line = lines[asked]
    return line && { line, why: 'asked' }
  }
  const most = lines.reduce((max, line) => Math.max(max, line.notes.length), 0)
  const enough = lines.filter((line) => line.notes.length >= most * LEAST_SHARE)
  const named = enough.find((line) => MELODY_NAMES.test(line.name))
  if (named) return { line: named, why: 'named' }
  const highest = enough.toSorted((a, b) => meanMidi(b) - meanMidi(a))[0]
  return highest && { line: highest, why: 'highest' }
}

function meanMidi(line: MidiLine): number {
  return line.notes.reduce((sum, note) => sum + note.midi, 0) / line.notes.length
}
