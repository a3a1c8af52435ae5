/** Horns behind the lead or a soloist: held guide tones with least movement, resting every fourth bar. */
import type { PartNote, PartSpec } from '../contract/index.js'
import { voiceProgression } from '../chords/index.js'
import { instrumentOf } from '../instruments/index.js'
import { spelledNote } from './comping.js'
import type { BarFrame, ChordSpan, Frames } from './frame.js'
import { velocityOf } from './loudness.js'
import { melodyAt } from './melody-room.js'

/** Backgrounds stay off the ends of the instrument, and below C5. Source: from memory. */
const FROM_ENDS = 3
const HIGHEST = 72
const SOFTER = 10

/** Notes of every bar for each horn. `playing` says which bars they play at all. */
export function playHorns(
  horns: readonly PartSpec[],
  frames: Frames,
  playing: (frame: BarFrame) => boolean,
): ReadonlyMap<string, readonly (readonly PartNote[])[]> {
  const ordered = [...horns].sort((a, b) => middleOf(a) - middleOf(b))
  const active = frames.bars.filter((frame) => playing(frame) && frame.barInSection % 4 !== 3 && !frame.isPickup)
  const spans = active.flatMap(({ chords }) => chords)
  const voicings =
    ordered.length === 0
      ? []
      : voiceProgression(
          spans.map(({ chord }) => chord),
          {
            rangePerVoice: ordered.map(backgroundRange),
            style: ordered.length === 3 || ordered.length === 4 ? 'rootless' : 'any',
          },
        )
  const bySpan = new Map(spans.map((span, index) => [span, voicings[index]?.midi ?? []]))
  return new Map(
    ordered.map((part, voice) => {
      const notes = frames.bars.map((frame) =>
        frame.chords.flatMap((span) => heldNote(frame, span, bySpan.get(span), voice)),
      )
      return [part.id, notes]
    }),
  )
}

function heldNote(frame: BarFrame, span: ChordSpan, midi: readonly number[] | undefined, voice: number): PartNote[] {
  const note = midi?.[voice]
  if (note === undefined) return []
  const startTick = span.startTick - frame.startTick
  const melody = melodyAt(frame.bar, startTick)
  if (melody !== undefined && note > melody - 3) return []
  return [
    {
      startTick,
      durationTicks: span.endTick - span.startTick,
      midi: note,
      name: spelledNote(note, span),
      velocity: Math.max(12, velocityOf(frame.groove.dyn, 'x', frame.level) - SOFTER),
    },
  ]
}

function backgroundRange(part: PartSpec): readonly [number, number] {
  const [low, high] = instrumentOf(part).range
  const top = Math.min(high - FROM_ENDS, HIGHEST)
  return [Math.max(Math.min(low + FROM_ENDS, top - 12), low), top]
}

function middleOf(part: PartSpec): number {
  const [low, high] = backgroundRange(part)
  return low + high
}
