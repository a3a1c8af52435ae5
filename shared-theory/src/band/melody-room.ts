/** Where the melody is busy and where it leaves room: what fills and comping look at. */
import { qualityOf } from '../chords/index.js'
import type { ArrangedBar, Chord } from '../contract/index.js'
import { TICKS_PER_QUARTER } from '../contract/index.js'
import { mod, pitchClass } from '../units/index.js'

/** Ticks in a bar where a melody note is struck (not tied into). */
export function attacksOf(bar: ArrangedBar, before?: ArrangedBar): readonly number[] {
  const tiedIn = before?.melody.at(-1)
  return bar.melody
    .filter((note) => !(note.startTick === 0 && tiedIn?.tiedToNext && tiedIn.midi === note.midi))
    .filter((note, index, all) => !(all[index - 1]?.tiedToNext && all[index - 1]?.midi === note.midi))
    .map(({ startTick }) => startTick)
}

/** MIDI of the melody note sounding at a tick of a bar, undefined in silence. */
export function melodyAt(bar: ArrangedBar, tick: number): number | undefined {
  return bar.melody.find((note) => note.startTick <= tick && tick < note.startTick + note.durationTicks)?.midi
}

/** MIDI of melody notes that begin while a stroke sounds and last a beat or more together with it. */
export function melodyDuring(bar: ArrangedBar, fromTick: number, toTick: number): readonly number[] {
  return bar.melody
    .filter(({ startTick, durationTicks }) => {
      const together = Math.min(startTick + durationTicks, toTick) - startTick
      return startTick > fromTick && startTick < toTick && together >= TICKS_PER_QUARTER
    })
    .map(({ midi }) => midi)
}

/** Whether a lower note rubs: a minor ninth (an octave more or less) under the melody. A dominant's root under its own ♭9 does not. */
export function rubsUnder(note: number, melody: number, chord: Chord): boolean {
  if (melody - note < 12 || mod(melody - note, 12) !== 1) return false
  return !(qualityOf(chord) === 'dominant' && mod(note, 12) === pitchClass(chord.root))
}

/** Stretches of a bar without an attack: a note held two beats or more, or a rest of one and a half or more; after their first half beat. */
export function windowsOf(
  bar: ArrangedBar,
  attacks: readonly number[],
): readonly (readonly [from: number, to: number])[] {
  const windows: (readonly [number, number])[] = []
  const edges = [...attacks, bar.lengthTicks]
  let from = 0
  for (const edge of edges) {
    if (edge - from >= (3 * TICKS_PER_QUARTER) / 2) windows.push([from + TICKS_PER_QUARTER / 2, edge])
    from = edge
  }
  return windows
}

/** A rest long enough for an answer. */
const LEAST_REST = (3 * TICKS_PER_QUARTER) / 2

/** The melody's rests of a beat and a half or more, from half a beat after their beginning. */
export function restsOf(bar: ArrangedBar): readonly (readonly [from: number, to: number])[] {
  const rests: (readonly [number, number])[] = []
  let end = 0
  const close = (to: number) => {
    if (to - end >= LEAST_REST) rests.push([end === 0 ? 0 : end + TICKS_PER_QUARTER / 2, to])
  }
  for (const { startTick, durationTicks } of bar.melody) {
    close(startTick)
    end = startTick + durationTicks
  }
  close(bar.lengthTicks)
  return rests
}
