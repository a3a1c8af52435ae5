/** Cues: what a player hears before coming in after a long rest, in small notes. Source: common practice of part writing. */
import type { PartNote, PartSpec } from '../contract/index.js'
import { instrumentOf } from '../instruments/index.js'
import type { BarFrame } from './frame.js'
import { melodyNotes } from './lead.js'

/** Whole bars of rest after which nobody trusts their counting. */
const LONG_REST = 8
/** Bars of cue before the entry, where there is so much of the melody. */
const CUE_BARS = 2

/** The part with the melody another player has, in the last bars before each entry after a long rest. Empty bars alone take a cue; where no
 *  octave of it lies in the reader's range there is none. */
export function withCues(
  part: PartSpec,
  bars: readonly (readonly PartNote[])[],
  frames: readonly BarFrame[],
  /** Who improvises rests from nothing. */
  solos: (frame: BarFrame) => boolean,
): readonly (readonly PartNote[])[] {
  const cued = new Map<number, readonly PartNote[]>()
  let rest = 0
  frames.forEach((frame) => {
    const { index } = frame
    if ((bars[index] ?? []).length === 0) {
      rest = solos(frame) ? 0 : rest + 1
      return
    }
    if (rest >= LONG_REST) for (const [at, notes] of cueBefore(part, index, frames)) cued.set(at, notes)
    rest = 0
  })
  return cued.size === 0 ? bars : bars.map((notes, index) => cued.get(index) ?? notes)
}

function cueBefore(
  part: PartSpec,
  entry: number,
  frames: readonly BarFrame[],
): readonly (readonly [barIndex: number, notes: readonly PartNote[]])[] {
  const heard: BarFrame[] = []
  for (let index = entry - 1; index >= entry - CUE_BARS; index--) {
    const frame = frames[index]
    if (!frame || frame.bar.melody.length === 0 || frame.leaderId === undefined || frame.leaderId === part.id) break
    heard.unshift(frame)
  }
  const shift = octaveFor(part, heard)
  if (shift === undefined) return []
  return heard.map((frame, place) => {
    const goesOn = heard[place + 1] !== undefined
    return [frame.index, melodyNotes(frame).map((note) => small(note, shift, goesOn))] as const
  })
}

function small({ tiedToNext, ...note }: PartNote, shift: number, goesOn: boolean): PartNote {
  const octave = Number(/-?\d+$/.exec(note.name)?.[0]) + shift / 12
  return {
    ...note,
    midi: note.midi + shift,
    name: `${note.name.replace(/-?\d+$/, '')}${octave}`,
    printed: 'cue',
    ...(tiedToNext && goesOn ? { tiedToNext } : {}),
  }
}

/** Half steps to the octave that lies best for the reader, all of it in range. */
function octaveFor(part: PartSpec, heard: readonly BarFrame[]): number | undefined {
  const [low, high] = instrumentOf(part).range
  const pitches = heard.flatMap(({ bar }) => bar.melody.map(({ midi }) => midi))
  const fitting = [0, -12, 12, -24, 24].filter((by) => pitches.every((midi) => midi + by >= low && midi + by <= high))
  const mean = pitches.reduce((sum, midi) => sum + midi, 0) / Math.max(1, pitches.length)
  const away = (by: number): number => Math.abs(mean + by - (low + high) / 2)
  return pitches.length === 0 ? undefined : fitting.sort((a, b) => away(a) - away(b))[0]
}
