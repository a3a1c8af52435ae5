/** Other bar lines for a tune that was read: notes and chords stay where they sound, metre and pickup are cut anew around them. */
import type { MelodyNote, Metre, PlacedChord, Result, Section, Tune, TuneBar } from '../../contract/index.js'
import { isMetre, namedSections } from '../../tune/index.js'
import { LIMITS, barTicks, fail, issue, must } from '../../units/index.js'
import { tiled } from './mend-chords.js'

/** Something with its start counted from the beginning of the tune. */
type Timed<T> = T & { readonly at: number }
interface Cut {
  readonly from: number
  readonly to: number
}

/**
 * The whole tune in one metre. `pickupTicks` is how long before the first full bar its first note begins; where it is what it was,
 * silence at the beginning stays. Sections begin at the bar line nearest to where they began.
 */
export function setBarLines(tune: Tune, metre: Metre, pickupTicks: number): Result<Tune> {
  if (!isMetre(metre)) return refuse('A metre has 1 to 64 beats over 2, 4, 8 or 16.')
  const full = barTicks(metre)
  if (!Number.isInteger(pickupTicks) || pickupTicks < 0 || pickupTicks >= full)
    return refuse('A pickup is shorter than a bar.')
  const starts = startsOf(tune)
  const notes = joinedNotes(tune, starts)
  const isSamePickup = pickupTicks === tune.pickupTicks
  const origin = isSamePickup ? 0 : (notes[0]?.at ?? 0)
  const chords = chordsFrom(tune, starts, origin)
  const sounds = Math.max(soundsUntil(notes), (chords.at(-1)?.at ?? 0) + 1)
  const cuts = cutsOf(origin, origin + pickupTicks, full, endOf(tune, starts)).filter(
    // A last bar that only the silence after the end reaches into is none.
    ({ from, to }, at) => at === 0 || from < sounds || to <= endOf(tune, starts),
  )
  if (cuts.length > LIMITS.tuneBars) return refuse(`That makes more than ${LIMITS.tuneBars} bars.`)
  const pieces = notes.flatMap((note) => splitAt(note, cuts))
  const oldBar = (tick: number): number =>
    Math.max(
      0,
      starts.findLastIndex((start) => start <= tick),
    )
  const bars = cuts.map(({ from, to }, barIndex): TuneBar => {
    const middle = must(tune.bars[oldBar((from + to) / 2)], 'every place lies in a bar')
    const isIn = ({ at }: { readonly at: number }): boolean => at >= from && at < to
    const bar = { barIndex, metre, lengthTicks: to - from, key: middle.key, writtenBar: middle.writtenBar }
    return {
      ...bar,
      melody: pieces.filter(isIn).map(({ at, ...note }): MelodyNote => ({ ...note, startTick: at - from })),
      chords: tiled(
        chords.filter(isIn).map(({ at, ...placed }): PlacedChord => ({ ...placed, startTick: at - from })),
        bar,
      ),
    }
  })
  const kept = { ...tune, metre, pickupTicks: cuts.length > 1 ? pickupTicks : 0, bars: withoutEchoes(bars) }
  const nearest = (oldIndex: number): number => nearestCut(cuts, starts[oldIndex] ?? 0)
  const first = kept.pickupTicks > 0 ? 1 : 0
  const marks = tune.sections.map((section) => ({ ...section, startBar: Math.max(first, nearest(section.startBar)) }))
  return {
    ok: true,
    value: {
      ...kept,
      sections: namedSections(kept, withFirst(marks, first)),
      source: {
        ...tune.source,
        issues: tune.source.issues.map((found) =>
          found.bar === undefined ? found : { ...found, bar: nearest(found.bar) },
        ),
      },
    },
  }
}

const refuse = (message: string): Result<Tune> => fail(issue('RD42', 'error', 'metre', message))

function startsOf(tune: Tune): readonly number[] {
  let at = 0
  return tune.bars.map(({ lengthTicks }) => {
    const start = at
    at += lengthTicks
    return start
  })
}

