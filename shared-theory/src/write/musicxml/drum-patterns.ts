/** A drummer's chart: the pattern written out where the time begins or changes, slashes after it, fills said in words. */
import type { PartNote } from '../../contract/index.js'
import type { ChartBar } from './measure.js'

/** Strokes that come and go without making it another pattern: crash and toms. General MIDI 1 percussion keys. */
const PASSING_KEYS: ReadonlySet<number> = new Set([41, 43, 45, 47, 48, 49, 50, 57])
/** A section's last bar is a fill where less than this of it stands in another bar of the section. From judgement. */
const LEAST_LIKE_TIME = 0.7

/** The part's bars as a drummer reads them; what is played is the same. */
export function withDrumPatterns(partId: string, charts: readonly ChartBar[]): readonly ChartBar[] {
  const notesOf = (index: number): readonly PartNote[] => charts[index]?.bar.parts[partId] ?? []
  let kept: string | undefined
  let shownUntil = 0
  return charts.map((chart, index) => {
    const notes = notesOf(index)
    if (!isTime(notes)) return chart
    if (index < shownUntil) return shown(chart, partId)
    if (isFill(charts, index, partId)) return { ...chart, partWords: 'fill' }
    const kind = kindOf(chart, notes)
    const mayBegin = kept === undefined || chart.mark !== undefined || !kept.startsWith(timeOf(chart))
    const after = charts[index + 1]
    // A bar that goes its own way is no new pattern.
    const goesOn = after !== undefined && kindOf(after, notesOf(index + 1)) === kind
    if (kind === kept || !mayBegin || !goesOn) return chart
    kept = kind
    shownUntil = index + patternBars(notes, notesOf(index + 1), notesOf(index + 2))
    return shown(chart, partId)
  })
}

/** Time that is kept, nothing written. */
const isTime = (notes: readonly PartNote[]): boolean =>
  notes.length > 0 && notes.every(({ printed }) => printed === 'slash')

function shown(chart: ChartBar, partId: string): ChartBar {
  const { bar } = chart
  const notes = (bar.parts[partId] ?? []).map(({ printed: _printed, ...note }): PartNote => note)
  return { ...chart, bar: { ...bar, parts: { ...bar.parts, [partId]: notes } } }
}

const timeOf = ({ bar }: ChartBar): string =>
  `${bar.feel} ${bar.metre.beats}/${bar.metre.beatType} ${bar.groups.join('+')}`

/** Feel, metre and what is struck: the ride after brushes is another pattern. */
function kindOf(chart: ChartBar, notes: readonly PartNote[]): string {
  const keys = [...new Set(notes.map(({ midi }) => midi))].filter((key) => !PASSING_KEYS.has(key))
  return `${timeOf(chart)} ${keys.sort((a, b) => a - b).join()}`
}

const strokes = (notes: readonly PartNote[]): ReadonlySet<string> =>
  new Set(notes.map(({ midi, startTick }) => `${midi}@${startTick}`))

/** Two where every other bar is alike, else one. */
function patternBars(first: readonly PartNote[], second: readonly PartNote[], third: readonly PartNote[]): number {
  const [a, b, c] = [first, second, third].map((notes) => [...strokes(notes)].sort().join(' '))
  return a !== b && a === c ? 2 : 1
}

/** The last bar of a section, played unlike the bars before it. */
function isFill(charts: readonly ChartBar[], index: number, partId: string): boolean {
  const { bar } = charts[index] as ChartBar
  const after = charts[index + 1]
  if (!after || (after.bar.sectionId === bar.sectionId && after.bar.pass === bar.pass)) return false
  const own = strokes(bar.parts[partId] ?? [])
  let before = index
  while (charts[before - 1]?.bar.sectionId === bar.sectionId && charts[before - 1]?.bar.pass === bar.pass) before--
  if (before === index) return false
  return charts.slice(before, index).every((other) => {
    const theirs = strokes(other.bar.parts[partId] ?? [])
    const shared = [...own].filter((stroke) => theirs.has(stroke)).length
    return shared < LEAST_LIKE_TIME * own.size
  })
}
