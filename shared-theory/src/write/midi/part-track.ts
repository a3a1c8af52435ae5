/** One part's track: its sound, and its notes as played or as notated. */
import type { Arrangement, PartSpec, PlayEvent } from '../../contract/index.js'
import { instrumentOf } from '../../instruments/index.js'
import { DRUM_KEYS } from '../../rhythm/index.js'
import { channelOf } from '../musicxml/part-list.js'
import { META, type TrackEvent, meta, text } from './bytes.js'

/** GM2 brush kit, counted from 0; a plain GM1 player ignores it and plays the sticks. */
const BRUSH_PROGRAM = 40
/** A slap written as a tap is one accent louder (the groove book's step from `x` to `X`). */
const SLAP_ACCENT = 24
const DRUM_CHANNEL = 9

export interface PartTrack {
  readonly spec: PartSpec
  /** Place among the line-up's pitched parts: which channel. */
  readonly place: number
  readonly isDrums: boolean
}

export function partTracks(lineup: readonly PartSpec[]): readonly PartTrack[] {
  let place = 0
  return lineup.map((spec) => {
    const isDrums = spec.role === 'drums' || instrumentOf(spec).family === 'drums'
    return { spec, isDrums, place: isDrums ? 0 : place++ }
  })
}

export function partEvents(
  { spec, place, isDrums }: PartTrack,
  arrangement: Arrangement,
  events: readonly PlayEvent[],
  feel: 'played' | 'notated',
  barStartTicks: readonly number[],
): TrackEvent[] {
  const channel = isDrums ? DRUM_CHANNEL : channelOf(place) - 1
  const names = isDrums ? strokeNames(arrangement, spec.id, barStartTicks) : new Map<string, string>()
  const isBrushed = [...names.values()].some((name) => DRUM_KEYS[name]?.brush !== undefined)
  const program = isDrums ? (isBrushed ? BRUSH_PROGRAM : 0) : instrumentOf(spec).midiProgram
  const notes = events.flatMap((event): readonly Sounding[] => {
    const startTick = Math.max(0, feel === 'played' ? event.playTick : event.startTick)
    const length = feel === 'played' ? event.playDurationTicks : event.durationTicks
    const sounding = { startTick, endTick: startTick + Math.max(1, length), midi: event.midi, velocity: event.velocity }
    return plainStroke(sounding, names.get(strokeKey(event.startTick, event.midi)))
  })
  return [
    { tick: 0, rank: 0, bytes: meta(META.title, text(spec.name)) },
    { tick: 0, rank: 1, bytes: meta(META.instrument, text(instrumentOf(spec).name)) },
    { tick: 0, rank: 2, bytes: [0xc0 | channel, program] },
    ...withoutOverlaps(notes).flatMap(({ startTick, endTick, midi, velocity }): readonly TrackEvent[] => [
      { tick: startTick, rank: 4, bytes: [0x90 | channel, midi, velocity] },
      { tick: endTick, rank: 3, bytes: [0x80 | channel, midi, 64] },
    ]),
    ...events.filter(({ swells }) => swells).flatMap((event) => swellOf(event, feel, channel)),
  ]
}

/** A held melody note grows to its middle and falls: controller 11, expression (MIDI 1.0), put back at its end. */
function swellOf(event: PlayEvent, feel: 'played' | 'notated', channel: number): readonly TrackEvent[] {
  const start = Math.max(0, feel === 'played' ? event.playTick : event.startTick)
  const length = Math.max(1, feel === 'played' ? event.playDurationTicks : event.durationTicks)
  const at = (tick: number, percent: number): TrackEvent => ({
    tick,
    rank: 3,
    bytes: [0xb0 | channel, EXPRESSION, Math.round((127 * percent) / 100)],
  })
  return [
    ...SWELL.map(([sixteenths, percent]) => at(start + Math.floor((length * sixteenths) / 16), percent)),
    at(start + length, 100),
  ]
}

const EXPRESSION = 11
/** Sixteenths of the note, percent of its level. Source: from memory. */
const SWELL: readonly (readonly [sixteenths: number, percent: number])[] = [
  [0, 90],
  [4, 95],
  [8, 100],
  [11, 92],
  [13, 84],
  [15, 75],
]

interface Sounding {
  readonly startTick: number
  readonly endTick: number
  readonly midi: number
  readonly velocity: number
}

const strokeKey = (tick: number, midi: number): string => `${tick}/${midi}`

/** Names of drum strokes by where they stand: the schedule carries only their keys. */
function strokeNames(
  { bars }: Arrangement,
  partId: string,
  barStartTicks: readonly number[],
): ReadonlyMap<string, string> {
  const names = new Map<string, string>()
  for (const [index, bar] of bars.entries()) {
    for (const { startTick, midi, name } of bar.parts[partId] ?? []) {
      names.set(strokeKey((barStartTicks[index] ?? 0) + startTick, midi), name)
    }
  }
  return names
}

/** Brushes as a plain kit can play them: a tap is a snare stroke, a slap an accented one, a sweep is left out
 *  (groove book, drum keys: brushes are not in General MIDI 1). */
function plainStroke(sounding: Sounding, name: string | undefined): readonly Sounding[] {
  const key = name === undefined ? undefined : DRUM_KEYS[name]
  if (!key?.brush) return [sounding]
  const { plainMidi } = key.brush
  if (plainMidi === undefined) return []
  const accent = name === 'bslap' ? SLAP_ACCENT : 0
  return [{ ...sounding, midi: plainMidi, velocity: Math.min(127, sounding.velocity + accent) }]
}

/** A key struck again while it sounds ends first; two strokes of one key at once are the louder one. */
function withoutOverlaps(notes: readonly Sounding[]): readonly Sounding[] {
  const byKey = new Map<number, Sounding[]>()
  for (const note of [...notes].sort((a, b) => a.startTick - b.startTick || a.velocity - b.velocity)) {
    const same = byKey.get(note.midi) ?? []
    const before = same.at(-1)
    if (before && before.startTick === note.startTick) same.pop()
    else if (before && before.endTick > note.startTick) same[same.length - 1] = { ...before, endTick: note.startTick }
    same.push(note)
    byKey.set(note.midi, same)
  }
  return [...byKey.values()].flat()
}
