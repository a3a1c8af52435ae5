/** The arrangement as one sorted list of notes in time: preview, bounce and MIDI file all come from it. */
import type { Arrangement, PlayEvent } from '../contract/index.js'
import { arrangementShape } from '../tune/index.js'
import { collectNotes } from './collect-notes.js'
import { fadeOf } from './fade.js'
import { phraseNotes } from './phrasing.js'
import { tempoMap, usableScale } from './tempo-map.js'

export { type TempoMap, msToTick, tempoMap, tickToMs } from './tempo-map.js'

export interface ScheduleOptions {
  /** Only events written at or after this tick; times still count from the start of the arrangement. */
  readonly fromTick?: number
  /** Practice tempo: 0.5 = half speed. */
  readonly tempoScale?: number
  /** PartSpec ids to keep; all when absent. */
  readonly parts?: readonly string[]
  /** Seeded unevenness of onset and loudness; default true. */
  readonly humanise?: boolean
  readonly seed?: number
}

/** All notes, sorted by startTick, then partId, then midi. Tied notes are one event; `startMs` is `playTick` through the tempo map,
 *  in thousandths of a millisecond. Pure: the same arrangement and options give the same events. What can't be read is silent; never throws. */
export function scheduleEvents(given: Arrangement, options: ScheduleOptions = {}): PlayEvent[] {
  const arrangement = arrangementShape(given)
  const tempoScale = usableScale(options.tempoScale ?? 1)
  const map = tempoMap(arrangement, tempoScale)
  const struck = collectNotes(arrangement, map.barStartTicks)
  const phrased = phraseNotes(struck, arrangement, map.barStartTicks, {
    tempoScale,
    humanise: options.humanise ?? true,
    seed: options.seed ?? 1,
  })
  const left = fadeOf(arrangement.bars, map.barStartTicks, map.totalTicks)
  const wanted = options.parts && new Set(options.parts)
  const fromTick = options.fromTick ?? 0
  const events: PlayEvent[] = []
  for (const { note, playTick, playEndTick, velocity, swells } of phrased) {
    if (note.startTick < fromTick || (wanted && !wanted.has(note.part.id))) continue
    const startMs = map.msAt(playTick)
    events.push({
      partId: note.part.id,
      startTick: note.startTick,
      durationTicks: note.endTick - note.startTick,
      playTick,
      playDurationTicks: playEndTick - playTick,
      startMs: inMicroseconds(startMs),
      durationMs: inMicroseconds(map.msAt(playEndTick) - startMs),
      midi: note.midi,
      velocity: Math.max(1, Math.round(velocity * left(note.startTick))),
      barIndex: arrangement.bars[note.barIndex]?.barIndex ?? note.barIndex,
      ...(swells ? { swells: true as const } : {}),
      ...(note.isMelody ? { isMelody: true as const } : {}),
    })
  }
  return events.sort(
    (a, b) => a.startTick - b.startTick || (a.partId < b.partId ? -1 : a.partId > b.partId ? 1 : 0) || a.midi - b.midi,
  )
}

const inMicroseconds = (ms: number): number => Math.round(ms * 1000) / 1000
