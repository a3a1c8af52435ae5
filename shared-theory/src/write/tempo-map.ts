/** From ticks to milliseconds and back: tempo changes, ramps linear in ticks, and fermatas. */
import type { ArrangedBar, Arrangement, PartNote } from '../contract/index.js'
import { TICKS_PER_QUARTER } from '../contract/index.js'

export interface TempoMap {
  /** Start tick of every bar, from the start of the arrangement. */
  readonly barStartTicks: readonly number[]
  readonly totalTicks: number
  readonly totalMs: number
  /** Milliseconds of a tick; ticks past the end go on in the last tempo, ticks before the start are 0. */
  readonly msAt: (tick: number) => number
  /** The inverse; not rounded. */
  readonly tickAt: (ms: number) => number
}

interface Segment {
  readonly startTick: number
  readonly lengthTicks: number
  readonly startMs: number
  readonly lengthMs: number
  /** Quarters a minute at both ends. */
  readonly fromBpm: number
  readonly toBpm: number
  /** How much longer than written (fermata); 1 elsewhere. */
  readonly stretch: number
}

const MS_A_MINUTE = 60_000
const FALLBACK_BPM = 120
/** A fermata sounds twice its written length, and no less than this. Source: from memory. */
const FERMATA_STRETCH = 2
const FERMATA_LEAST_MS = 2500
/** In rubato a held last note is only half as long again. */
const RUBATO_FERMATA_STRETCH = 1.5

/** The tempo map of an arrangement at a practice tempo (`tempoScale` 0.5 = half speed). */
export function tempoMap(arrangement: Arrangement, tempoScale = 1): TempoMap {
  const scale = usableScale(tempoScale)
  const segments: Segment[] = []
  const barStartTicks: number[] = []
  let tick = 0
  let ms = 0
  for (const bar of arrangement.bars) {
    barStartTicks.push(tick)
    for (const piece of piecesOf(bar, scale)) {
      const segment = { ...piece, startTick: tick, startMs: ms }
      segments.push(segment)
      tick += segment.lengthTicks
      ms += segment.lengthMs
    }
  }
  const totalTicks = tick
  const totalMs = ms
  const lastBpm = segments.at(-1)?.toBpm ?? FALLBACK_BPM * scale
  return {
    barStartTicks,
    totalTicks,
    totalMs,
    msAt: (at) => {
      if (at <= 0) return 0
      if (at >= totalTicks) return totalMs + straightMs(at - totalTicks, lastBpm)
      const segment = findSegment(segments, at, 'startTick')
      return segment.startMs + segment.stretch * rampMs(segment, at - segment.startTick)
    },
    tickAt: (at) => {
      if (at <= 0) return 0
      if (at >= totalMs) return totalTicks + ((at - totalMs) * lastBpm * TICKS_PER_QUARTER) / MS_A_MINUTE
      const segment = findSegment(segments, at, 'startMs')
      return segment.startTick + rampTicks(segment, (at - segment.startMs) / segment.stretch)
    },
  }
}

/** Milliseconds of any tick of an arrangement, as the schedule counts them. */
export function tickToMs(arrangement: Arrangement, tempoScale = 1): (tick: number) => number {
  return tempoMap(arrangement, tempoScale).msAt
}

/** The inverse of `tickToMs`. */
export function msToTick(arrangement: Arrangement, tempoScale = 1): (ms: number) => number {
  return tempoMap(arrangement, tempoScale).tickAt
}

/** A practice tempo that makes sense; anything else plays as written. */
export const usableScale = (tempoScale: number): number =>
  Number.isFinite(tempoScale) && tempoScale > 0 ? Math.min(Math.max(tempoScale, 0.05), 8) : 1

/** A tempo that makes sense. */
export const usableBpm = (tempoBpm: number): number =>
  Number.isFinite(tempoBpm) && tempoBpm > 0 ? tempoBpm : FALLBACK_BPM

function piecesOf(bar: ArrangedBar, scale: number): readonly Omit<Segment, 'startTick' | 'startMs'>[] {
  const length = bar.lengthTicks
  const startBpm = usableBpm(bar.tempoBpm) * scale
  const endBpm = bar.tempoEndBpm === undefined ? startBpm : usableBpm(bar.tempoEndBpm) * scale
  const bpmAt = (tick: number) => startBpm + ((endBpm - startBpm) * tick) / length
  const piece = (from: number, to: number, isHeld: boolean) => {
    const ramp = { lengthTicks: to - from, fromBpm: bpmAt(from), toBpm: bpmAt(to) }
    const written = rampMs(ramp, to - from)
    const stretch = isHeld ? fermataStretch(bar, written) : 1
    return { ...ramp, stretch, lengthMs: written * stretch }
  }
  const fermata = bar.fermataTick
  if (fermata === undefined || fermata < 0 || fermata >= length) return length > 0 ? [piece(0, length, false)] : []
  const goesOn = nextOnset(bar, fermata)
  return [
    ...(fermata > 0 ? [piece(0, fermata, false)] : []),
    piece(fermata, goesOn, true),
    ...(goesOn < length ? [piece(goesOn, length, false)] : []),
  ]
}

function fermataStretch(bar: ArrangedBar, writtenMs: number): number {
  if (bar.feel === 'rubato') return RUBATO_FERMATA_STRETCH
  return Math.max(FERMATA_STRETCH, FERMATA_LEAST_MS / writtenMs)
}

type SoundingNote = Pick<PartNote, 'startTick' | 'printed'>

/** The held place lasts until somebody moves on. */
function nextOnset(bar: ArrangedBar, tick: number): number {
  let next = bar.lengthTicks
  for (const notes of [bar.melody as readonly SoundingNote[], ...Object.values(bar.parts)])
    for (const { startTick, printed } of notes)
      if (printed !== 'cue' && startTick > tick && startTick < next) next = startTick
  return next
}

const straightMs = (ticks: number, bpm: number): number => (ticks * MS_A_MINUTE) / (TICKS_PER_QUARTER * bpm)

/** Time of the first `ticks` of a ramp: the integral of 1/tempo. */
function rampMs(ramp: Pick<Segment, 'lengthTicks' | 'fromBpm' | 'toBpm'>, ticks: number): number {
  const slope = (ramp.toBpm - ramp.fromBpm) / ramp.lengthTicks
  if (slope === 0) return straightMs(ticks, ramp.fromBpm)
  return (MS_A_MINUTE / TICKS_PER_QUARTER) * (Math.log1p((slope * ticks) / ramp.fromBpm) / slope)
}

function rampTicks(ramp: Pick<Segment, 'lengthTicks' | 'fromBpm' | 'toBpm'>, ms: number): number {
  const slope = (ramp.toBpm - ramp.fromBpm) / ramp.lengthTicks
  if (slope === 0) return (ms * ramp.fromBpm * TICKS_PER_QUARTER) / MS_A_MINUTE
  return (ramp.fromBpm * Math.expm1((ms * slope * TICKS_PER_QUARTER) / MS_A_MINUTE)) / slope
}

/** Last segment that starts at or before a place. */
function findSegment(segments: readonly Segment[], place: number, field: 'startTick' | 'startMs'): Segment {
  let low = 0
  let high = segments.length - 1
  while (low < high) {
    const middle = (low + high + 1) >> 1
    if ((segments[middle] as Segment)[field] <= place) low = middle
    else high = middle - 1
  }
  return segments[low] as Segment
}
