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

/**
 * Weights of the evidence. Source: fitted (softmax over the 24 keys, by half) to some 4,800 labelled tunes of eighteenth- and
 * nineteenth-century collections and four-part chorales, then rounded; checked on the other half. Shares are of the sounding time.
 */
const WEIGHTS = {
  krumhanslKessler: 2.3,
  temperley: 2.6,
  /** Share in the key's own scale, and in the better of it and its neighbour (mixolydian, dorian). */
  ownScale: 2.3,
  modalScale: 2.2,
  /** The last note (the lowest, of a chord) is the tonic. */
  finalNote: 1.9,
  /** Taken from it where the last note is one of a run that leads back to the beginning. */
  finalNoteInRun: -0.9,
  /** Share of the tonic in all, among the longer notes, and at the opening; of the triad's other notes at the opening. */
  tonic: 2.5,
  tonicAmongLong: 1.2,
  tonicAtOpening: 3.8,
  triadAtOpening: 2.5,
  /** The first note is the fifth: the usual pickup. */
  firstIsFifth: 0.55,
  /** The leading note sounds (raised in minor). */
  leadingNote: 1.1,
  /** Steps of the line from tonic to fifth and back, a share of all its steps. */
  tonicToFifth: 1.7,
  fifthToTonic: 1,
  /** Share of the other mode's third; more so where it alone sounds. */
  otherThird: -0.7,
  otherThirdAlone: -5,
  /** The major third sounds in minor as much as its own: in major a minor third is a blue note, the other way round it is foreign. From judgement. */
  majorThirdInMinor: -2.2,
}
const SCALES = {
  major: { own: [0, 2, 4, 5, 7, 9, 11], modal: [0, 2, 4, 5, 7, 9, 10] },
  minor: { own: [0, 2, 3, 5, 7, 8, 10], modal: [0, 2, 3, 5, 7, 9, 10] },
} as const
/** Notes that make the opening. */
const OPENING = 8
/** A lead by which a key is as good as sure. From judgement. */
const LEAD_FOR_FULL_CONFIDENCE = 2

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

/** What is counted of the notes once, for all keys. */
interface Heard {
  /** Sounding time by pitch class, each a share of all. */
  readonly time: Shares
  readonly long: Shares
  readonly opening: Shares
  readonly first: number
  readonly last: number
  readonly leadsOn: boolean
  /** Steps between pitch classes of the line, from × 12 + to, each a share of all. */
  readonly steps: ReadonlyMap<number, number>
}
type Shares = readonly number[]
interface Sounded {
  readonly midi: number
  readonly durationTicks: number
  readonly at: number
}

/**
 * All 24 keys, likeliest first; the second is the runner-up. Names take the signature with fewer accidentals (G♭ at six each).
 * Notes may come in any order if they carry `startTick`; without it they are taken in the order given. Notes together are a chord, of
 * which the lowest speaks last. No notes: all scores 0.
 */
export function rankKeys(
  notes: readonly { readonly midi: number; readonly durationTicks: number; readonly startTick?: number }[],
): { key: KeyName; score: number; confidence: number }[] {
  const sounded = notes
    .map(({ midi, durationTicks, startTick }, index) => ({ midi, durationTicks, at: startTick ?? index }))
    .filter(({ midi, durationTicks }) => Number.isFinite(midi) && durationTicks > 0)
    .map((note) => ({ ...note, midi: Math.round(note.midi) }))
    .sort((a, b) => a.at - b.at || b.midi - a.midi)
  const heard = sounded.length === 0 ? undefined : hear(sounded)
  const scored = KEYS.map(({ key, tonic, mode }) => ({ key, score: heard ? scoreOf(heard, tonic, mode) : 0 })).sort(
    (a, b) => b.score - a.score,
  )
  const [best, second] = scored
  return scored.map(({ key, score }, rank) => {
    const rival = (rank === 0 ? second : best)?.score ?? 0
    const lead = (score - rival) / LEAD_FOR_FULL_CONFIDENCE
    return { key, score, confidence: Math.min(1, Math.max(0, 0.5 + lead / 2)) }
  })
}

