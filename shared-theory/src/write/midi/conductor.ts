/** The first track of the file: title, tempo, metre, key, and a marker at every section. */
import type { ArrangedBar, Arrangement } from '../../contract/index.js'
import { TICKS_PER_QUARTER } from '../../contract/index.js'
import { barTicks, isMinorKey } from '../../units/index.js'
import { sectionMarks } from '../musicxml/section-marks.js'
import type { TempoMap } from '../tempo-map.js'
import { META, type TrackEvent, meta, number, text } from './bytes.js'

export function conductorEvents(arrangement: Arrangement, map: TempoMap): TrackEvent[] {
  return [
    { tick: 0, rank: 0, bytes: meta(META.title, text(arrangement.title)) },
    ...metreEvents(arrangement.bars, map),
    ...keyEvents(arrangement.bars, map),
    ...tempoEvents(arrangement.bars, map),
    ...markerEvents(arrangement.bars, map),
  ]
}

/** Quarter-note clocks a click: 24 a quarter, 36 where a beat is a dotted quarter; 8 thirty-seconds a quarter. */
function metreEvents(bars: readonly ArrangedBar[], map: TempoMap): TrackEvent[] {
  let shown = ''
  return bars.flatMap((bar, index) => {
    const { beats, beatType } = soundingMetre(bar)
    const key = `${beats}/${beatType}`
    if (key === shown) return []
    shown = key
    const clocks = beatType === 8 && beats % 3 === 0 ? 36 : (24 * 4) / beatType
    const power = [2, 4, 8, 16, 32].indexOf(beatType) + 1
    return [{ tick: tickOf(map, index), rank: 1, bytes: meta(META.metre, [beats, power, clocks, 8]) }]
  })
}

/** A pickup or closing bar says its own length, so that bar lines stay where they are. */
function soundingMetre({ metre, lengthTicks }: ArrangedBar): { readonly beats: number; readonly beatType: number } {
  if (lengthTicks >= barTicks(metre)) return metre
  const fine = [metre.beatType, 8, 16, 32].find(
    (beatType) => beatType >= metre.beatType && Number.isInteger((lengthTicks * beatType) / WHOLE_TICKS),
  )
  return fine === undefined ? metre : { beats: (lengthTicks * fine) / WHOLE_TICKS, beatType: fine }
}

const WHOLE_TICKS = 4 * TICKS_PER_QUARTER

function keyEvents(bars: readonly ArrangedBar[], map: TempoMap): TrackEvent[] {
  return bars.flatMap((bar, index) => {
    const before = bars[index - 1]?.key
    if (before && before.fifths === bar.key.fifths && isMinorKey(before.key) === isMinorKey(bar.key.key)) return []
    const body = [...number((256 + bar.key.fifths) % 256, 1), isMinorKey(bar.key.key) ? 1 : 0]
    return [{ tick: tickOf(map, index), rank: 2, bytes: meta(META.key, body) }]
  })
}

/** A step wherever the tempo changes; ritardandi and fermatas in steps of a sixteenth, each as long as the schedule plays it. */
const RAMP_STEP_TICKS = TICKS_PER_QUARTER / 4
const SLOWEST_MICROSECONDS = 0xffffff

function tempoEvents(bars: readonly ArrangedBar[], map: TempoMap): TrackEvent[] {
  const events: TrackEvent[] = []
  let shown = -1
  for (const [index, bar] of bars.entries()) {
    const start = tickOf(map, index)
    const isSteady = bar.tempoEndBpm === undefined && bar.fermataTick === undefined
    const step = isSteady ? bar.lengthTicks : RAMP_STEP_TICKS
    for (let at = 0; at < bar.lengthTicks; at += step) {
      const end = Math.min(bar.lengthTicks, at + step)
      const ms = map.msAt(start + end) - map.msAt(start + at)
      const microseconds = Math.min(SLOWEST_MICROSECONDS, Math.round((ms * 1000 * TICKS_PER_QUARTER) / (end - at)))
      if (microseconds === shown) continue
      shown = microseconds
      events.push({ tick: start + at, rank: 3, bytes: meta(META.tempo, number(microseconds, 3)) })
    }
  }
  return events
}

function markerEvents(bars: readonly ArrangedBar[], map: TempoMap): TrackEvent[] {
  return [...sectionMarks(bars)].map(([index, { letter, form }]) => ({
    tick: tickOf(map, index),
    rank: 4,
    bytes: meta(META.marker, text(`${letter}: ${form.replaceAll(' · ', ', ')}`)),
  }))
}

const tickOf = (map: TempoMap, index: number): number => map.barStartTicks[index] ?? 0
