/** A guitarist's hand: chords on neighbouring strings that four fingers reach, moving as little as they can. */
import type { PartNote, VoicingOptions } from '../contract/index.js'
import { GUITAR_STRINGS, LOW_INTERVAL_LIMITS, movementBetween, voicingsOf as voicingsOfChord } from '../chords/index.js'
import type { ChordSpan } from './frame.js'

/** Four frets side by side. Source: common practice, one finger a fret. */
const REACH = 4
const LAST_FRET = 15
/** Chords lie on the upper five strings, the bass below them. */
const LOWEST = 45

export interface GuitarRegister {
  readonly voices: number
  readonly high: number
}

type Style = NonNullable<VoicingOptions['style']>

/** The playable voicing of a chord nearest to the one before; fewer strings where no hand holds more. */
export function guitarVoicing(
  span: ChordSpan,
  { voices, high }: GuitarRegister,
  before: readonly number[] | undefined,
): readonly number[] {
  const tries: readonly (readonly [number, Style])[] = [
    [voices, voices === 3 ? 'shell' : 'drop2'],
    [voices, 'rootless'],
    [3, 'shell'],
    [3, 'any'],
    [2, 'any'],
  ]
  for (const [count, style] of tries) {
    const held = voicingsOfChord(span.chord, { voices: count, style, range: [LOWEST, high] }).filter(
      (midi) => isClear(midi) && isHeld(midi),
    )
    const [first] = held
    if (!first) continue
    if (!before || before.length === 0) return middleOf(held, high) ?? first
    return held.reduce((best, each) => (movementBetween(before, each) < movementBetween(before, best) ? each : best))
  }
  return []
}

/** The one whose top lies nearest under the top of the register, not on its edge. */
function middleOf(held: readonly (readonly number[])[], high: number): readonly number[] | undefined {
  const away = (midi: readonly number[]) => Math.abs((midi.at(-1) ?? 0) - (high - 4))
  return held.toSorted((a, b) => away(a) - away(b))[0]
}

/** No interval below its limit. */
const isClear = (midi: readonly number[]): boolean =>
  midi.every((low, at) => {
    const next = midi[at + 1]
    return next === undefined || low >= (LOW_INTERVAL_LIMITS[next - low] ?? 0)
  })

/** Whether pitches lie on a string each with at most four frets between the lowest and highest that is pressed. */
export function isHeld(midi: readonly number[]): boolean {
  const sorted = [...midi].sort((a, b) => a - b)
  const place = (at: number, string: number, low: number, high: number): boolean => {
    const note = sorted[at]
    if (note === undefined) return true
    for (let next = string; next < GUITAR_STRINGS.length; next++) {
      const fret = note - (GUITAR_STRINGS[next] as number)
      if (fret < 0 || fret > LAST_FRET) continue
      const from = fret === 0 ? low : Math.min(low, fret)
      const to = fret === 0 ? high : Math.max(high, fret)
      if ((to === 0 || to - from < REACH) && place(at + 1, next + 1, from, to)) return true
    }
    return false
  }
  return place(0, 0, Infinity, 0)
}

/** What a hand can hold of what sounds together; `isKept` names the notes that stay whatever happens. */
export function inOneHand(notes: readonly PartNote[], isKept: (note: PartNote) => boolean): PartNote[] {
  const kept = notes.filter(isKept)
  const others = notes.filter((note) => !isKept(note)).sort((a, b) => b.midi - a.midi)
  for (const note of others) {
    const meets = kept.filter((other) => overlap(note, other))
    const onsets = [note, ...meets].map(({ startTick }) => startTick).filter((tick) => tick >= note.startTick)
    const fits = onsets.every((tick) =>
      isHeld([note, ...meets.filter((other) => soundsAt(other, tick))].map(({ midi }) => midi)),
    )
    if (fits) kept.push(note)
  }
  return kept.sort((a, b) => a.startTick - b.startTick || (a.voice ?? 1) - (b.voice ?? 1) || a.midi - b.midi)
}

const endOf = ({ startTick, durationTicks }: PartNote): number => startTick + durationTicks
const overlap = (a: PartNote, b: PartNote): boolean => a.startTick < endOf(b) && b.startTick < endOf(a)
const soundsAt = (note: PartNote, tick: number): boolean => note.startTick <= tick && tick < endOf(note)
