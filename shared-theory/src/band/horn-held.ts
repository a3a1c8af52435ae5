/** Horns holding chords behind the lead or a soloist: guide tones with least movement, under the melody. */
import type { Chord } from '../contract/index.js'
import { pitchClassesOf, voiceProgression } from '../chords/index.js'
import { nearest } from './bass-notes.js'
import type { BarFrame, ChordSpan } from './frame.js'
import { type Desk, type HornPages, hornNote } from './horn-desks.js'
import { rubsUnder } from './melody-room.js'

/** Source: from memory. */
const BELOW_MELODY = 3
/** A horn without so much room sits the chord out. */
const LEAST_ROOM = 7
const SOFTER = 10

/** What stood before, so that the next chord moves least. */
export interface HeldSection {
  play(frame: BarFrame, desks: readonly Desk[], pages: HornPages): void
  /** One chord for the desks under a top note. */
  chord(span: ChordSpan, desks: readonly Desk[], top: number): readonly (readonly [Desk, number])[]
}

export function heldSection(): HeldSection {
  const known = knownVoicings()
  let before: { readonly ids: string; readonly midi: readonly (number | undefined)[] } | undefined
  const chord = (span: ChordSpan, desks: readonly Desk[], top: number, frame?: BarFrame) => {
    const players = desks.filter(({ low, high }) => Math.min(high, top) - low >= LEAST_ROOM)
    const ids = players.map(({ part }) => part.id).join()
    const first = before?.ids === ids ? before.midi : undefined
    const free = known(span.chord, `${ids} ${top} ${first?.join() ?? ''}`, () => voiced(span, players, top, first))
    const midi = frame ? withoutRubs(free, players, top, frame, span) : free
    before = { ids, midi }
    return players.flatMap((desk, voice) => {
      const note = midi[voice]
      return note !== undefined && note <= top ? [[desk, note] as const] : []
    })
  }
  return {
    chord,
    play(frame, desks, pages) {
      for (const span of frame.chords) {
        const top = Math.min(lowestMelody(frame, span), lowestSung(frame)) - BELOW_MELODY
        const startTick = span.startTick - frame.startTick
        const stroke = { startTick, durationTicks: span.endTick - span.startTick, sign: 'x', span }
        for (const [desk, midi] of chord(span, desks, top, frame))
          pages.get(desk.part.id)?.[frame.index]?.push(hornNote(frame, stroke, midi, SOFTER))
      }
    },
  }
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

/** A voice has its whole range to itself, through its rests too. */
const lowestSung = ({ sung, bar }: BarFrame): number => (sung && bar.melody.length > 0 ? sung[0] : 127)