/** The melody on one line; a note cut by an old bar line alone is one note again. */
function joinedNotes(tune: Tune, starts: readonly number[]): readonly Timed<MelodyNote>[] {
  const joined: Timed<MelodyNote>[] = []
  for (const [index, bar] of tune.bars.entries())
    for (const note of bar.melody) {
      const at = must(starts[index], 'every bar has its start') + note.startTick
      const last = joined.at(-1)
      const goesOn = last?.tiedToNext && note.startTick === 0 && last.midi === note.midi && !last.tuplet && !note.tuplet
      if (!goesOn || last.at + last.durationTicks !== at) {
        joined.push({ ...note, at })
        continue
      }
      const { tiedToNext: _tied, ...head } = last
      joined[joined.length - 1] = {
        ...head,
        durationTicks: head.durationTicks + note.durationTicks,
        ...(note.tiedToNext ? { tiedToNext: true as const } : {}),
      }
    }
  return joined
}

/** Where the last bar ends. */
function endOf(tune: Tune, starts: readonly number[]): number {
  const last = tune.bars.length - 1
  return (starts[last] ?? 0) + (tune.bars[last]?.lengthTicks ?? 0)
}

function soundsUntil(notes: readonly Timed<MelodyNote>[]): number {
  const last = notes.at(-1)
  return last ? last.at + last.durationTicks : 0
}

/** Pickup, full bars, and a closing bar that completes the pickup where what is left fits into it. */
function cutsOf(origin: number, downbeat: number, full: number, end: number): Cut[] {
  const cuts: Cut[] = downbeat > origin ? [{ from: origin, to: downbeat }] : []
  const closing = full - (downbeat - origin)
  for (let from = downbeat; from < end || from === downbeat; from += full)
    cuts.push({ from, to: from + (end - from <= closing ? closing : full) })
  return cuts
}

/** A note over a new bar line is cut there and tied. */
function splitAt(note: Timed<MelodyNote>, cuts: readonly Cut[]): Timed<MelodyNote>[] {
  const end = note.at + note.durationTicks
  const { tiedToNext, lyric, grace, ...plain } = note
  return cuts
    .filter(({ from, to }) => from < end && to > note.at)
    .map(({ from, to }) => {
      const at = Math.max(from, note.at)
      const until = Math.min(to, end)
      return {
        ...plain,
        at,
        durationTicks: until - at,
        ...(until < end || tiedToNext ? { tiedToNext: true as const } : {}),
        ...(at === note.at && lyric !== undefined ? { lyric } : {}),
        ...(at === note.at && grace !== undefined ? { grace } : {}),
      }
    })
}

/** A chord before the new beginning sounds at it. */
function chordsFrom(tune: Tune, starts: readonly number[], origin: number): readonly Timed<PlacedChord>[] {
  const placed = tune.bars.flatMap((bar, index) =>
    bar.chords.map((chord) => ({ ...chord, at: (starts[index] ?? 0) + chord.startTick })),
  )
  const early = placed.findLast(({ at }) => at <= origin)
  return [...(early ? [{ ...early, at: origin }] : []), ...placed.filter(({ at }) => at > origin)]
}

/** A chord said again in the middle of a bar, only because a bar line stood there, goes. */
function withoutEchoes(bars: readonly TuneBar[]): TuneBar[] {
  let sounding: string | undefined
  return bars.map((bar) => {
    const chords = bar.chords.filter(({ startTick, chord }) => {
      const isEcho = startTick > 0 && chord.symbol === sounding
      sounding = chord.symbol
      return !isEcho
    })
    return chords.length === bar.chords.length ? bar : { ...bar, chords: tiled(chords, bar) }
  })
}

function nearestCut(cuts: readonly Cut[], tick: number): number {
  let best = 0
  for (const [index, { from }] of cuts.entries())
    if (Math.abs(from - tick) < Math.abs((cuts[best] as Cut).from - tick)) best = index
  return best
}

/** Of two sections at one bar the later stands; the first begins with the form. */
function withFirst(marks: readonly Section[], first: number): readonly Section[] {
  const distinct = marks.filter((mark, at) => marks[at + 1]?.startBar !== mark.startBar)
  return distinct.map((mark, at) => (at === 0 ? { ...mark, startBar: first } : mark))
}
