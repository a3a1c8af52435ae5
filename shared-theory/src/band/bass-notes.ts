/** Bass notes: where they lie, how they are named, how they are written down. */
import type { PartNote } from '../contract/index.js'
import { bassOf, spellOver } from '../chords/index.js'
import { hasThreeSlots, isTripletSpan } from '../rhythm/index.js'
import { mod, pitchAs, pitchClass, simplifyNoteName, transposeName } from '../units/index.js'
import type { BarFrame, ChordSpan, Frames, Stop } from './frame.js'
import type { DrumBar } from './drums.js'
import { velocityOf } from './loudness.js'
import type { ApproachKind, ChordTones } from './walking.js'

/** Where a bass sounds best, and the highest it goes. Source: from memory. */
export const LOWEST = 28
export const COMFORTABLE_HIGH = 48
export const HIGHEST = 55
/** Where the hand is at home: E2. Source: from memory. */
const MIDDLE = 40

export interface BassContext {
  readonly frames: Frames
  readonly drums: readonly DrumBar[] | undefined
  readonly stop: Stop
  readonly seed: number
  /** A plainer player: without drums the bass stays a level below. */
  readonly isPlainer: boolean
}

/** The player between two bars: range, where the hand is, what is still owed. */
export interface BassPlayer {
  readonly low: number
  readonly high: number
  pitch: number
  hasPlayed: boolean
  /** Kinds of the approaches used last, newest last. */
  approaches: readonly ApproachKind[]
  /** The pitch an approach has aimed at. */
  aimed: number | undefined
  /** A note tied over the bar line: its pitch, and how many ticks of it are left. */
  tied: { readonly midi: number; readonly ticks: number; readonly name: string } | undefined
  /** The next bar's first root was anticipated: strike it softly. */
  anticipated: number | undefined
  readonly tones: Map<string, ChordTones>
}

export function bassNote(
  frame: BarFrame,
  startTick: number,
  durationTicks: number,
  midi: number,
  name: string,
  sign: string,
): PartNote {
  const isTriplet =
    hasThreeSlots(frame.groove.grid, frame.patternTicks) && isTripletSpan(startTick, startTick + durationTicks)
  return {
    startTick,
    durationTicks,
    midi,
    name,
    velocity: velocityOf(frame.groove.dyn, sign, frame.level),
    printed: 'slash',
    ...(isTriplet ? { tuplet: { actual: 3, normal: 2 } } : {}),
  }
}

/** A chord tone by its chord; a half step beside the root it leads to by that root, raised from below and lowered from above. */
export function spelled(midi: number, span: ChordSpan, leadsTo: ChordSpan = span): string {
  const pc = mod(midi, 12)
  const owns = span.chord.notes.some((name) => pitchClass(name) === pc) || span.bassPc === pc
  const target = bassOf(leadsTo.chord)
  if (!owns && leadsTo !== span && target !== undefined) {
    const apart = mod(pc - pitchClass(target), 12)
    if (apart === 11) return pitchAs(midi, simplifyNoteName(transposeName(target, '-2m')))
    if (apart === 1) return pitchAs(midi, simplifyNoteName(transposeName(target, '2m')))
  }
  const reader = owns ? span : leadsTo
  return pitchAs(midi, spellOver(pc, reader.chord, reader.key))
}

/** The pitch of a class nearest to another, inside a range. */
export function nearest(pc: number, to: number, low: number, high: number): number {
  let best = low + mod(pc - low, 12)
  for (let midi = best; midi <= high; midi += 12) if (Math.abs(midi - to) < Math.abs(best - to)) best = midi
  return best
}

/** The pitch of a class above another, an octave down where it would leave the range. */
export function above(pc: number, from: number, low: number, high: number): number {
  const up = from + mod(pc - from, 12)
  return up <= high || up - 12 < low ? up : up - 12
}

/** A root near the hand, drawn to the middle of the instrument, so that a line neither sinks nor climbs away. */
export function homeNear(pc: number, to: number, low: number): number {
  let best = low + mod(pc - low, 12)
  const cost = (midi: number) => 2 * Math.abs(midi - to) + Math.abs(midi - MIDDLE)
  for (let midi = best; midi <= COMFORTABLE_HIGH; midi += 12) if (cost(midi) < cost(best)) best = midi
  return best
}
