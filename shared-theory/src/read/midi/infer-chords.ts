/** Chords guessed from what the accompaniment plays, a bar or half a bar at a time; always marked as inferred. */
import { chord } from '../../chords/index.js'
import type { Chord, KeySignature } from '../../contract/index.js'
import { mod, nameInKey } from '../../units/index.js'
import type { PlayedNote } from './midi-lines.js'

/** Qualities tried, as intervals above the root with their plain suffix; earlier wins a tie. Source: common practice. */
const QUALITIES: readonly (readonly [suffix: string, intervals: readonly number[]])[] = [
  ['', [0, 4, 7]],
  ['m', [0, 3, 7]],
  ['7', [0, 4, 7, 10]],
  ['maj7', [0, 4, 7, 11]],
  ['m7', [0, 3, 7, 10]],
  ['6', [0, 4, 7, 9]],
  ['m6', [0, 3, 7, 9]],
  ['m7b5', [0, 3, 6, 10]],
  ['dim7', [0, 3, 6, 9]],
  ['7sus', [0, 5, 7, 10]],
]
/** Share of the sound that a missing chord tone costs, and that the bass on the root gains. From judgement. */
const MISSING_COST = 0.12
const BASS_GAIN = 0.25
/** Below this share of sound inside the chord nothing is guessed. */
const LEAST_SCORE = 0.45

/** The likeliest chord of a stretch, undefined where too little sounds to tell. */
export function inferChord(
  notes: readonly PlayedNote[],
  from: number,
  to: number,
  key: KeySignature,
): Chord | undefined {
  const weights = Array.from({ length: 12 }, () => 0)
  let total = 0
  let bass: { midi: number; start: number } | undefined
  for (const note of notes) {
    const time = Math.min(note.end, to) - Math.max(note.start, from)
    if (time <= 0) continue
    const pc = mod(note.midi, 12)
    weights[pc] = (weights[pc] ?? 0) + time
    total += time
    if (!bass || note.midi < bass.midi) bass = { midi: note.midi, start: note.start }
  }
  if (total === 0 || weights.filter((weight) => weight > 0).length < 2) return undefined
  let best: { score: number; text: string } | undefined
  for (let root = 0; root < 12; root++)
    for (const [suffix, intervals] of QUALITIES) {
      const inside = intervals.reduce((sum, interval) => sum + (weights[mod(root + interval, 12)] ?? 0), 0)
      const missing = intervals.filter((interval) => (weights[mod(root + interval, 12)] ?? 0) === 0).length
      const score = inside / total - missing * MISSING_COST + (bass && mod(bass.midi, 12) === root ? BASS_GAIN : 0)
      if (score > (best?.score ?? LEAST_SCORE) + 1e-9) best = { score, text: `${nameInKey(root, key)}${suffix}` }
    }
  return best && chord(best.text)
}
