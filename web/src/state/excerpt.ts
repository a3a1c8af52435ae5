/** The stretch of bars that shows what an option does: a few bars before the change, the change, what was added marked. */
import type { ArrangedBar, BarRef, DecisionKind } from '@chartloft/shared-theory'
import { hashOf, nameOfBar } from '@chartloft/shared-theory'
import { type BarPlace, barPlaces } from '@chartloft/shared-theory/board'

/** An excerpt never shows more than two lines and a half of a chart. */
const MOST_BARS = 10
/** Bars of run-up: to see, and to hear. */
const SEEN_BEFORE: { readonly [kind in DecisionKind]: number } = {
  groove: 0,
  opening: 0,
  harmony: 1,
  lift: 3,
  ending: 3,
}
const HEARD_BEFORE: { readonly [kind in DecisionKind]: number } = {
  groove: 0,
  opening: 0,
  harmony: 2,
  lift: 4,
  ending: 4,
}

export interface ExcerptBar {
  readonly bar: ArrangedBar
  readonly changed: boolean
  readonly added: boolean
  /** Where it stands in the music: what hand edits hold on to. */
  readonly ref: BarRef
  readonly isLast: boolean
}
export interface Excerpt {
  /** Every bar of the arrangement with this option as comments hold on to it, by bar index. */
  readonly places: readonly BarPlace[]
  readonly bars: readonly ExcerptBar[]
  /** Changed bars that found no room. */
  readonly more: number
  readonly addedBars: number
  /** Where listening starts and where the excerpt's music is over, in ticks of the arrangement with this option. */
  readonly fromTick: number
  readonly toTick: number
  readonly fromBar: number
}

/** What is seen and heard of a bar: parts, provenance and names do not count. */
function face(bar: ArrangedBar): string {
  return hashOf([
    bar.metre,
    bar.lengthTicks,
    bar.key.fifths,
    bar.fermataTick,
    bar.tempoEndBpm,
    bar.chords.map((placed) => [placed.startTick, placed.chord.symbol]),
    bar.melody.map((note) => [note.startTick, note.durationTicks, note.midi]),
  ])
}

/** First and one-past-last bar of `after` that stand in no common beginning or end with `before`. */
export function changedSpan(before: readonly ArrangedBar[], after: readonly ArrangedBar[]): readonly [number, number] {
  const old = before.map(face)
  const now = after.map(face)
  const shorter = Math.min(old.length, now.length)
  let start = 0
  while (start < shorter && old[start] === now[start]) start++
  let end = 0
  while (end < shorter - start && old[old.length - 1 - end] === now[now.length - 1 - end]) end++
  return [start, now.length - end]
}

export function excerptOf(
  kind: DecisionKind,
  before: readonly ArrangedBar[],
  after: readonly ArrangedBar[],
  /** Where the decision acts, for options that leave everything as it was. */
  home: number,
): Excerpt {
  const [first, last] = spanOf(kind, before, after, home)
  const faces = new Set(before.map(face))
  const isChange = first < last
  const from = Math.max(0, (isChange ? first : home) - SEEN_BEFORE[kind])
  const wanted = isChange ? (kind === 'lift' ? Math.min(last, first + 6) : last) : from + 4
  const to = Math.min(after.length, Math.max(wanted + (kind === 'opening' ? 2 : 0), from + 4))
  const shown = after.slice(from, Math.min(to, from + MOST_BARS))
  const heardFrom = Math.max(0, (isChange ? first : home) - HEARD_BEFORE[kind])
  const heardTo = Math.min(after.length, Math.max(to, heardFrom + 8) + 2)
  return {
    places: barPlaces(after),
    bars: shown.map((bar, index) => {
      const at = from + index
      const inside = at >= first && at < last
      return {
        bar,
        changed: inside && (isAdded(bar) || !faces.has(face(bar))),
        added: inside && isAdded(bar),
        ref: nameOfBar(after, at) as BarRef,
        isLast: at === after.length - 1,
      }
    }),
    more: Math.max(0, Math.min(to, after.length) - (from + shown.length)),
    addedBars: after.length - before.length,
    fromTick: ticksBefore(after, heardFrom),
    toTick: ticksBefore(after, heardTo),
    fromBar: heardFrom,
  }
}

const isAdded = (bar: ArrangedBar): boolean => bar.provenance.tuneBar === undefined

/** An opening ends where the tune goes on as before; an ending starts where it no longer does; a groove changes no note. */
function spanOf(
  kind: DecisionKind,
  before: readonly ArrangedBar[],
  after: readonly ArrangedBar[],
  home: number,
): readonly [number, number] {
  if (kind === 'groove') return [home, home]
  const [first, last] = changedSpan(before, after)
  if (first >= last) return [home, home]
  return kind === 'ending' ? [first, after.length] : [first, last]
}

export function ticksBefore(bars: readonly ArrangedBar[], barIndex: number): number {
  let ticks = 0
  for (const bar of bars.slice(0, barIndex)) ticks += bar.lengthTicks
  return ticks
}
