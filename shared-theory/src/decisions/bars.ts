/** Bars as opening and ending cut, join and fill them. */
import type { ArrangedBar, ArrangedNote, Chord, Option, PlacedChord, TuneBar, Wish } from '../contract/index.js'
import { sameChord } from '../chords/index.js'
import { beatTicks, halfTick } from '../fit/index.js'
import { barTicks, groupStarts, stableJson } from '../units/index.js'

/** A pickup, or the closing bar that completes it. */
export const isShort = (bar: Pick<ArrangedBar, 'metre' | 'lengthTicks'>): boolean =>
  bar.lengthTicks < barTicks(bar.metre)

/** A bar in the middle is full: a short one takes its missing beats back, its last chord running on. */
export function wholeBar(bar: ArrangedBar): ArrangedBar {
  const lengthTicks = barTicks(bar.metre)
  if (bar.lengthTicks === lengthTicks) return bar
  return { ...bar, lengthTicks, chords: filled(bar.chords, lengthTicks) }
}

/** A full bar whose end is taken by the pickup that leads on; what sounded there is cut at the pickup's first note. Of a pickup longer
 *  than the bar (the metre has changed) the end is played. */
export function withLeadIn(before: ArrangedBar, pickup: TuneBar | ArrangedBar): ArrangedBar {
  const bar = wholeBar(before)
  const offset = bar.lengthTicks - pickup.lengthTicks
  const led = pickup.melody.flatMap((note, index): readonly ArrangedNote[] => {
    const startTick = Math.max(0, note.startTick + offset)
    const durationTicks = note.startTick + offset + note.durationTicks - startTick
    return durationTicks > 0 ? [{ source: { bar: 0, index }, ...note, startTick, durationTicks }] : []
  })
  const first = led[0]?.startTick ?? Math.max(0, offset)
  return { ...bar, melody: [...cutAt(bar.melody, first), ...led] }
}

/** The notes that begin before a tick; one that goes on is cut there and leads into nothing. */
export function cutAt(melody: readonly ArrangedNote[], tick: number): readonly ArrangedNote[] {
  return melody
    .filter((note) => note.startTick < tick)
    .map((note) => {
      if (note.startTick + note.durationTicks < tick) return note
      const { tiedToNext: _tiedToNext, ...cut } = note
      return { ...cut, durationTicks: tick - note.startTick }
    })
}

/** Chords that reach to the next one, the last to the bar's end. */
export function filled(chords: readonly PlacedChord[], lengthTicks: number): readonly PlacedChord[] {
  return chords.map((placed, index) => ({
    ...placed,
    durationTicks: (chords[index + 1]?.startTick ?? lengthTicks) - placed.startTick,
  }))
}

/** Where a bar divides in two: the second of two groups, else as its metre does. */
export function middleTick({ metre, groups }: Pick<ArrangedBar, 'metre' | 'groups'>): number {
  return groups.length === 2 ? (groupStarts(metre, groups)[1] as number) : halfTick(metre)
}

/** One or two chords laid into a bar from a tick on, the second at the bar's middle; before the tick the bar keeps its own. */
export function laidIn(
  bar: Pick<ArrangedBar, 'metre' | 'groups' | 'lengthTicks' | 'chords'>,
  chords: readonly Chord[],
  fromTick = 0,
): readonly PlacedChord[] {
  const head = bar.chords.filter((placed) => placed.startTick < fromTick)
  const middle = middleTick(bar)
  const halfway = fromTick + halfOf(bar.lengthTicks - fromTick, beatTicks(bar.metre))
  const second = middle > fromTick && middle < bar.lengthTicks ? middle : halfway
  const placed: PlacedChord[] = [...head]
  for (const [index, chord] of chords.slice(0, 2).entries()) {
    const last = placed.at(-1)
    if (last && sameChord(last.chord, chord)) continue
    placed.push({ startTick: index === 0 ? fromTick : second, durationTicks: 0, chord })
  }
  return filled(placed, bar.lengthTicks)
}

/** Half of what is left of a bar, the first half the longer one where beats can't be shared. */
function halfOf(ticks: number, beat: number): number {
  const onBeat = Math.ceil(ticks / 2 / beat) * beat
  return onBeat < ticks ? onBeat : Math.floor(ticks / 2)
}

/** A whole number among parameters that may come from anywhere; undefined where it is none or out of bounds. */
export function countIn(params: Option['params'], name: string, least: number, most: number): number | undefined {
  const value = params[name]
  return typeof value === 'number' && Number.isInteger(value) && value >= least && value <= most ? value : undefined
}

/** Each set of parameters once, in the order they came. */
export function distinctParams(all: readonly Option['params'][]): readonly Option['params'][] {
  return [...new Map(all.map((params) => [stableJson(params), params])).values()]
}

/** Lengths to offer beyond the usual ones: the one asked for, and with every 'show me more' one more from the list. */
export function lengthsWished({ bars, more = 0 }: Wish, further: readonly number[]): readonly number[] {
  const asked = bars !== undefined && Number.isInteger(bars) && bars > 0 && bars <= MOST_BARS ? [bars] : []
  return [...new Set([...asked, ...further.slice(0, 2 * more)])]
}

/** Most bars an opening or ending may have. */
export const MOST_BARS = 64
