/** Written bars on one playing: what is longer than its metre is cut at forgotten bar lines, or keeps its length under a metre of its own. */
import type { KeySignature, Metre } from '../contract/index.js'
import { barTicks, must } from '../units/index.js'
import type { IssueList } from './issue-list.js'
import type { WrittenBar, WrittenChord, WrittenNote } from './written.js'
import { said } from './said.js'

/** One bar as played: still with its file place, already with a metre. */
export interface PlayedBar {
  readonly metre: Metre
  readonly full: number
  readonly length: number
  readonly key: KeySignature
  readonly notes: readonly WrittenNote[]
  readonly chords: readonly WrittenChord[]
  readonly label?: string
  readonly writtenBar: number
  readonly path: string
  readonly place: string
}

const SMALLEST_TICKS = 1260

/** The label each written bar stands under, its own or the last before it. */
export function carriedLabels(bars: readonly WrittenBar[]): (string | undefined)[] {
  let current: string | undefined
  return bars.map((bar) => (current = bar.label ?? current))
}

/** A written bar on one playing; an overlong one is cut at its metre, or keeps its length under a metre of its own. */
export function playBar(
  bars: readonly WrittenBar[],
  index: number,
  before: number | undefined,
  labelled: readonly (string | undefined)[],
  issues: IssueList,
): PlayedBar[] {
  const bar = must(bars[index], 'the order names written bars')
  const jumped = before !== undefined && before !== index - 1
  const section = jumped && labelled[index] !== labelled[before] ? labelled[index] : undefined
  const label = bar.label ?? (jumped && bar.marks.coda ? 'Coda' : section)
  const common = { key: bar.key, writtenBar: index, path: bar.path, place: bar.place }
  const own = { ...common, notes: bar.notes, chords: bar.chords, ...(label ? { label } : {}) }
  if (bar.metre === undefined) {
    const metre = metreOf(bar.lengthTicks)
    return [{ ...own, metre, full: barTicks(metre), length: barTicks(metre) }]
  }
  const full = barTicks(bar.metre)
  if (bar.lengthTicks <= full) return [{ ...own, metre: bar.metre, full, length: bar.lengthTicks }]
  if (bar.lengthTicks >= 2 * full) {
    issues.addOnce(
      `cut ${index}`,
      'RD6',
      'warning',
      bar.path,
      said`${bar.place}: the bar is ${inBeats(bar.lengthTicks, bar.metre)} beats long in ${bar.metre.beats}/${bar.metre.beatType}; it was cut into bars. Put in the missing bar lines.`,
    )
    return cutBar(bar.notes, bar.chords, bar.lengthTicks, full).map((piece, at) => ({
      ...common,
      ...piece,
      metre: bar.metre as Metre,
      full,
      ...(at === 0 && label ? { label } : {}),
    }))
  }
  const metre = metreOf(bar.lengthTicks)
  issues.addOnce(
    `long ${index}`,
    'RD6',
    'warning',
    bar.path,
    said`${bar.place}: ${inBeats(bar.lengthTicks, bar.metre)} beats in a bar of ${bar.metre.beats}; kept as a bar of ${metre.beats}/${metre.beatType}. Shorten a note or put in the bar line.`,
  )
  return [{ ...own, metre, full: barTicks(metre), length: barTicks(metre) }]
}

/** The plainest metre of a length: quarters where they fit, else eighths or sixteenths, rounded up. */
function metreOf(lengthTicks: number): Metre {
  for (const beatType of [4, 8, 16] as const) {
    const unit = barTicks({ beats: 1, beatType })
    if (lengthTicks >= unit && lengthTicks % unit === 0) return { beats: lengthTicks / unit, beatType }
  }
  return { beats: Math.max(1, Math.ceil(lengthTicks / SMALLEST_TICKS)), beatType: 16 }
}

export function inBeats(ticks: number, metre: Metre): string {
  const beats = ticks / barTicks({ beats: 1, beatType: metre.beatType })
  const whole = Math.floor(beats)
  const rest = beats - whole
  const fraction =
    rest === 0 ? '' : rest === 0.5 ? '½' : rest === 0.25 ? '¼' : rest === 0.75 ? '¾' : rest.toFixed(2).slice(1)
  return `${whole > 0 || !fraction ? whole : ''}${fraction}`
}

function cutBar(
  notes: readonly WrittenNote[],
  chords: readonly WrittenChord[],
  length: number,
  full: number,
): { notes: WrittenNote[]; chords: WrittenChord[]; length: number }[] {
  const pieces = Array.from({ length: Math.ceil(length / full) }, (_, at) => ({
    notes: [] as WrittenNote[],
    chords: [] as WrittenChord[],
    length: Math.min(full, length - at * full),
  }))
  for (const note of notes) {
    let from = note.startTick
    const end = note.startTick + note.durationTicks
    while (from < end) {
      const piece = Math.floor(from / full)
      const to = Math.min(end, (piece + 1) * full)
      const { tied, lyric, grace, ...plain } = note
      pieces[piece]?.notes.push({
        ...plain,
        startTick: from - piece * full,
        durationTicks: to - from,
        ...(to < end || tied ? { tied: true as const } : {}),
        ...(from === note.startTick && lyric ? { lyric } : {}),
        ...(from === note.startTick && grace ? { grace } : {}),
      })
      from = to
    }
  }
  for (const chord of chords) {
    const piece = Math.min(pieces.length - 1, Math.floor(chord.startTick / full))
    pieces[piece]?.chords.push({ ...chord, startTick: chord.startTick - piece * full })
  }
  return pieces
}
