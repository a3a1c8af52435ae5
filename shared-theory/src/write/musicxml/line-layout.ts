/** How a part's bars fall into lines: long rests as one sign, four bars to a line, sections at line starts. */
import { type ChartPart, showsHarmony, voicesOf } from './chart-part.js'
import type { ChartBar } from './measure.js'

/** Bars longer than seven quarters fill a line by twos. */
const LONG_BAR_TICKS = 7 * 5040

/** Marks the bars that begin a line: section starts, and every fourth (second where bars are long) after one; the last six of a section
 *  are three and three. A long rest takes one
 *  bar's room, and where a line is nothing but rests the next section's rest may follow on it. */
export function withLines(charts: readonly ChartBar[], barsALine = 4): readonly ChartBar[] {
  let room = 0
  let isAllRest = true
  let restsUntil = 0
  let most = barsALine
  return charts.map((chart, index) => {
    if (chart.isPickup || index < restsUntil) return chart
    const { restBars } = chart
    restsUntil = index + (restBars ?? 0)
    const taken = chart.bar.lengthTicks > LONG_BAR_TICKS && restBars === undefined ? 2 : 1
    const joins = (isAllRest && restBars !== undefined) || followsOneBar(charts, index, room, barsALine)
    if (chart.mark !== undefined && !isAllRest && joins) most = barsALine + 1
    const isFull = room + taken > most
    const isLineStart =
      room > 0 &&
      ((chart.mark !== undefined && !joins) ||
        (isFull && !closesLine(charts, index, room, barsALine) && !isWidow(charts, index, room, barsALine)))
    if (isLineStart || room === 0) most = leavesPair(charts, index, barsALine) ? EVEN_LINE : barsALine
    room = isLineStart ? taken : room + taken
    isAllRest = (isLineStart || isAllRest) && restBars !== undefined
    return isLineStart ? { ...chart, isLineStart } : chart
  })
}

/** Six bars are two lines of three: four and a pair would set the pair twice as wide as the rest. */
const EVEN_LINE = 3

/** Whether a section goes on from here for six bars like any others. */
function leavesPair(charts: readonly ChartBar[], from: number, barsALine: number): boolean {
  const next = charts.findIndex(({ mark }, index) => index > from && mark !== undefined)
  const rest = charts.slice(from, next < 0 ? undefined : next)
  return barsALine === 4 && rest.length === 2 * EVEN_LINE && rest.every((chart) => isShort(chart) && isPlain(chart))
}

const isPlain = ({ restBars, folded }: ChartBar): boolean => restBars === undefined && folded?.ending === undefined

const isShort = ({ bar }: ChartBar): boolean => bar.lengthTicks <= LONG_BAR_TICKS

/** A section of one bar, such as a short coda, is no line: the next section goes on beside it. */
function followsOneBar(charts: readonly ChartBar[], index: number, room: number, barsALine: number): boolean {
  const before = charts[index - 1]
  return (
    barsALine >= 4 &&
    room === 1 &&
    before?.mark !== undefined &&
    charts.slice(index - 1, index + barsALine).every(isShort)
  )
}

/** A section's last bar does not stand on a line alone: four short bars make room for it. */
function isWidow(charts: readonly ChartBar[], index: number, room: number, barsALine: number): boolean {
  const after = charts[index + 1]
  const isLast = !after || after.mark !== undefined
  return isLast && barsALine >= 4 && room === barsALine && charts.slice(index - room, index + 1).every(isShort)
}

/** A later ending of a bar or two stays beside the one before it, rather than stretched over a line of its own. */
function closesLine(charts: readonly ChartBar[], index: number, room: number, barsALine: number): boolean {
  const ending = charts[index]?.folded?.ending
  if (ending === undefined || ending.includes(1)) return false
  let first = index
  while (first > 0 && charts[first - 1]?.folded?.ending?.join() === ending.join()) first--
  let end = index
  while (charts[end + 1]?.folded?.ending?.join() === ending.join()) end++
  const before = index - first
  const isAllShort = charts.slice(first, end + 1).every(isShort)
  const most = barsALine + Math.floor(barsALine / 2)
  return isAllShort && room - before + (end - first + 1) <= most && room - before > 1
}

/** Stretches of two and more empty bars of a part, with nothing printed above them after the first, become one sign. Changes a leading line
 *  player has nothing to play on are left out where `changesToo` says so. */
export function withRestBars(part: ChartPart, charts: readonly ChartBar[], changesToo: boolean): readonly ChartBar[] {
  const out = [...charts]
  let at = 0
  while (at < charts.length) {
    let count = 0
    while (at + count < charts.length && restsThrough(part, charts[at + count]!, count === 0, changesToo)) {
      // The end of a bracket, or of a repeat for readers that play it, would be lost inside the stretch.
      const { folded, endingStops } = charts[at + count]!
      const closes = folded?.repeatEnd !== undefined || endingStops === true
      if (count > 0 && closes) break
      count++
      if (closes) break
    }
    if (count > 1) out[at] = { ...charts[at]!, restBars: count }
    at += Math.max(1, count)
  }
  return out
}

function restsThrough(part: ChartPart, chart: ChartBar, isFirst: boolean, changesToo: boolean): boolean {
  const { bar, folded, writtenBefore: before } = chart
  const isEmpty = voicesOf(part, bar).every(({ notes, slashed }) => notes.length === 0 && !slashed)
  // Signs at a bar's end would be lost inside the stretch.
  if (folded?.toCoda || folded?.jump) return false
  if (!isEmpty || chart.isPickup || bar.fermataTick !== undefined) return false
  if (showsHarmony(part, bar, false) && !(changesToo && part.spec.role === 'lead')) return false
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
  return !changes && !hasSign && !chart.mark && !chart.partWords && bar.mark === undefined && bar.dynamic === undefined
}
