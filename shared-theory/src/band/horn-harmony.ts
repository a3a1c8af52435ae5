/** Horns under a line: one in thirds and sixths, two in close position, three and more with the second voice dropped an octave.
 *  Source: common practice of section writing; the costs are from memory. */
import { type PartNote, TICKS_PER_QUARTER } from '../contract/index.js'
import { chordScale, pitchClassesOf, qualityOf } from '../chords/index.js'
import { mod, pitchClass } from '../units/index.js'
import { spelledNote } from './note-names.js'
import type { BarFrame, ChordSpan } from './frame.js'
import { type Desk, type HornPages, hornNote } from './horn-desks.js'
import { rubsUnder } from './melody-room.js'

const SOFTER = 5
/** Nothing closer under the line than a minor third. */
const NEAREST = 3
const FARTHEST = 16

/** A note of the line that is harmonised. */
export interface LineNote {
  readonly startTick: number
  readonly durationTicks: number
  readonly midi: number
  readonly tiedToNext?: true
  readonly tuplet?: { readonly actual: number; readonly normal: number }
  readonly sign?: string
  /** The chord it belongs to, where it comes early. */
  readonly span?: ChordSpan
  readonly articulation?: NonNullable<PartNote['articulation']>
}

/** What each desk played last, and whether the line is tied on from it. */
export interface HarmonySection {
  play(frame: BarFrame, line: readonly LineNote[], desks: readonly Desk[], pages: HornPages): void
}

export function harmonySection(): HarmonySection {
  const last = new Map<string, number>()
  let tied: { readonly barIndex: number; readonly midi: number; readonly lengthTicks: number } | undefined
  return {
    play(frame, line, desks, pages) {
      const highFirst = [...desks].reverse()
      for (const [place, note] of line.entries()) {
        const isTiedIn = place === 0 && tied?.barIndex === frame.index - 1 && tied.midi === note.midi
        for (const piece of piecesOf(frame, note)) {
          const isLong = piece.durationTicks >= TICKS_PER_QUARTER
          const wanted = under(note.midi, piece.span, highFirst, last, isLong)
          const goesOn = isTiedIn && piece.startTick === note.startTick ? tied?.lengthTicks : undefined
          highFirst.forEach((desk, voice) => {
            const midi = wanted[voice]
            if (midi === undefined) return last.delete(desk.part.id)
            write(frame, desk, note, piece, midi, goesOn, pages)
            return last.set(desk.part.id, midi)
          })
        }
      }
      const end = line.at(-1)
      tied = end?.tiedToNext ? { barIndex: frame.index, midi: end.midi, lengthTicks: frame.bar.lengthTicks } : undefined
    },
  }
}

interface Piece {
  readonly startTick: number
  readonly durationTicks: number
  readonly span: ChordSpan
}

/** A note in the chords it sounds through. */
function piecesOf(frame: BarFrame, note: LineNote): readonly Piece[] {
  const end = note.startTick + note.durationTicks
  if (note.span) return [{ startTick: note.startTick, durationTicks: note.durationTicks, span: note.span }]
  return frame.chords.flatMap((span) => {
    const startTick = Math.max(note.startTick, span.startTick - frame.startTick)
    const endTick = Math.min(end, span.endTick - frame.startTick)
    return endTick > startTick && span.bassPc !== undefined
      ? [{ startTick, durationTicks: endTick - startTick, span }]
      : []
  })
}

function write(
  frame: BarFrame,
  desk: Desk,
  line: LineNote,
  piece: Piece,
  midi: number,
  /** Length of the bar before, where the line is tied on from it. */
  goesOn: number | undefined,
  pages: HornPages,
): void {
  const page = pages.get(desk.part.id)
  const own = page?.[frame.index]
  if (!own) return
  const before = own.at(-1)
  // The chord changes under the line and this voice stays: one note.
  if (piece.startTick > line.startTick && before?.midi === midi && endOf(before) === piece.startTick) {
    own[own.length - 1] = { ...before, durationTicks: before.durationTicks + piece.durationTicks }
    return
  }
  if (goesOn !== undefined) {
    const previous = page[frame.index - 1]
    const held = previous?.at(-1)
    if (previous && held?.midi === midi && endOf(held) === goesOn)
      previous[previous.length - 1] = { ...held, tiedToNext: true }
  }
  const stroke = { ...piece, sign: line.sign ?? 'x' }
  own.push({
    ...hornNote(frame, stroke, midi, SOFTER),
    name: spelledNote(midi, piece.span),
    ...(line.tuplet && piece.durationTicks === line.durationTicks ? { tuplet: line.tuplet } : {}),
    ...(line.articulation ? { articulation: line.articulation } : {}),
  })
}

