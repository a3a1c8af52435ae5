/** Which tokens a bass player reads in a bar: the groove's row for its chords and level, placed in ticks. */
import { type BassToken, positionTick } from '../rhythm/index.js'
import { unitTicks } from '../units/index.js'
import type { BarFrame, ChordSpan } from './frame.js'

/** A token with its place in ticks of the bar (its end may lie past the bar line) and the chord it reads. */
export interface PlacedToken {
  readonly degree: BassToken['degree']
  readonly startTick: number
  readonly endTick: number
  readonly span: ChordSpan
}

export function tokensOf(frame: BarFrame, level: number): readonly PlacedToken[] {
  const { groove, chords, barInSection } = frame
  const rows = groove.bass
  const isPedal = chords.every((span) => span.isPedal)
  if (level === 1) return atChordStarts(frame)
  if (isPedal && rows.ped) return placed(frame, rows.ped[barInSection % rows.ped.length] ?? [])
  const walks = groove.walkFromLevel !== undefined && level >= groove.walkFromLevel
  const one = level <= 2 && rows['two-feel'] ? rows['two-feel'] : walks && rows.walk ? rows.walk : rows.one
  const isWalking = one?.some((bar) => bar.some(({ degree }) => degree === 'w')) === true
  if (chords.length === 1 && one) return placed(frame, one[barInSection % one.length] ?? [])
  if (isWalking) return beatByBeat(frame)
  if (
    chords.length === 2 &&
    rows.two &&
    chords[1]?.startTick === frame.startTick + middleTick(frame, rows.two[0] ?? [])
  )
    return placed(frame, rows.two[barInSection % rows.two.length] ?? [])
  return atChordStarts(frame)
}

/** Where the row for two chords expects the second one: the middle of the bar where a root stands there or an early one lasts over it, else
 *  its second root. */
function middleTick(frame: BarFrame, row: readonly BassToken[]): number {
  const steps = frame.groove.grid
  const half = steps / 2
  const meetsHalf = row.some(
    ({ degree, position, length }) =>
      (degree === '1' && position === half) || (degree === 'n1' && position < half && position + length > half),
  )
  const second = row.filter(({ degree }) => degree === '1')[1]?.position ?? 0
  return positionTick(meetsHalf ? half : second, steps, frame.patternTicks, () => false)
}

function placed(frame: BarFrame, row: readonly BassToken[]): readonly PlacedToken[] {
  const { groove, patternTicks, bar } = frame
  const struckAt = new Set(row.map(({ position }) => position))
  const struck = (position: number) => struckAt.has(position)
  return row.flatMap((token) => {
    const startTick = positionTick(token.position, groove.grid, patternTicks, struck)
    const end = token.position + token.length
    // A length past the bar line ties over; the part beyond it is whole steps.
    const endTick =
      end > groove.grid
        ? patternTicks + positionTick(end - groove.grid, groove.grid, patternTicks, () => false)
        : positionTick(end, groove.grid, patternTicks, struck)
    const span = spanAt(frame, startTick)
    if (!span || startTick >= bar.lengthTicks) return []
    return [{ degree: token.degree, startTick, endTick: Math.max(endTick, startTick + 1), span }]
  })
}

/** One root at each chord start, held to the next. */
function atChordStarts(frame: BarFrame): readonly PlacedToken[] {
  return frame.chords.map((span) => ({
    degree: '1',
    startTick: span.startTick - frame.startTick,
    endTick: span.endTick - frame.startTick,
    span,
  }))
}

/** Walking under changes the rows do not foresee: a root where a chord begins, a note of the line on every other beat. */
function beatByBeat(frame: BarFrame): readonly PlacedToken[] {
  const beat = unitTicks(frame.bar.metre)
  const starts = new Set(frame.chords.map(({ startTick }) => startTick - frame.startTick))
  for (let tick = 0; tick < frame.bar.lengthTicks; tick += beat) {
    const isCrowded = [...starts].some((start) => start !== tick && Math.abs(start - tick) < beat)
    if (!isCrowded) starts.add(tick)
  }
  const ticks = [...starts].sort((a, b) => a - b)
  return ticks.flatMap((startTick, index) => {
    const span = spanAt(frame, startTick)
    if (!span) return []
    const isRoot = span.startTick - frame.startTick === startTick
    return [
      { degree: isRoot ? '1' : 'w', startTick, endTick: ticks[index + 1] ?? frame.bar.lengthTicks, span } as const,
    ]
  })
}

function spanAt(frame: BarFrame, tick: number): ChordSpan | undefined {
  const at = frame.startTick + tick
  return frame.chords.findLast(({ startTick }) => startTick <= at) ?? frame.chords[0]
}
