/** One bar of a line as what ABC can write: notes and rests end to end, cut where a chord changes and into lengths a notehead has. */
import type { ArrangedBar, PartNote } from '../../contract/index.js'

export interface Tuplet {
  readonly actual: number
  readonly normal: number
}

/** A note (or notes together), or a rest where `pitches` is empty. */
export interface Atom {
  readonly startTick: number
  /** Sounding length. */
  readonly ticks: number
  readonly pitches: readonly string[]
  readonly isTied: boolean
  readonly tuplet?: Tuplet
  readonly lyric?: string
  readonly grace?: readonly string[]
}

/** What the atoms are made from: melody notes or a part's notes. */
export interface LineNote {
  readonly startTick: number
  readonly durationTicks: number
  readonly names: readonly string[]
  readonly isTied: boolean
  readonly tuplet?: Tuplet
  readonly lyric?: string
  readonly grace?: readonly string[]
}

/** The shortest length written as it stands: a sixty-fourth. */
const FINEST_TICKS = 315
/** Divisions tried for lengths that are no halves of halves. */
const GUESSED: readonly Tuplet[] = [
  { actual: 3, normal: 2 },
  { actual: 5, normal: 4 },
  { actual: 7, normal: 4 },
]

export function melodyLine(bar: Pick<ArrangedBar, 'melody'>): LineNote[] {
  return bar.melody.map((note) => ({
    startTick: note.startTick,
    durationTicks: note.durationTicks,
    names: [note.name],
    isTied: note.tiedToNext === true,
    ...(note.tuplet ? { tuplet: note.tuplet } : {}),
    ...(note.lyric ? { lyric: note.lyric } : {}),
    ...(note.grace ? { grace: note.grace } : {}),
  }))
}

/** A part's notes, those struck together as one; a note still sounding when the next begins is cut there. */
export function partLine(notes: readonly PartNote[]): LineNote[] {
  const starts = [...new Set(notes.map((note) => note.startTick))].sort((a, b) => a - b)
  return starts.map((startTick, at) => {
    const together = notes.filter((note) => note.startTick === startTick)
    const longest = Math.max(...together.map((note) => note.durationTicks))
    const durationTicks = Math.min(longest, (starts[at + 1] ?? Number.POSITIVE_INFINITY) - startTick)
    const tuplet = together[0]?.tuplet
    return {
      startTick,
      durationTicks,
      names: together.map((note) => note.name),
      isTied: durationTicks === longest && together.every((note) => note.tiedToNext),
      ...(tuplet ? { tuplet } : {}),
    }
  })
}

export function atomsOf(line: readonly LineNote[], lengthTicks: number, cuts: readonly number[]): Atom[] {
  const atoms: Atom[] = []
  let at = 0
  for (const note of line) {
    if (note.startTick > at) atoms.push(...pieces(rest(at, note.startTick), cuts))
    atoms.push(...pieces({ ...note, endTick: note.startTick + note.durationTicks }, cuts))
    at = note.startTick + note.durationTicks
  }
  if (at < lengthTicks) atoms.push(...pieces(rest(at, lengthTicks), cuts))
  return atoms
}

interface Span extends Omit<LineNote, 'durationTicks'> {
  readonly endTick: number
}

function rest(startTick: number, endTick: number): Span {
  return { startTick, endTick, names: [], isTied: false }
}

function pieces(span: Span, cuts: readonly number[]): Atom[] {
  const edges = [span.startTick, ...cuts.filter((cut) => cut > span.startTick && cut < span.endTick), span.endTick]
  const out: Atom[] = []
  for (let index = 0; index + 1 < edges.length; index++) {
    const from = edges[index] as number
    const ticks = (edges[index + 1] as number) - from
    const tuplet = span.tuplet ?? tupletOf(ticks)
    let at = from
    for (const length of noteheads(ticks, tuplet)) {
      const isFirst = at === span.startTick
      const isLast = at + length === span.endTick
      out.push({
        startTick: at,
        ticks: length,
        pitches: span.names,
        isTied: span.names.length > 0 && (!isLast || span.isTied),
        ...(tuplet ? { tuplet } : {}),
        ...(isFirst && span.lyric ? { lyric: span.lyric } : {}),
        ...(isFirst && span.grace ? { grace: span.grace } : {}),
      })
      at += length
    }
  }
  return out
}

function tupletOf(ticks: number): Tuplet | undefined {
  if (ticks % FINEST_TICKS === 0) return undefined
  return GUESSED.find(({ actual, normal }) => (ticks * actual) % (normal * FINEST_TICKS) === 0)
}

/** A length as plain and dotted noteheads, longest first; what is finer than a sixty-fourth stays one piece. */
function noteheads(ticks: number, tuplet: Tuplet | undefined): number[] {
  const scale = tuplet ? tuplet.normal / tuplet.actual : 1
  const out: number[] = []
  let left = ticks
  for (let unit = 20160 * 2; unit >= FINEST_TICKS && left > 0; unit /= 2)
    for (const size of [unit * 1.5 * scale, unit * scale])
      while (left >= size && Number.isInteger(size)) {
        out.push(size)
        left -= size
      }
  if (left === 0) return out
  return [ticks]
}
