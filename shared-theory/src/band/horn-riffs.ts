/** Riffs: the groove's own rhythm on a few notes that stay as the chords change, in chords at level 4, in octaves at level 5.
 *  Source: common practice; the contours are from memory. */
import { pitchClassesOf } from '../chords/index.js'
import { TICKS_PER_QUARTER } from '../contract/index.js'
import { strokesOf } from '../rhythm/index.js'
import { mod, pitchClass } from '../units/index.js'
import type { BarFrame, ChordSpan, Frames } from './frame.js'
import type { Desk } from './horn-desks.js'
import type { LineNote } from './horn-harmony.js'

const EIGHTH = TICKS_PER_QUARTER / 2
/** Half steps above or below where the riff lies, stroke by stroke. */
const CONTOURS: readonly (readonly number[])[] = [
  [0, 0, -3, 0, 2, 0],
  [0, 3, 0, 0, -2, 0],
  [0, -2, -4, 0, -2, 0],
]

/** The top player's line in a bar: `rows` are two bars of strokes; an early stroke belongs to the chord that comes. */
export function riffLine(
  frame: BarFrame,
  frames: Frames,
  rows: readonly string[],
  top: Desk,
  ceiling: number,
): readonly LineNote[] {
  const row = rows[frame.barInSection % 2] ?? rows[0] ?? ''
  const length = frame.bar.lengthTicks
  const high = Math.min(top.high, ceiling)
  const contour = CONTOURS[frame.sectionOrdinal % CONTOURS.length] ?? [0]
  const middle = Math.min(high - 2, Math.round((top.low + 2 * top.high) / 3))
  return strokesOf(row, frame.patternTicks).flatMap(({ startTick, durationTicks, sign }, index): LineNote[] => {
    if (startTick >= length) return []
    const span = spanFor(frame, frames, startTick)
    if (!span) return []
    const wanted = middle + (contour[index % contour.length] as number)
    const midi = nearestTone(span, wanted, top.low, high)
    if (midi === undefined) return []
    const isShort = durationTicks <= EIGHTH
    return [
      {
        startTick,
        durationTicks: Math.min(durationTicks, length - startTick),
        midi,
        sign: sign === 'X' ? 'X' : 'x',
        span,
        ...(isShort ? { articulation: 'staccato' as const } : {}),
      },
    ]
  })
}

/** A stroke on the last eighth before a change sounds the chord that comes. */
function spanFor(frame: BarFrame, frames: Frames, tick: number): ChordSpan | undefined {
  const at = frame.startTick + tick
  const own = frame.chords.findLast(({ startTick }) => startTick <= at)
  const next = own && frames.spans[own.index + 1]
  const following = frames.bars[frame.index + 1]
  const isEarly = next !== undefined && next.startTick - at <= EIGHTH && following?.isLast !== true
  const span = isEarly && !following?.isDrumsAlone ? next : own
  return span?.bassPc === undefined ? undefined : span
}

/** The chord's third, fifth, seventh or ninth nearest to a pitch; the root only where there is little else. */
function nearestTone(span: ChordSpan, wanted: number, low: number, high: number): number | undefined {
  const own = pitchClassesOf(span.chord)
  const root = pitchClass(span.chord.root)
  const tones = new Set(own.length > 3 ? own.filter((pc) => pc !== root) : own)
  for (let away = 0; away <= 11; away++)
    for (const midi of [wanted - away, wanted + away])
      if (midi >= low && midi <= high && tones.has(mod(midi, 12))) return midi
  return undefined
}
