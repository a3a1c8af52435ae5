/** Played notes onto the written grid: each beat in sixteenths or in triplets, whichever it lies nearer to. */
import { TICKS_PER_QUARTER } from '../../contract/index.js'
import type { PlayedNote } from './midi-lines.js'

export interface WrittenSpan {
  readonly start: number
  readonly end: number
  readonly midi: number
  readonly isTied: boolean
  readonly tuplet?: { readonly actual: 3; readonly normal: 2 }
}

const SIXTEENTH = TICKS_PER_QUARTER / 4
const TRIPLET = TICKS_PER_QUARTER / 3
/** Triplets are taken only where they fit clearly better (ticks a note). From judgement. */
const TRIPLET_COST = 90
/** A silence this short between two notes is how it was played, not a rest. */
const PLAYED_GAP = TICKS_PER_QUARTER / 2

export interface Quantised {
  readonly spans: readonly WrittenSpan[]
  /** Notes left out because a higher one sounds over them. */
  readonly covered: number
}

/** Two notes may overlap by so much in legato playing; a lower note that begins earlier under another accompanies it. */
const LEGATO = TICKS_PER_QUARTER / 4

/** The top line of the notes on the grid, without overlaps, in order; notes that cross into or out of a triplet beat are cut there and tied. */
export function quantise(notes: readonly PlayedNote[]): Quantised {
  const inTriplets = tripletBeats(notes)
  const snap = (tick: number): number => {
    const grid = inTriplets.has(Math.floor((tick + SIXTEENTH / 2) / TICKS_PER_QUARTER)) ? TRIPLET : SIXTEENTH
    return Math.round(tick / grid) * grid
  }
  const placed: { start: number; end: number; midi: number }[] = []
  let covered = 0
  for (const note of notes) {
    const start = snap(note.start)
    const last = placed.at(-1)
    // Struck together: the top note is the melody.
    if (last?.start === start) {
      covered++
      if (note.midi > last.midi) placed[placed.length - 1] = { start, end: note.end, midi: note.midi }
      continue
    }
    if (last && note.midi < last.midi && last.end - note.start > LEGATO) {
      covered++
      continue
    }
    if (last && last.end > start) last.end = start
    placed.push({ start, end: note.end, midi: note.midi })
  }
  for (const [at, note] of placed.entries()) {
    const next = placed[at + 1]
    const end = Math.max(snap(note.end), note.start + (inTriplets.has(beatOf(note.start)) ? TRIPLET : SIXTEENTH))
    note.end = writtenEnd(note.start, end, next?.start)
  }
  return { spans: placed.flatMap((note) => cutAtTriplets(note, inTriplets)), covered }
}

/** Where a writer would let the note end: at the next note across a played gap, and a long note on a beat. */
function writtenEnd(start: number, end: number, next = Number.POSITIVE_INFINITY): number {
  if (next - end < PLAYED_GAP && next - end < end - start) return next
  const beat = Math.ceil(end / TICKS_PER_QUARTER) * TICKS_PER_QUARTER
  return Math.min(next, end - start >= TICKS_PER_QUARTER ? beat : end)
}

function beatOf(tick: number): number {
  return Math.floor(tick / TICKS_PER_QUARTER)
}

function tripletBeats(notes: readonly PlayedNote[]): ReadonlySet<number> {
  const costs = new Map<number, number>()
  for (const { start } of notes) {
    const beat = beatOf(start + SIXTEENTH / 2)
    const distance = (grid: number): number => Math.abs(start - Math.round(start / grid) * grid)
    costs.set(beat, (costs.get(beat) ?? 0) + distance(SIXTEENTH) - distance(TRIPLET) - TRIPLET_COST)
  }
  return new Set([...costs].filter(([, gain]) => gain > 0).map(([beat]) => beat))
}

function cutAtTriplets(
  note: { start: number; end: number; midi: number },
  inTriplets: ReadonlySet<number>,
): WrittenSpan[] {
  const spans: WrittenSpan[] = []
  let from = note.start
  while (from < note.end) {
    const isTriplet =
      inTriplets.has(beatOf(from)) && (from % SIXTEENTH !== 0 || Math.min(note.end, beatEnd(from)) % SIXTEENTH !== 0)
    let to = isTriplet ? Math.min(note.end, beatEnd(from)) : note.end
    // A plain stretch ends where the note's last beat is a triplet it stops inside.
    if (!isTriplet && to % SIXTEENTH !== 0) to = Math.max(from, beatOf(to) * TICKS_PER_QUARTER)
    if (to <= from) to = note.end
    spans.push({
      start: from,
      end: to,
      midi: note.midi,
      isTied: to < note.end,
      ...((to - from) % SIXTEENTH === 0 ? {} : { tuplet: { actual: 3, normal: 2 } as const }),
    })
    from = to
  }
  return spans
}

function beatEnd(tick: number): number {
  return (beatOf(tick) + 1) * TICKS_PER_QUARTER
}
