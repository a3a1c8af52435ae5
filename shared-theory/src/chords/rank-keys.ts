/** The key of a melody from how long each pitch class sounds, where it ends and how it gets there. */
import type { KeyName } from '../contract/index.js'
import { keyAway, keySignatureOf, mod } from '../units/index.js'

export interface KeyRank {
  readonly key: KeyName
  /** Correlation plus evidence, about −1…2.4; comparable within one list. */
  readonly score: number
  /** 0…1: ½ where another key does as well, towards 1 the further it leads, towards 0 the further it is behind. */
  readonly confidence: number
}

/** Source: Krumhansl & Kessler 1982, probe-tone ratings from the tonic up. */
export const KRUMHANSL_KESSLER = {
  major: [6.35, 2.23, 3.48, 2.33, 4.38, 4.09, 2.52, 5.19, 2.39, 3.66, 2.29, 2.88],
  minor: [6.33, 2.68, 3.52, 5.38, 2.6, 3.53, 2.54, 4.75, 3.98, 2.69, 3.34, 3.17],
} as const
/** Source: Temperley's profiles from the Kostka–Payne corpus, from the tonic up. */
export const TEMPERLEY = {
  major: [0.748, 0.06, 0.488, 0.082, 0.67, 0.46, 0.096, 0.715, 0.104, 0.366, 0.057, 0.4],
  minor: [0.712, 0.084, 0.474, 0.618, 0.049, 0.46, 0.105, 0.747, 0.404, 0.067, 0.133, 0.33],
} as const

/** Weights of the evidence beside the profiles' mean correlation (−1…1). Source: judgement, tried on the worked tunes. */
const WEIGHTS = {
  /** Share of the time that lies in the key's signature. */
  signature: 1,
  /** The last note is the tonic; half of it for the third, a quarter for the fifth. */
  finalNote: 0.24,
  /** The tonic at the end is reached from the leading note, the dominant or the second degree. */
  cadence: 0.06,
  /** The key's own leading note sounds (raised in minor). */
  leadingNote: 0.06,
  /** The first note is the tonic or fifth. */
  firstNote: 0.03,
  /** Taken away, with all evidence of the line, where only the other mode's third sounds. */
  foreignThird: 0.2,
  /** Taken away from minor where the major third sounds too: in major a minor third is a blue note, the other way round it is foreign. */
  majorThirdInMinor: 0.2,
}
const SIGNATURE_STEPS = { major: [0, 2, 4, 5, 7, 9, 11], minor: [0, 2, 3, 5, 7, 8, 10] } as const
const LEAD_FOR_FULL_CONFIDENCE = 0.3

type Mode = 'major' | 'minor'
const KEYS: readonly { readonly tonic: number; readonly mode: Mode; readonly key: KeyName }[] = (
  ['major', 'minor'] as const
).flatMap((mode) =>
  Array.from({ length: 12 }, (_, tonic) => ({
    tonic,
    mode,
    key: keyAway(keySignatureOf(`C ${mode}`), tonic > 6 ? tonic - 12 : tonic).key,
  })),
)

/**
 * All 24 keys, likeliest first; the second is the runner-up. Names take the signature with fewer accidentals (G♭ at six each).
 * Notes may come in any order if they carry `startTick`; without it they are taken in the order given. No notes: all scores 0.
 */
export function rankKeys(
  notes: readonly { readonly midi: number; readonly durationTicks: number; readonly startTick?: number }[],
): { key: KeyName; score: number; confidence: number }[] {
  const ordered = notes
    .map((note, index) => ({
      pc: mod(Math.round(note.midi), 12),
      weight: note.durationTicks,
      at: note.startTick ?? index,
    }))
    .filter(({ pc, weight }) => Number.isFinite(pc) && weight > 0)
    .sort((a, b) => a.at - b.at)
  const weights: number[] = Array.from({ length: 12 }, () => 0)
  for (const { pc, weight } of ordered) weights[pc] = (weights[pc] as number) + weight
  const line = ordered.map(({ pc }) => pc)
  const scored = KEYS.map(({ key, tonic, mode }) => ({
    key,
    score: line.length === 0 ? 0 : profileScore(weights, tonic, mode) + lineScore(line, weights, tonic, mode),
  })).sort((a, b) => b.score - a.score)
  const [best, second] = scored
  return scored.map(({ key, score }, rank) => {
    const rival = (rank === 0 ? second : best)?.score ?? 0
    const lead = (score - rival) / LEAD_FOR_FULL_CONFIDENCE
    return { key, score, confidence: Math.min(1, Math.max(0, 0.5 + lead / 2)) }
  })
}

/** Mean of the two profiles' correlations with the durations. */
function profileScore(weights: readonly number[], tonic: number, mode: Mode): number {
  return (correlation(weights, KRUMHANSL_KESSLER[mode], tonic) + correlation(weights, TEMPERLEY[mode], tonic)) / 2
}

function lineScore(line: readonly number[], weights: readonly number[], tonic: number, mode: Mode): number {
  const above = (pc: number | undefined): number => (pc === undefined ? -1 : mod(pc - tonic, 12))
  const timeOn = (interval: number): number => weights[mod(tonic + interval, 12)] as number
  const all = weights.reduce((sum, weight) => sum + weight, 0)
  const inSignature = SIGNATURE_STEPS[mode].reduce<number>((sum, step) => sum + timeOn(step), 0) / all
  const third = mode === 'major' ? 4 : 3
  let score = WEIGHTS.signature * inSignature
  if (timeOn(third) === 0 && timeOn(7 - third) > 0) return score - WEIGHTS.foreignThird
  if (mode === 'minor' && timeOn(4) > 0) score -= WEIGHTS.majorThirdInMinor
  const last = above(line.at(-1))
  if (last === 0) score += WEIGHTS.finalNote
  else if (last === third) score += WEIGHTS.finalNote / 2
  else if (last === 7) score += WEIGHTS.finalNote / 4
  const before = above(line.findLast((pc) => above(pc) !== last))
  if (last === 0 && (before === 11 || before === 7 || before === 2)) score += WEIGHTS.cadence
  if (timeOn(11) > 0) score += WEIGHTS.leadingNote
  const first = above(line[0])
  if (first === 0 || first === 7) score += WEIGHTS.firstNote
  return score
}

/** Pearson correlation of durations with a profile turned to a tonic; 0 where all durations are equal. */
function correlation(weights: readonly number[], profile: readonly number[], tonic: number): number {
  const meanWeight = weights.reduce((sum, weight) => sum + weight, 0) / 12
  const meanProfile = profile.reduce((sum, rating) => sum + rating, 0) / 12
  let product = 0
  let weightSquares = 0
  let profileSquares = 0
  for (let step = 0; step < 12; step++) {
    const x = (weights[mod(tonic + step, 12)] as number) - meanWeight
    const y = (profile[step] as number) - meanProfile
    product += x * y
    weightSquares += x * x
    profileSquares += y * y
  }
  const size = Math.sqrt(weightSquares * profileSquares)
  return size === 0 ? 0 : product / size
}
