/** A chord progression voiced with the least total movement, by dynamic programming over each chord's candidates. */
import type { Chord, NoteName, Voicing, VoicingOptions } from '../contract/index.js'
import { mod } from '../units/index.js'
import { T, listTones, pcOf, toneName } from './chord-tones.js'
import { structureOf } from './upper-structures.js'
import { type VoicingFrame, type VoicingStyle, candidatesOf, chordTones, rootlessTones } from './voicing-candidates.js'

const DEFAULT_RANGE = [48, 79] as const
const MOST_VOICES = 8
/** Movement outweighs any sum of drift: drift only settles ties, towards the middle of the range. */
const MOVEMENT_WEIGHT = 1_000_000

/**
 * One voicing a chord, ascending, `voices` notes each; the sum of all movements is the least the candidates of the style allow. The slash
 * bass is the bass player's and is not voiced. N.C. is silent (no notes) and moves nothing; % holds the voicing before.
 * `first`: where its notes belong to the first chord it is that chord's voicing, else the hand comes from there.
 */
export function voiceProgression(chords: readonly Chord[], options: VoicingOptions = {}): Voicing[] {
  const frame = frameOf(options)
  // Choruses repeat their chords: each is looked at once.
  const known = new Map([...new Set(chords)].map((chord) => [chord, stepOf(chord, frame)]))
  const steps = chords.map((chord) => known.get(chord))
  const sounding = steps.filter((step) => step !== undefined)
  const start = options.first?.toSorted((a, b) => a - b)
  if (start && start.length === frame.voices && sounding[0] && belongs(start, sounding[0], frame)) {
    sounding[0] = { ...sounding[0], candidates: [start] }
  }
  const path = leastMovement(
    sounding.map(({ candidates }) => candidates),
    frame,
    start?.length === frame.voices ? start : undefined,
  )
  return assemble(chords, steps, path, frame)
}

/** The voicings `voiceProgression` chooses from for one chord under the same options; none for N.C. and %. */
export function voicingsOf(chord: Chord, options: VoicingOptions = {}): readonly (readonly number[])[] {
  return chord.root === '' ? [] : candidatesOf(chord, frameOf(options))
}

interface Step {
  readonly chord: Chord
  readonly candidates: readonly (readonly number[])[]
}

function frameOf(options: VoicingOptions): VoicingFrame {
  const asked = options.rangePerVoice?.length ?? options.voices ?? 4
  const voices = Math.min(MOST_VOICES, Math.max(1, Math.round(asked)))
  const range = options.range ?? DEFAULT_RANGE
  const ranges = Array.from({ length: voices }, (_, voice) => options.rangePerVoice?.[voice] ?? range)
  return { voices, style: options.style ?? 'any', ranges }
}

function stepOf(chord: Chord, frame: VoicingFrame): Step | undefined {
  return chord.root === '' ? undefined : { chord, candidates: candidatesOf(chord, frame) }
}

/** Whether every note is the chord's own, or a tension the style adds. */
function belongs(midi: readonly number[], { chord, candidates }: Step, { style }: VoicingFrame): boolean {
  if (style === 'quartal' || style === 'upper') return candidates.some((each) => each.join() === midi.join())
  const usable = new Set(usableNames(chord).map(pcOf))
  return midi.every((note) => usable.has(mod(note, 12)))
}

function usableNames(chord: Chord): readonly NoteName[] {
  return [
    ...chord.notes,
    ...(chord.over?.notes ?? []),
    ...rootlessTones(chord).map((tone) => toneName(chord.root, tone)),
  ]
}

/** The path through the candidates with the least movement; among equals the one nearest the middle of the ranges. */
function leastMovement(
  columns: readonly (readonly (readonly number[])[])[],
  frame: VoicingFrame,
  start: readonly number[] | undefined,
): readonly (readonly number[])[] {
  const middle = frame.ranges.reduce((sum, [low, high]) => sum + low + high, 0) / 2
  const drift = (midi: readonly number[]): number =>
    Math.round(Math.abs(midi.reduce((sum, note) => sum + note, 0) - middle))
  const backs: number[][] = []
  let costs: number[] = []
  for (const [index, column] of columns.entries()) {
    const before = columns[index - 1]
    const back: number[] = []
    const next: number[] = []
    for (const midi of column) {
      let best = 0
      let least = Number.POSITIVE_INFINITY
      if (!before) least = start ? movementBetween(start, midi) * MOVEMENT_WEIGHT : 0
      else {
        for (let from = 0; from < before.length; from++) {
          const cost =
            (costs[from] as number) + movementBetween(before[from] as readonly number[], midi) * MOVEMENT_WEIGHT
          if (cost < least) {
            least = cost
            best = from
          }
        }
      }
      back.push(best)
      next.push(least + drift(midi))
    }
    backs.push(back)
    costs = next
  }
  const path: (readonly number[])[] = []
  let at = costs.indexOf(Math.min(...costs))
  for (let index = columns.length - 1; index >= 0; index--) {
    path.unshift((columns[index] as readonly (readonly number[])[])[at] as readonly number[])
    at = (backs[index] as number[])[at] as number
  }
  return path
}

/** Semitones moved by all voices, low to low and so on up. */
export function movementBetween(from: readonly number[], to: readonly number[]): number {
  let sum = 0
  for (const [voice, note] of to.entries()) sum += Math.abs(note - (from[voice] ?? note))
  return sum
}

function assemble(
  chords: readonly Chord[],
  steps: readonly (Step | undefined)[],
  path: readonly (readonly number[])[],
  { style }: VoicingFrame,
): Voicing[] {
  const voicings: Voicing[] = []
  let taken = 0
  let held: Voicing | undefined
  for (const [index, chord] of chords.entries()) {
    const step = steps[index]
    if (!step) {
      const repeats = chord.kind === 'other' && held
      voicings.push(repeats ? { ...repeats, movement: 0 } : { midi: [], notes: [], movement: 0 })
      continue
    }
    const midi = path[taken++] as readonly number[]
    held = {
      midi,
      notes: spelled(midi, chord, style),
      movement: held ? movementBetween(held.midi, midi) : 0,
    }
    voicings.push(held)
  }
  return voicings
}

/** By interval from the root; the notes of an upper structure as the triad they make. */
function spelled(midi: readonly number[], chord: Chord, style: VoicingStyle): readonly NoteName[] {
  const names = [
    ...chordTones(chord, MOST_VOICES).map(({ name }) => name),
    ...((style === 'upper' && structureOf(midi, chord)?.notes) || []),
    ...usableNames(chord),
    ...(style === 'quartal' ? QUARTAL_TENSIONS.map((tone) => toneName(chord.root, tone)) : []),
  ]
  return midi.map((note) => names.find((name) => pcOf(name) === mod(note, 12)) ?? (names[0] as NoteName))
}
const QUARTAL_TENSIONS = listTones(T.ninth | T.eleventh | T.thirteenth)
