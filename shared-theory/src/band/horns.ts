/** Horns behind the lead or a soloist: held guide tones with least movement, resting every fourth bar. */
import type { PartNote, PartSpec } from '../contract/index.js'
import { voiceProgression } from '../chords/index.js'
import { instrumentOf } from '../instruments/index.js'
import { spelledNote } from './comping.js'
import type { BarFrame, ChordSpan, Frames } from './frame.js'
import { velocityOf } from './loudness.js'

/** Backgrounds stay off the ends of the instrument, below C5, and under the melody. Source: from memory. */
const FROM_ENDS = 3
const HIGHEST = 72
const BELOW_MELODY = 3
/** A horn without so much room sits the chord out. */
const LEAST_ROOM = 7
const SOFTER = 10

interface Desk {
  readonly part: PartSpec
  readonly low: number
  readonly high: number
}

/** Notes of every bar for each horn. `playing` says which bars they play at all; every fourth bar of a section they breathe. */
export function playHorns(
  horns: readonly PartSpec[],
  frames: Frames,
  playing: (frame: BarFrame) => boolean,
): ReadonlyMap<string, readonly (readonly PartNote[])[]> {
  const desks = horns.map(deskOf).sort((a, b) => a.low + a.high - b.low - b.high)
  const made = new Map(desks.map(({ part }) => [part.id, frames.bars.map((): PartNote[] => [])]))
  let before: { readonly ids: string; readonly midi: readonly number[] } | undefined
  for (const frame of frames.bars) {
    if (desks.length === 0 || !playing(frame) || frame.barInSection % 4 === 3 || frame.isPickup) continue
    for (const span of frame.chords) {
      const top = Math.min(HIGHEST, lowestMelody(frame, span) - BELOW_MELODY)
      const players = desks.filter(({ low, high }) => Math.min(high, top) - low >= LEAST_ROOM)
      const ids = players.map(({ part }) => part.id).join()
      const midi = voiced(span, players, top, before?.ids === ids ? before.midi : undefined)
      players.forEach(({ part }, voice) => {
        const note = midi[voice]
        if (note !== undefined && note <= top) made.get(part.id)?.[frame.index]?.push(heldNote(frame, span, note))
      })
      before = { ids, midi }
    }
  }
  return made
}

/** One chord for the horns that play, as near as can be to the chord before. */
function voiced(
  span: ChordSpan,
  players: readonly Desk[],
  top: number,
  first: readonly number[] | undefined,
): readonly number[] {
  if (players.length === 0) return []
  const [voicing] = voiceProgression([span.chord], {
    rangePerVoice: players.map(({ low, high }) => [low, Math.min(high, top)] as const),
    style: players.length === 3 || players.length === 4 ? 'rootless' : 'any',
    ...(first && first.length === players.length ? { first } : {}),
  })
  return voicing?.midi ?? []
}

function lowestMelody(frame: BarFrame, span: ChordSpan): number {
  const from = span.startTick - frame.startTick
  const to = span.endTick - frame.startTick
  const sounding = frame.bar.melody.filter((note) => note.startTick < to && note.startTick + note.durationTicks > from)
  return Math.min(...sounding.map(({ midi }) => midi), 127)
}

function heldNote(frame: BarFrame, span: ChordSpan, midi: number): PartNote {
  return {
    startTick: span.startTick - frame.startTick,
    durationTicks: span.endTick - span.startTick,
    midi,
    name: spelledNote(midi, span),
    velocity: Math.max(12, velocityOf(frame.groove.dyn, 'x', frame.level) - SOFTER),
  }
}

function deskOf(part: PartSpec): Desk {
  const [low, high] = instrumentOf(part).range
  return { part, low: low + FROM_ENDS, high: Math.min(high - FROM_ENDS, HIGHEST) }
}
