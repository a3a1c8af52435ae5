/** The least motion between two chords: an exact minimum edge cover of their notes. */
import { mod } from '../units/index.js'

/** The longest list solved note for note; longer ones are taken as sets of pitch classes (at most 12). */
const LONGEST_LIST = 14

/**
 * Every note of both chords takes part at least once, doublings allowed, each pair the short way round the octave; `size` is the least
 * possible sum of moves in semitones. Pitch classes in and out (any integers, taken modulo 12). An empty side moves nothing.
 * Method: Tymoczko 2006, sizes of voice leadings. Exact: each note's cheapest pair, less the best matching of what two notes save together.
 */
export function minimalVoiceLeading(
  from: readonly number[],
  to: readonly number[],
): { size: number; moves: [from: number, to: number][] } {
  const above = asPitchClasses(from)
  const below = asPitchClasses(to)
  if (above.length === 0 || below.length === 0) return { size: 0, moves: [] }
  const nearestBelow = above.map((pc) => nearest(pc, below))
  const nearestAbove = below.map((pc) => nearest(pc, above))
  const matched = bestMatching(above, below, (i, j) => {
    const apart = distance(above[i] as number, below[j] as number)
    return (
      distance(above[i] as number, nearestBelow[i] as number) +
      distance(below[j] as number, nearestAbove[j] as number) -
      apart
    )
  })
  const moves: [number, number][] = []
  const covered = new Set<number>()
  for (let i = 0; i < above.length; i++) {
    const j = matched[i] as number
    moves.push([above[i] as number, j < 0 ? (nearestBelow[i] as number) : (below[j] as number)])
    if (j >= 0) covered.add(j)
  }
  for (let j = 0; j < below.length; j++) {
    if (!covered.has(j)) moves.push([nearestAbove[j] as number, below[j] as number])
  }
  moves.sort((a, b) => a[0] - b[0] || a[1] - b[1])
  return { size: moves.reduce((sum, [a, b]) => sum + distance(a, b), 0), moves }
}

function asPitchClasses(notes: readonly number[]): readonly number[] {
  const pcs = notes.filter(Number.isFinite).map((note) => mod(Math.round(note), 12))
  return pcs.length > LONGEST_LIST ? [...new Set(pcs)] : pcs
}

/** Semitones between pitch classes the short way round. */
function distance(a: number, b: number): number {
  const up = mod(b - a, 12)
  return Math.min(up, 12 - up)
}

function nearest(pc: number, among: readonly number[]): number {
  return among.reduce((best, each) => (distance(pc, each) < distance(pc, best) ? each : best))
}

/** The matching with the greatest total saving, by dynamic programming over the set of `below` already used; −1 where unmatched. */
function bestMatching(
  above: readonly number[],
  below: readonly number[],
  saving: (i: number, j: number) => number,
): readonly number[] {
  const masks = 1 << below.length
  const best: Int16Array[] = Array.from({ length: above.length + 1 }, () => new Int16Array(masks))
  for (let i = above.length - 1; i >= 0; i--) {
    const here = best[i] as Int16Array
    const next = best[i + 1] as Int16Array
    for (let mask = 0; mask < masks; mask++) {
      let most = next[mask] as number
      for (let j = 0; j < below.length; j++) {
        if (mask & (1 << j)) continue
        most = Math.max(most, saving(i, j) + (next[mask | (1 << j)] as number))
      }
      here[mask] = most
    }
  }
  const matched: number[] = []
  let mask = 0
  for (let i = 0; i < above.length; i++) {
    const value = (best[i] as Int16Array)[mask] as number
    const next = best[i + 1] as Int16Array
    let choice = -1
    for (let j = 0; j < below.length && choice < 0; j++) {
      if (!(mask & (1 << j)) && saving(i, j) + (next[mask | (1 << j)] as number) === value && saving(i, j) > 0)
        choice = j
    }
    matched.push(choice)
    if (choice >= 0) mask |= 1 << choice
  }
  return matched
}
