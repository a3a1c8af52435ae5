/** What the horns strike behind a solo, for the drummer: small notes above the slashes. */
import type { PartNote, PartSpec } from '../../contract/index.js'
import type { ChartBar } from './measure.js'

/** Horns that strike together make a hit; of a single horn every stroke is one. */
const TOGETHER = 2
/** A key no drum has: cues say when, not what. */
const NO_DRUM = 0

/** Bars of a solo in which the drums keep time get the backgrounds' rhythm as cues; the band plays the same. */
export function withDrumCues(
  drumsId: string,
  lineup: readonly PartSpec[],
  charts: readonly ChartBar[],
): readonly ChartBar[] {
  const horns = lineup.filter(({ role }) => role === 'horn' || role === 'lead').map(({ id }) => id)
  return charts.map((chart) => {
    const { bar } = chart
    const own = bar.parts[drumsId] ?? []
    const soloists = bar.soloists ?? []
    if (soloists.length === 0 || own.some(({ printed }) => printed !== 'slash')) return chart
    const players = horns.filter((id) => !soloists.includes(id) && (bar.parts[id] ?? []).some(isWritten))
    const cues = players.length === 0 ? [] : hits(players.map((id) => (bar.parts[id] ?? []).filter(isWritten)))
    if (cues.length === 0) return chart
    return { ...chart, bar: { ...bar, parts: { ...bar.parts, [drumsId]: [...own, ...cues] } } }
  })
}

const isWritten = ({ printed }: PartNote): boolean => printed === undefined

function hits(lines: readonly (readonly PartNote[])[]): readonly PartNote[] {
  const strokes = new Map<number, PartNote[]>()
  for (const line of lines)
    for (const note of line) strokes.set(note.startTick, [...(strokes.get(note.startTick) ?? []), note])
  const least = Math.min(TOGETHER, lines.length)
  return [...strokes]
    .filter(([, notes]) => notes.length >= least)
    .sort(([a], [b]) => a - b)
    .map(([startTick, notes]): PartNote => {
      const [first] = notes as [PartNote, ...PartNote[]]
      return {
        startTick,
        durationTicks: Math.max(...notes.map(({ durationTicks }) => durationTicks)),
        midi: NO_DRUM,
        name: 'cue',
        velocity: first.velocity,
        printed: 'cue',
        ...(first.articulation && first.articulation !== 'fall' ? { articulation: first.articulation } : {}),
        ...(first.tuplet ? { tuplet: first.tuplet } : {}),
      }
    })
}