/** Whether a line ends in a run of four equal notes, none longer than most: it leads on, as round tunes do, and is no close. */
export function endsInRun(durations: readonly number[]): boolean {
  const last = durations.slice(-RUN)
  const median = durations.toSorted((a, b) => a - b)[Math.floor(durations.length / 2)] ?? 0
  return last.length === RUN && last.every((each) => each === last[0]) && (last[0] as number) <= median
}
const RUN = 4

function hear(sounded: readonly Sounded[]): Heard {
  const durations = sounded.map(({ durationTicks }) => durationTicks).sort((a, b) => a - b)
  const median = durations[Math.floor(durations.length / 2)] as number
  const pcs = sounded.map(({ midi }) => mod(midi, 12))
  const steps = new Map<number, number>()
  for (let index = 1; index < pcs.length; index++) {
    const step = (pcs[index - 1] as number) * 12 + (pcs[index] as number)
    steps.set(step, (steps.get(step) ?? 0) + 1 / pcs.length)
  }
  return {
    time: sharesOf(sounded),
    long: sharesOf(sounded.filter(({ durationTicks }) => durationTicks >= 2 * median)),
    opening: sharesOf(sounded.slice(0, OPENING)),
    first: pcs[0] as number,
    last: pcs.at(-1) as number,
    leadsOn: endsInRun(sounded.map(({ durationTicks }) => durationTicks)),
    steps,
  }
}

function sharesOf(notes: readonly Sounded[]): Shares {
  const time: number[] = Array.from({ length: 12 }, () => 0)
  let all = 0
  for (const { midi, durationTicks } of notes) {
    time[mod(midi, 12)] = (time[mod(midi, 12)] as number) + durationTicks
    all += durationTicks
  }
  return all === 0 ? time : time.map((each) => each / all)
}

function scoreOf(heard: Heard, tonic: number, mode: Mode): number {
  const above = (semitones: number): number => mod(tonic + semitones, 12)
  const on = (shares: Shares, semitones: number): number => shares[above(semitones)] as number
  const within = (scale: readonly number[]): number => scale.reduce((sum, step) => sum + on(heard.time, step), 0)
  const step = (from: number, to: number): number => heard.steps.get(above(from) * 12 + above(to)) ?? 0
  const third = mode === 'major' ? 4 : 3
  const own = within(SCALES[mode].own)
  const other = on(heard.time, 7 - third)
  let score =
    WEIGHTS.krumhanslKessler * correlation(heard.time, KRUMHANSL_KESSLER[mode], tonic) +
    WEIGHTS.temperley * correlation(heard.time, TEMPERLEY[mode], tonic) +
    WEIGHTS.ownScale * own +
    WEIGHTS.modalScale * Math.max(own, within(SCALES[mode].modal)) +
    WEIGHTS.tonic * on(heard.time, 0) +
    WEIGHTS.tonicAmongLong * on(heard.long, 0) +
    WEIGHTS.tonicAtOpening * on(heard.opening, 0) +
    WEIGHTS.triadAtOpening * (on(heard.opening, third) + on(heard.opening, 7)) +
    WEIGHTS.tonicToFifth * step(0, 7) +
    WEIGHTS.fifthToTonic * step(7, 0) +
    WEIGHTS.otherThird * other
  if (heard.last === tonic) score += WEIGHTS.finalNote + (heard.leadsOn ? WEIGHTS.finalNoteInRun : 0)
  if (heard.first === above(7)) score += WEIGHTS.firstIsFifth
  if (on(heard.time, 11) > 0) score += WEIGHTS.leadingNote
  if (other > 0 && on(heard.time, third) === 0) score += WEIGHTS.otherThirdAlone
  if (mode === 'minor' && other > 0)
    score += WEIGHTS.majorThirdInMinor * (other / Math.max(other, on(heard.time, third)))
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
