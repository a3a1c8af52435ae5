/** Grid strings and bass rows: how they are written as data, and where their steps lie in ticks. */
import { TICKS_PER_QUARTER } from '../contract/index.js'
import { assert, must } from '../units/index.js'
import type { BassDegree, BassToken, DrumRow } from './groove.js'

/** One struck step of a grid row. `tuplet` marks strokes of a real triplet. */
export interface Stroke {
  readonly position: number
  readonly sign: string
  readonly startTick: number
  /** To the end of the step, or of the `-` steps after it; may run to the bar's end, never past it. */
  readonly durationTicks: number
  readonly tuplet?: { readonly actual: 3; readonly normal: 2 }
}

const DEGREES: ReadonlySet<string> = new Set(['1', '3', '5', '7', '5_', '8', 'n1', 'n5', 'ap', 'w', 'x', 'P', 'P_'])
const SILENT: ReadonlySet<string> = new Set(['.', '-'])
/** Three slots a beat: a step of a third of a quarter. */
const SLOT_TICKS = TICKS_PER_QUARTER / 3
const HALF_BEAT = TICKS_PER_QUARTER / 2

/** `{ ride: 'x..X.x', kick: 'x.....|....x.' }` → rows, bars split at `|`. */
export function drumRows(rows: { readonly [row: string]: string }): readonly DrumRow[] {
  return Object.entries(rows).map(([row, bars]) => ({ row, bars: bars.split('|') }))
}

/** `'0:1/6 6:5/3 9:ap/3|…'` → tokens bar by bar. */
export function bassRow(text: string): readonly (readonly BassToken[])[] {
  return text.split('|').map((bar) =>
    bar.split(' ').map((token) => {
      const found = must(/^(\d+):(\w+)\/(\d+)$/.exec(token), `'${token}' is a bass token`)
      assert(DEGREES.has(found[2] as string), `'${found[2]}' is a bass degree`)
      return { position: Number(found[1]), degree: found[2] as BassDegree, length: Number(found[3]) }
    }),
  )
}

/** Comping cells, each `'bar|bar'`. */
export function cells(...texts: readonly string[]): readonly (readonly string[])[] {
  return texts.map((text) => text.split('|'))
}

/** Whether a grid of `steps` over a bar has three slots a quarter, and so swung eighths and real triplets. */
export function hasThreeSlots(steps: number, barLengthTicks: number): boolean {
  return steps * SLOT_TICKS === barLengthTicks
}

/** Tick of a grid position in a bar. In a three-slot grid slots 1 and 2 are triplet places where slot 1 of their beat is struck
 *  (`struck`), else both mean the written off-beat eighth. */
export function positionTick(
  position: number,
  steps: number,
  barLengthTicks: number,
  struck: (position: number) => boolean,
): number {
  if (!hasThreeSlots(steps, barLengthTicks)) return Math.floor((position * barLengthTicks) / steps)
  const slot = position % 3
  const beatTick = ((position - slot) / 3) * TICKS_PER_QUARTER
  if (slot === 0) return beatTick
  return beatTick + (struck(position - slot + 1) ? slot * SLOT_TICKS : HALF_BEAT)
}

/** Whether a span begins or ends on a triplet place of its quarter. */
export function isTripletSpan(startTick: number, endTick: number): boolean {
  return isTripletTick(startTick) || isTripletTick(endTick)
}

function isTripletTick(tick: number): boolean {
  const inBeat = tick % TICKS_PER_QUARTER
  return inBeat === SLOT_TICKS || inBeat === 2 * SLOT_TICKS
}

/** The strokes of one bar of a grid row over a bar of the given length. */
export function strokesOf(row: string, barLengthTicks: number): readonly Stroke[] {
  const steps = row.length
  const struck = (position: number) => position < steps && !SILENT.has(row[position] as string)
  const threeSlots = hasThreeSlots(steps, barLengthTicks)
  const strokes: Stroke[] = []
  for (let position = 0; position < steps; position++) {
    if (!struck(position)) continue
    let end = position + 1
    while (end < steps && row[end] === '-') end++
    const startTick = positionTick(position, steps, barLengthTicks, struck)
    const endTick = positionTick(end, steps, barLengthTicks, struck)
    strokes.push({
      position,
      sign: row[position] as string,
      startTick,
      durationTicks: endTick - startTick,
      ...(threeSlots && isTripletSpan(startTick, endTick) ? { tuplet: { actual: 3, normal: 2 } as const } : {}),
    })
  }
  return strokes
}