const endOf = (note: PartNote): number => note.startTick + note.durationTicks

/** Notes under a line note for desks from high to low; undefined where a player has none. */
function under(
  top: number,
  span: ChordSpan,
  highFirst: readonly Desk[],
  last: ReadonlyMap<string, number>,
  isLong: boolean,
): readonly (number | undefined)[] {
  const pool = poolUnder(top, span, isLong)
  const [only] = highFirst
  if (highFirst.length === 1 && only) return [alone(top, span, only, pool, last.get(only.part.id))]
  const close = closeUnder(top, pool, Math.min(3, highFirst.length))
  const spread = close.length === 3 ? [...close.slice(1), (close[0] as number) - 12] : close
  const chosen = isClean([top, ...spread], span) ? spread : close
  let ceiling = top
  return highFirst.map((desk, voice) => {
    // A fourth player doubles the line an octave down.
    const wanted = chosen[voice] ?? top - 12
    const midi = inRange(wanted, pool, desk, ceiling, top, span)
    if (midi !== undefined) ceiling = midi
    return midi
  })
}

/** Chord tones; under short notes the scale's too. A major seventh gives way to the sixth under the root. */
function poolUnder(top: number, span: ChordSpan, isLong: boolean): ReadonlySet<number> {
  const own = pitchClassesOf(span.chord)
  const root = pitchClass(span.chord.root)
  const isForeign = !own.includes(mod(top, 12))
  const pool = new Set(isForeign && !isLong ? chordScale(span.chord, span.key).map(pitchClass) : own)
  if (mod(top, 12) === root && pool.has(mod(root + 11, 12)) && qualityOf(span.chord) === 'major') {
    pool.delete(mod(root + 11, 12))
    pool.add(mod(root + 9, 12))
  }
  // The bass has the root; beside its neighbour it only rubs.
  const hasNeighbour = pool.has(mod(root + 11, 12)) || pool.has(mod(root + 1, 12))
  if (hasNeighbour && pool.size > 3 && mod(top, 12) !== root) pool.delete(root)
  return pool
}

/** The next notes of the pool downwards, none a half step from its neighbour. */
function closeUnder(top: number, pool: ReadonlySet<number>, count: number): readonly number[] {
  const found: number[] = []
  let above = top
  for (let midi = top - NEAREST; midi > top - FARTHEST && found.length < count; midi--) {
    const isNew =
      pool.has(mod(midi, 12)) && above - midi >= (found.length === 0 ? NEAREST : 2) && mod(top - midi, 12) !== 0
    if (!isNew) continue
    found.push(midi)
    above = midi
  }
  return found
}

/** No minor ninth between any two. */
function isClean(midi: readonly number[], span: ChordSpan): boolean {
  return midi.every((low) => midi.every((high) => !rubsUnder(low, high, span.chord)))
}

/** A third under the line, else a sixth, else what is nearest to them; parallel to the line where it can be. */
function alone(
  top: number,
  span: ChordSpan,
  desk: Desk,
  pool: ReadonlySet<number>,
  before: number | undefined,
): number | undefined {
  let best: number | undefined
  let least = Infinity
  for (let midi = top - NEAREST; midi >= Math.max(desk.range[0], top - FARTHEST); midi--) {
    if (midi > desk.range[1] || !pool.has(mod(midi, 12)) || rubsUnder(midi, top, span.chord)) continue
    const cost = (INTERVAL_COSTS[top - midi] ?? 12) + (before === undefined ? 0 : Math.abs(midi - before) / 3)
    if (cost < least) {
      least = cost
      best = midi
    }
  }
  return best
}

const INTERVAL_COSTS: { readonly [semitones: number]: number } = {
  3: 0,
  4: 0,
  8: 3,
  9: 3,
  5: 5,
  7: 7,
  6: 8,
  15: 8,
  16: 8,
}

/** The note itself, or the nearest of the pool the player has below the voice above. */
function inRange(
  wanted: number,
  pool: ReadonlySet<number>,
  desk: Desk,
  ceiling: number,
  top: number,
  span: ChordSpan,
): number | undefined {
  const [low, high] = desk.range
  const isPlayable = (midi: number) =>
    midi >= low &&
    midi <= Math.min(high, ceiling) &&
    (midi === top - 12 || top - midi >= NEAREST) &&
    !rubsUnder(midi, top, span.chord)
  if (isPlayable(wanted)) return wanted
  for (let away = 1; away <= 12; away++)
    for (const midi of [wanted - away, wanted + away]) if (pool.has(mod(midi, 12)) && isPlayable(midi)) return midi
  return undefined
}
