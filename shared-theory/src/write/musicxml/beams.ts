/** Beams: which short notes share one, by the metre's groups, and how many run through. */
import type { BarGrid } from './bar-grid.js'
import { beamCount } from './note-values.js'
import type { VoiceEvent } from './lay-out-voice.js'

export type BeamSign = 'begin' | 'continue' | 'end' | 'forward hook' | 'backward hook'

/** For each event its beams from the first (eighth) level on; empty where it has none. */
export function beamsOf(grid: BarGrid, events: readonly VoiceEvent[]): readonly (readonly BeamSign[])[] {
  const signs: (readonly BeamSign[])[] = events.map(() => [])
  for (const run of runsOf(grid, events)) {
    const counts = run.map((index) => beamCount((events[index] as VoiceEvent).value.type))
    for (const [place, index] of run.entries()) signs[index] = signsAt(counts, place)
  }
  return signs
}

/** Neighbouring beamable notes inside one span; a span of two beats is broken at its beat when it holds more than plain eighths. */
function runsOf(grid: BarGrid, events: readonly VoiceEvent[]): number[][] {
  const runs: number[][] = []
  let run: number[] = []
  let home = -1
  const close = (): void => {
    if (run.length > 1) runs.push(run)
    run = []
  }
  for (const [index, event] of events.entries()) {
    const beamable = event.kind === 'notes' && beamCount(event.value.type) > 0
    const place = placeOf(grid, events, event)
    if (!beamable) {
      close()
      continue
    }
    if (place !== home) close()
    home = place
    run.push(index)
  }
  close()
  return runs
}

/** A number naming the beam span an event belongs to. */
function placeOf(grid: BarGrid, events: readonly VoiceEvent[], event: VoiceEvent): number {
  if (event.tuplet) return event.tuplet.startTick
  const span = grid.beamSpans.find(
    ({ startTick, endTick }) => event.startTick >= startTick && event.startTick < endTick,
  )
  if (!span) return -2
  const inside = events.filter(({ startTick }) => startTick >= span.startTick && startTick < span.endTick)
  const isPlain = inside.every(
    ({ kind, value, tuplet }) => kind === 'notes' && value.type === 'eighth' && !value.dots && !tuplet,
  )
  if (isPlain || grid.isCompound) return span.startTick
  const beat = grid.beats.find(({ startTick, endTick }) => event.startTick >= startTick && event.startTick < endTick)
  return beat ? beat.startTick : span.startTick
}

function signsAt(counts: readonly number[], place: number): BeamSign[] {
  const own = counts[place] as number
  return Array.from({ length: own }, (_, level): BeamSign => {
    const before = place > 0 && (counts[place - 1] as number) > level
    const after = place < counts.length - 1 && (counts[place + 1] as number) > level
    if (before && after) return 'continue'
    if (before) return 'end'
    if (after) return 'begin'
    return place === 0 ? 'forward hook' : 'backward hook'
  })
}
