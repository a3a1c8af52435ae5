/** How alike two stretches of a tune are: the share of time in which the same pitch, and the same chord, sounds. */
import { sameChord } from '../chords/index.js'
import type { Chord, PlacedChord, Tune, TuneBar } from '../contract/index.js'
import { soundingChords } from './sounding.js'

/** Melody weighs more than harmony: a new tune over the old chords is a new section. From judgement. */
const MELODY_SHARE = 0.6

export interface LikenessView {
  /** Likeness 0…1 of two stretches of equal length, given by their first bars. */
  readonly ofStretches: (first: number, second: number, bars: number) => number
}

/** Bars are indices into `tune.bars`. */
export function likenessOf(tune: Tune): LikenessView {
  const chords = soundingChords(tune)
  const known = new Map<number, number>()
  const ofBars = (a: number, b: number): number => {
    const id = a * 4096 + b
    const before = known.get(id)
    if (before !== undefined) return before
    const value = barLikeness(tune.bars[a], tune.bars[b], chords[a] ?? [], chords[b] ?? [])
    known.set(id, value)
    return value
  }
  return {
    ofStretches: (first, second, bars) => {
      let sum = 0
      for (let at = 0; at < bars; at++) sum += ofBars(first + at, second + at)
      return bars > 0 ? sum / bars : 0
    },
  }
}

function barLikeness(
  a: TuneBar | undefined,
  b: TuneBar | undefined,
  chordsA: readonly PlacedChord[],
  chordsB: readonly PlacedChord[],
): number {
  if (!a || !b) return 0
  const length = Math.max(a.lengthTicks, b.lengthTicks)
  const melody = agreement(
    a.melody.map((note) => [note.startTick, note.startTick + note.durationTicks, note.midi] as const),
    b.melody.map((note) => [note.startTick, note.startTick + note.durationTicks, note.midi] as const),
    length,
    (one, other) => (one === other ? 1 : 0),
  )
  if (chordsA.length === 0 && chordsB.length === 0) return melody
  const harmony = agreement(spans(chordsA), spans(chordsB), length, (one, other) =>
    one && other ? chordAgreement(one, other) : one === other ? 1 : 0,
  )
  return MELODY_SHARE * melody + (1 - MELODY_SHARE) * harmony
}

function spans(chords: readonly PlacedChord[]): (readonly [from: number, to: number, chord: Chord])[] {
  return chords.map((one) => [one.startTick, one.startTick + one.durationTicks, one.chord])
}

function chordAgreement(a: Chord, b: Chord): number {
  if (a.symbol === b.symbol || sameChord(a, b)) return 1
  return a.root === b.root ? 0.5 : 0
}

/** Time-weighted agreement of two rows of spans in order; silence against silence agrees. */
function agreement<T>(
  a: readonly (readonly [from: number, to: number, what: T])[],
  b: readonly (readonly [from: number, to: number, what: T])[],
  length: number,
  like: (one: T | undefined, other: T | undefined) => number,
): number {
  let sum = 0
  let at = 0
  let indexA = 0
  let indexB = 0
  while (at < length) {
    while ((a[indexA]?.[1] ?? length + 1) <= at) indexA++
    while ((b[indexB]?.[1] ?? length + 1) <= at) indexB++
    const one = a[indexA]
    const other = b[indexB]
    const until = Math.min(length, nextEdge(one, at), nextEdge(other, at))
    sum += (until - at) * like(one && one[0] <= at ? one[2] : undefined, other && other[0] <= at ? other[2] : undefined)
    at = until
  }
  return length > 0 ? sum / length : 1
}

function nextEdge(span: readonly [from: number, to: number, ...rest: unknown[]] | undefined, at: number): number {
  if (!span) return Number.POSITIVE_INFINITY
  return span[0] > at ? span[0] : span[1]
}
