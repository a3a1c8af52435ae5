/** A stretch of time in a bar as written notes or rests: one sign where it reads well, tied pieces at beats and groups where not. */
import { type BarGrid, EDGE, strongestInside } from './bar-grid.js'
import { type NoteValue, SHORTEST_TICKS, nearestValue, noteValue } from './note-values.js'
import type { TupletSpan } from './tuplets.js'

export interface WrittenPiece {
  readonly startTick: number
  readonly durationTicks: number
  readonly value: NoteValue
  readonly tuplet?: TupletSpan
}

/** Pieces of a stretch, in order; `tuplets` are the bar's tuplet spans, ascending and apart. */
export function splitStretch(
  grid: BarGrid,
  from: number,
  to: number,
  what: 'note' | 'rest',
  tuplets: readonly TupletSpan[],
): WrittenPiece[] {
  const pieces: WrittenPiece[] = []
  let at = from
  for (const tuplet of tuplets) {
    if (tuplet.endTick <= at || tuplet.startTick >= to) continue
    if (at < tuplet.startTick) pieces.push(...splitPlain(grid, at, tuplet.startTick, what))
    const start = Math.max(at, tuplet.startTick)
    at = Math.min(to, tuplet.endTick)
    pieces.push(...splitInTuplet(tuplet, start, at))
  }
  if (at < to) pieces.push(...splitPlain(grid, at, to, what))
  return pieces
}

function splitPlain(grid: BarGrid, from: number, to: number, what: 'note' | 'rest'): WrittenPiece[] {
  const value = noteValue(to - from)
  const ends = Math.max(grid.strengthAt(from), grid.strengthAt(to))
  const inside = strongestInside(grid, from, to, ends, grid.strengthAt(from) >= grid.strengthAt(to))
  if (value && readsAsOne(grid, from, to, value, what, inside, ends)) {
    return [{ startTick: from, durationTicks: to - from, value }]
  }
  if (!inside || inside.strength <= -EDGE) {
    return [{ startTick: from, durationTicks: to - from, value: value ?? nearestValue(to - from) }]
  }
  return [...splitPlain(grid, from, inside.tick, what), ...splitPlain(grid, inside.tick, to, what)]
}

/** A sign may hide places no stronger than its stronger end; a plain note also one place a step stronger (the syncopations
 *  ♪♩♪ and ♩𝅗𝅥♩). Rests hide less: dots only in compound beats or from a beat's start. Source: common practice. */
function readsAsOne(
  grid: BarGrid,
  from: number,
  to: number,
  value: NoteValue,
  what: 'note' | 'rest',
  inside: ReturnType<typeof strongestInside>,
  ends: number,
): boolean {
  if (what === 'rest') {
    const isWholeBar = from === 0 && to === grid.lengthTicks
    if (value.dots > 0 && !grid.isCompound && !isWholeBar) return false
    // A rest over two beats only where it begins a half of the bar.
    if (inside && inside.strength >= 1 && grid.strengthAt(from) <= 1) return false
  }
  if (!inside || inside.strength <= ends) return true
  return (
    what === 'note' && value.dots === 0 && inside.strength === ends + 1 && inside.strength < 3 && inside.above === 1
  )
}

/** Inside a tuplet the same game is played with its own units, stretched to their written length. */
function splitInTuplet(tuplet: TupletSpan, from: number, to: number): WrittenPiece[] {
  const written = (tick: number): number => ((tick - tuplet.startTick) * tuplet.actual) / tuplet.normal
  const sounding = (place: number): number => tuplet.startTick + (place * tuplet.normal) / tuplet.actual
  const split = (start: number, end: number): WrittenPiece[] => {
    const value = noteValue(end - start)
    const piece = (shown: NoteValue): WrittenPiece[] => [
      {
        startTick: Math.round(sounding(start)),
        durationTicks: Math.round(sounding(end)) - Math.round(sounding(start)),
        value: shown,
        tuplet,
      },
    ]
    if (value) return piece(value)
    const middle = splitPlace(start, end, tuplet.unitTicks)
    if (middle === undefined) return piece(nearestValue(end - start))
    return [...split(start, middle), ...split(middle, end)]
  }
  return split(written(from), written(to))
}

/** The first whole unit inside, else the first half, quarter … of one. */
function splitPlace(from: number, to: number, unit: number): number | undefined {
  for (let step = unit; step >= SHORTEST_TICKS; step /= 2) {
    const place = (Math.floor(from / step) + 1) * step
    if (place < to) return place
  }
  return undefined
}
