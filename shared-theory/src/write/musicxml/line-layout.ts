/** How a part's bars fall into lines: long rests as one sign, four bars to a line, sections at line starts. */
import { type ChartPart, showsHarmony, voicesOf } from './chart-part.js'
import type { ChartBar } from './measure.js'

const BARS_A_LINE = 4
/** Bars longer than seven quarters fill a line by twos. */
const LONG_BAR_TICKS = 7 * 5040

/** Marks the bars that begin a line: section starts, and every fourth (second where bars are long) after one. A long rest takes one
 *  bar's room, and where a line is nothing but rests the next section's rest may follow on it. */
export function withLines(charts: readonly ChartBar[]): readonly ChartBar[] {
  let room = 0
  let isAllRest = true
  let restsUntil = 0
  return charts.map((chart, index) => {
    if (chart.isPickup || index < restsUntil) return chart
    const { restBars } = chart
    restsUntil = index + (restBars ?? 0)
    const taken = chart.bar.lengthTicks > LONG_BAR_TICKS && restBars === undefined ? 2 : 1
    const begins = chart.mark !== undefined && !(isAllRest && restBars !== undefined)
    const isLineStart = room > 0 && (begins || (room + taken > BARS_A_LINE && !closesLine(charts, index, room)))
    room = isLineStart ? taken : room + taken
    isAllRest = (isLineStart || isAllRest) && restBars !== undefined
    return isLineStart ? { ...chart, isLineStart } : chart
  })
}

/** A later ending of a bar or two stays beside the one before it, rather than stretched over a line of its own. */
const MOST_WITH_ENDINGS = 6

function closesLine(charts: readonly ChartBar[], index: number, room: number): boolean {
  const ending = charts[index]?.folded?.ending
  if (ending === undefined || ending.includes(1)) return false
  let first = index
  while (first > 0 && charts[first - 1]?.folded?.ending?.join() === ending.join()) first--
  let end = index
  while (charts[end + 1]?.folded?.ending?.join() === ending.join()) end++
  const before = index - first
  const isShort = charts.slice(first, end + 1).every(({ bar }) => bar.lengthTicks <= LONG_BAR_TICKS)
  return isShort && room - before + (end - first + 1) <= MOST_WITH_ENDINGS && room - before > 1
}

/** Stretches of two and more empty bars of a part, with nothing printed above them after the first, become one sign. */
export function withRestBars(part: ChartPart, charts: readonly ChartBar[]): readonly ChartBar[] {
  const out = [...charts]
  let at = 0
  while (at < charts.length) {
    let count = 0
    while (at + count < charts.length && restsThrough(part, charts[at + count]!, count === 0)) {
      // The end of an ending's bracket would be lost inside the stretch.
      if (count > 0 && charts[at + count]!.endingStops) break
      count++
      const last = charts[at + count - 1]!
      if (last.folded?.repeatEnd !== undefined || last.endingStops) break
    }
    if (count > 1) out[at] = { ...charts[at]!, restBars: count }
    at += Math.max(1, count)
  }
  return out
}

function restsThrough(part: ChartPart, chart: ChartBar, isFirst: boolean): boolean {
  const { bar, folded, writtenBefore: before } = chart
  const isEmpty = voicesOf(part, bar).every(({ notes, slashed }) => notes.length === 0 && !slashed)
  // Signs at a bar's end would be lost inside the stretch.
  if (folded?.toCoda || folded?.jump) return false
  if (!isEmpty || chart.isPickup || bar.fermataTick !== undefined || showsHarmony(part, bar, false)) return false
  if (isFirst) return true
  const changes =
    !before ||
    before.feel !== bar.feel ||
    before.tempoBpm !== bar.tempoBpm ||
    bar.tempoEndBpm !== undefined ||
    before.key.fifths !== bar.key.fifths ||
    before.metre.beats !== bar.metre.beats ||
    before.metre.beatType !== bar.metre.beatType
  const hasSign = folded?.segno ?? folded?.coda ?? folded?.repeatStart ?? chart.endingStarts
  return !changes && !hasSign && !chart.mark && bar.mark === undefined && bar.dynamic === undefined
}
