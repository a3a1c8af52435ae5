/** Two hands on one instrument: what is muddy or rubs between them is left out, melody and bass first. */
import { type PartNote, TICKS_PER_QUARTER } from '../contract/index.js'
import { LOW_INTERVAL_LIMITS } from '../chords/index.js'
import { mod } from '../units/index.js'

/** The notes that can sound together, in order of time, voice and pitch. `isKept` names those that stay whatever happens. */
export function togetherOf(notes: readonly PartNote[], isKept: (note: PartNote) => boolean): PartNote[] {
  const kept: PartNote[] = notes.filter(isKept)
  const others = notes.filter((note) => !isKept(note)).sort((a, b) => a.startTick - b.startTick || b.midi - a.midi)
  for (const note of others) if (!kept.some((other) => overlaps(note, other) && clashes(note, other))) kept.push(note)
  return kept.sort((a, b) => a.startTick - b.startTick || (a.voice ?? 1) - (b.voice ?? 1) || a.midi - b.midi)
}

/** The right hand's chord tones that lie above everything the left hand holds meanwhile; the melody always. Hands do not cross for a filling. */
export function uncrossed(
  right: readonly PartNote[],
  left: readonly PartNote[],
  isMelody: (note: PartNote) => boolean,
): PartNote[] {
  return right.filter((note) => isMelody(note) || left.every((low) => !overlaps(note, low) || low.midi < note.midi))
}

const overlaps = (a: PartNote, b: PartNote): boolean =>
  a.startTick < b.startTick + b.durationTicks && b.startTick < a.startTick + a.durationTicks

/** The same pitch twice, an interval below its limit, or a minor ninth. */
function clashes(a: PartNote, b: PartNote): boolean {
  const apart = Math.abs(a.midi - b.midi)
  const low = Math.min(a.midi, b.midi)
  return apart === 0 || low < (LOW_INTERVAL_LIMITS[apart] ?? 0) || (apart > 12 && mod(apart, 12) === 1)
}

/** Chords that would meet or cross the bass lose their lowest notes, as long as two remain. What was voiced by hand stays. */
export function aboveBass(notes: readonly PartNote[], bass: readonly PartNote[]): PartNote[] {
  if (bass.length === 0) return [...notes]
  const sounding = new Map<number, number>()
  for (const { startTick } of notes) sounding.set(startTick, (sounding.get(startTick) ?? 0) + 1)
  return notes.filter((note) => {
    // A thumb doubles the bass on purpose.
    if (note.printed !== 'slash' || note.voice === 2 || (sounding.get(note.startTick) ?? 0) <= 2) return true
    const crosses = bass.some((low) => low.midi >= note.midi && meets(note, low))
    if (crosses) sounding.set(note.startTick, (sounding.get(note.startTick) ?? 0) - 1)
    return !crosses
  })
}

/** Struck while the other sounds, or together with it for a beat. */
function meets(note: PartNote, low: PartNote): boolean {
  const from = Math.max(note.startTick, low.startTick)
  const to = Math.min(note.startTick + note.durationTicks, low.startTick + low.durationTicks)
  return to > from && (from === note.startTick || to - from >= TICKS_PER_QUARTER)
}
