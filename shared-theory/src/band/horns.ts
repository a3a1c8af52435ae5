/** Horns behind the lead or a soloist: held guide tones with least movement, resting every fourth bar. */
import type { Chord, PartNote, PartSpec } from '../contract/index.js'
import { pitchClassesOf, voiceProgression } from '../chords/index.js'
import { instrumentOf } from '../instruments/index.js'
import { nearest } from './bass-notes.js'
import { spelledNote } from './comping.js'
import type { BarFrame, ChordSpan, Frames } from './frame.js'
import { velocityOf } from './loudness.js'
import { rubsUnder } from './melody-room.js'

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
  const known = knownVoicings()
  let before: { readonly ids: string; readonly midi: readonly (number | undefined)[] } | undefined
  for (const frame of frames.bars) {
    if (desks.length === 0 || !playing(frame) || frame.barInSection % 4 === 3 || frame.isPickup) continue
    for (const span of frame.chords) {
      const top = Math.min(HIGHEST, lowestMelody(frame, span) - BELOW_MELODY)
      const players = desks.filter(({ low, high }) => Math.min(high, top) - low >= LEAST_ROOM)
      const ids = players.map(({ part }) => part.id).join()
      const first = before?.ids === ids ? before.midi : undefined
      const free = known(span.chord, `${ids} ${top} ${first?.join() ?? ''}`, () => voiced(span, players, top, first))
      const midi = withoutRubs(free, players, top, frame, span)
      players.forEach(({ part }, voice) => {
        const note = midi[voice]
        if (note !== undefined && note <= top) made.get(part.id)?.[frame.index]?.push(heldNote(frame, span, note))
      })
      before = { ids, midi }
    }
  }
  return made
}

/** Choruses repeat their chords: each is voiced once for the same players, top and notes before. */
function knownVoicings(): (chord: Chord, way: string, make: () => readonly number[]) => readonly number[] {
  const known = new Map<Chord, Map<string, readonly number[]>>()
  return (chord, way, make) => {
    const ways = known.get(chord) ?? new Map<string, readonly number[]>()
    const voicing = ways.get(way) ?? make()
    known.set(chord, ways.set(way, voicing))
    return voicing
  }
}

/** One chord for the horns that play, as near as can be to the chord before. */
function voiced(
  span: ChordSpan,
  players: readonly Desk[],
  top: number,
  first: readonly (number | undefined)[] | undefined,
): readonly number[] {
  if (players.length === 0) return []
  const from = (first ?? []).filter((note) => note !== undefined)
  const [voicing] = voiceProgression([span.chord], {
    rangePerVoice: players.map(({ low, high }) => [low, Math.min(high, top)] as const),
    style: players.length === 3 || players.length === 4 ? 'rootless' : 'any',
    ...(from.length === players.length ? { first: from } : {}),
  })
  return voicing?.midi ?? []
}

/** A note a minor ninth under the melody gives way to the chord's nearest other note that its player has and nobody plays. */
function withoutRubs(
  midi: readonly number[],
  players: readonly Desk[],
  top: number,
  frame: BarFrame,
  span: ChordSpan,
): readonly (number | undefined)[] {
  const sung = soundingMelody(frame, span).map((note) => note.midi)
  const rubs = (note: number) => sung.some((melody) => rubsUnder(note, melody, span.chord))
  const taken = new Set(midi.filter((note) => !rubs(note)))
  return midi.map((note, voice) => {
    if (!rubs(note)) return note
    const { low, high } = players[voice] as Desk
    const others = pitchClassesOf(span.chord)
      .flatMap((pc) => [nearest(pc, note, low, Math.min(high, top))])
      .filter((other) => other <= top && !rubs(other) && !taken.has(other) && Math.abs(other - note) <= 5)
      .sort((a, b) => Math.abs(a - note) - Math.abs(b - note))
    if (others[0] !== undefined) taken.add(others[0])
    return others[0]
  })
}

function soundingMelody(frame: BarFrame, span: ChordSpan) {
  const from = span.startTick - frame.startTick
  const to = span.endTick - frame.startTick
  return frame.bar.melody.filter((note) => note.startTick < to && note.startTick + note.durationTicks > from)
}

function lowestMelody(frame: BarFrame, span: ChordSpan): number {
  return Math.min(...soundingMelody(frame, span).map(({ midi }) => midi), 127)
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
