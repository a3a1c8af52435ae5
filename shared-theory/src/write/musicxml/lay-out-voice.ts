/** One voice of one bar as written events in order: notes, rests, slashes, each with its sign, ties and tuplet. */
import type { ArrangedBar, PartNote } from '../../contract/index.js'
import { barTicks } from '../../units/index.js'
import type { BarGrid } from './bar-grid.js'
import type { NoteValue } from './note-values.js'
import { splitStretch } from './split-durations.js'
import { type TupletSpan, findTuplets } from './tuplets.js'

export interface VoiceEvent {
  readonly kind: 'notes' | 'rest' | 'bar-rest' | 'slash'
  readonly startTick: number
  readonly durationTicks: number
  readonly value: NoteValue
  readonly tuplet?: TupletSpan
  /** The sounding notes, low first; empty but for 'notes'. */
  readonly notes: readonly PartNote[]
  /** First and last written piece of its notes: where attacks, lyrics and slurs belong, and where ties go on. */
  readonly isFirst: boolean
  readonly isLast: boolean
}

/** Notes of one voice, none printed as a slash. Where they overlap without starting together the earlier ends at the later's start. */
export function layOutVoice(
  grid: BarGrid,
  notes: readonly PartNote[],
  gaps: { readonly slashed: boolean; readonly bar: Pick<ArrangedBar, 'metre' | 'groups'> },
): VoiceEvent[] {
  const chords = chordsOf(notes, grid.lengthTicks)
  // Of a pickup no player reads a whole bar of rest, and some programs would make it one.
  if (chords.length === 0 && !gaps.slashed && grid.lengthTicks === barTicks(gaps.bar.metre)) {
    return [
      { ...BLANK, kind: 'bar-rest', startTick: 0, durationTicks: grid.lengthTicks, value: { type: 'whole', dots: 0 } },
    ]
  }
  const tuplets = findTuplets(grid, [
    0,
    grid.lengthTicks,
    ...chords.flatMap(({ startTick, endTick }) => [startTick, endTick]),
  ])
  const events: VoiceEvent[] = []
  let at = 0
  for (const chord of chords) {
    events.push(...gapEvents(grid, at, chord.startTick, gaps.slashed, tuplets))
    const pieces = splitStretch(grid, chord.startTick, chord.endTick, 'note', tuplets)
    events.push(
      ...pieces.map((piece, index): VoiceEvent => ({
        ...piece,
        kind: 'notes',
        notes: chord.notes,
        isFirst: index === 0,
        isLast: index === pieces.length - 1,
      })),
    )
    at = chord.endTick
  }
  events.push(...gapEvents(grid, at, grid.lengthTicks, gaps.slashed, tuplets))
  return events
}

const BLANK = { notes: [], isFirst: true, isLast: true } as const

/** Silence: rests, or a slash a beat where the part plays on its own in this bar. */
function gapEvents(
  grid: BarGrid,
  from: number,
  to: number,
  slashed: boolean,
  tuplets: readonly TupletSpan[],
): VoiceEvent[] {
  if (from >= to) return []
  const beats = slashed ? grid.beats.filter(({ startTick, endTick }) => startTick >= from && endTick <= to) : []
  const events: VoiceEvent[] = []
  let at = from
  const rest = (end: number): void => {
    if (at < end) {
      events.push(
        ...splitStretch(grid, at, end, 'rest', tuplets).map((piece): VoiceEvent => ({
          ...BLANK,
          ...piece,
          kind: 'rest',
        })),
      )
    }
    at = end
  }
  for (const { startTick, endTick } of beats) {
    rest(startTick)
    events.push(
      ...splitStretch(grid, startTick, endTick, 'note', []).map((piece): VoiceEvent => ({
        ...BLANK,
        ...piece,
        kind: 'slash',
      })),
    )
    at = endTick
  }
  rest(to)
  return events
}

interface VoiceChord {
  readonly startTick: number
  readonly endTick: number
  readonly notes: readonly PartNote[]
}

function chordsOf(notes: readonly PartNote[], lengthTicks: number): VoiceChord[] {
  const starts = new Map<number, PartNote[]>()
  for (const note of notes) {
    if (note.startTick >= lengthTicks) continue
    const together = starts.get(note.startTick)
    if (together) together.push(note)
    else starts.set(note.startTick, [note])
  }
  const ordered = [...starts].sort(([a], [b]) => a - b)
  return ordered.map(([startTick, together], index) => {
    const next = ordered[index + 1]?.[0] ?? lengthTicks
    const longest = Math.max(...together.map(({ durationTicks }) => durationTicks))
    const distinct = [...new Map(together.map((note) => [note.midi, note])).values()]
    return {
      startTick,
      endTick: Math.min(startTick + longest, next),
      notes: distinct.sort((a, b) => a.midi - b.midi),
    }
  })
}
