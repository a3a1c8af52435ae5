/** Voice leading held against trying everything: for the tests and the bench alike. */
import {
  type Chord,
  type VoicingOptions,
  chord,
  minimalVoiceLeading,
  movementBetween,
  voiceProgression,
  voicingsOf,
} from '@chartloft/shared-theory'
import { drawn } from '../fixtures/made-tunes.js'

const SYMBOLS =
  'C Am7 Dm7 G7 Cmaj7 F#m7b5 Bbmaj7 E7b9 A7alt D13 G7sus Db7#11 Cm6 Abdim7 Ebmaj9 F6 Bm7b5 B7 Gm7 C7#5 Fm7 Bb7 Eb6/9 Caug F5 Gsus2 D/F# Abmaj7#11 CmMaj7 C#m7'.split(
    ' ',
  )
const STYLES = ['close', 'drop2', 'shell', 'rootless', 'spread', 'quartal', 'upper', 'any'] as const

const CHART =
  'Fmaj7 Dm7 Gm7 C7 Gm7 C7 F6 F6 Fmaj7 Dm7 Gm7 C7 Gm7 C7 F6 Cm7 Bbmaj7 Eb7 Am7 D7 G7 G7 Gm7 C7 Fmaj7 Dm7 Gm7 C7 Gm7 C7 F6 F6'
    .split(' ')
    .map((symbol) => chord(symbol))

/** 32 bars in four parts, once. */
export function chartVoiced(): void {
  voiceProgression(CHART)
}

export interface OptimumFigures {
  readonly progressions: number
  /** Symbols, style and both sums of those that are not the least. */
  readonly beaten: readonly string[]
}

/** Seeded progressions of two to four chords in every style and with three to five voices, against every path through their candidates. */
export function optimumFigures(seed: number, progressions: number): OptimumFigures {
  const next = drawn(seed)
  const pick = <T>(list: readonly T[]): T => list[next(list.length)] as T
  const beaten: string[] = []
  for (let round = 0; round < progressions; round++) {
    const style = pick(STYLES)
    const voices = style === 'upper' ? 5 : 3 + next(3)
    const length = style === 'any' ? 2 : 2 + next(3)
    const chords = Array.from({ length }, () => chord(pick(SYMBOLS)))
    const low = 45 + next(8)
    const options: VoicingOptions = { style, voices, range: [low, low + 26 + next(6)] }
    const least = leastOfAll(chords, options)
    const total = voiceProgression(chords, options).reduce((sum, { movement }) => sum + movement, 0)
    if (total !== least) beaten.push(`${chords.map(({ symbol }) => symbol).join(' ')} ${style}: ${total}, not ${least}`)
  }
  return { progressions, beaten }
}

/** Every path, one by one, without remembering anything. */
function leastOfAll(chords: readonly Chord[], options: VoicingOptions): number {
  const columns = chords.map((each) => voicingsOf(each, options))
  const walk = (index: number, from: readonly number[] | undefined, sum: number, best: number): number => {
    if (sum >= best) return best
    const column = columns[index]
    if (!column) return sum
    let least = best
    for (const midi of column)
      least = Math.min(least, walk(index + 1, midi, sum + (from ? movementBetween(from, midi) : 0), least))
    return least
  }
  return walk(0, undefined, 0, Number.POSITIVE_INFINITY)
}

export interface LeadingFigures {
  readonly pairs: number
  readonly wrong: readonly string[]
}

/** All pairs of sets of three and four pitch classes, up to transposition (or every `step`th of them), against trying every way. */
export function leadingFigures(step = 1): LeadingFigures {
  const sets = [...setsOf(3), ...setsOf(4)]
  const wrong: string[] = []
  let pairs = 0
  let index = 0
  for (const from of sets.filter((set) => set[0] === 0)) {
    for (const to of sets) {
      if (index++ % step !== 0) continue
      pairs++
      const { size, moves } = minimalVoiceLeading(from, to)
      const said = moves.reduce((sum, [a, b]) => sum + apart(a, b), 0)
      const takesPart =
        new Set(moves.map(([a]) => a)).size === from.length && new Set(moves.map(([, b]) => b)).size === to.length
      if (size !== leastPairing(from, to) || said !== size || !takesPart)
        wrong.push(`${from.join(' ')} → ${to.join(' ')}: ${size}`)
    }
  }
  return { pairs, wrong }
}

const apart = (a: number, b: number): number => Math.min((b - a + 12) % 12, (a - b + 12) % 12)

/** Every note above goes to any note below, and whoever is left there comes from the nearest: all such ways, one by one. */
function leastPairing(from: readonly number[], to: readonly number[]): number {
  const nearest = to.map((b) => Math.min(...from.map((a) => apart(a, b))))
  const walk = (at: number, reached: number, sum: number): number => {
    if (at === from.length)
      return nearest.reduce((total, distance, index) => (reached & (1 << index) ? total : total + distance), sum)
    let least = Number.POSITIVE_INFINITY
    for (const [index, b] of to.entries())
      least = Math.min(least, walk(at + 1, reached | (1 << index), sum + apart(from[at] as number, b)))
    return least
  }
  return walk(0, 0, 0)
}

function setsOf(size: number): readonly (readonly number[])[] {
  const found: number[][] = []
  const walk = (set: readonly number[], from: number): void => {
    if (set.length === size) {
      found.push([...set])
      return
    }
    for (let pc = from; pc < 12; pc++) walk([...set, pc], pc + 1)
  }
  walk([], 0)
  return found
}
