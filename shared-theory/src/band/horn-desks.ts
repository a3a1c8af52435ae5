/** Horn players at their desks: what each has comfortably, and how what they play is written down. */
import type { PartNote, PartSpec } from '../contract/index.js'
import { instrumentOf } from '../instruments/index.js'
import { spelledNote } from './note-names.js'
import type { BarFrame, ChordSpan } from './frame.js'
import { velocityOf } from './loudness.js'

/** Behind others horns stay off the ends of the instrument and below C5. Source: from memory. */
const FROM_ENDS = 3
const HIGHEST = 72

export interface Desk {
  readonly part: PartSpec
  /** Where the player supports others. */
  readonly low: number
  readonly high: number
  /** Everything a working player has. */
  readonly range: readonly [lowMidi: number, highMidi: number]
}

/** Low to high. */
export function desksOf(horns: readonly PartSpec[]): readonly Desk[] {
  return horns
    .map((part): Desk => {
      const { range } = instrumentOf(part)
      return { part, low: range[0] + FROM_ENDS, high: Math.min(range[1] - FROM_ENDS, HIGHEST), range }
    })
    .sort((a, b) => a.low + a.high - b.low - b.high)
}

/** Notes of every desk, bar by bar, as they come to be written. */
export type HornPages = ReadonlyMap<string, PartNote[][]>

export interface HornStroke {
  readonly startTick: number
  readonly durationTicks: number
  readonly sign: string
  readonly span: ChordSpan
}

export function hornNote(
  frame: BarFrame,
  { startTick, durationTicks, sign, span }: HornStroke,
  midi: number,
  softer: number,
): PartNote {
  return {
    startTick,
    durationTicks,
    midi,
    name: spelledNote(midi, span),
    // Behind a voice a level softer.
    velocity: Math.max(12, velocityOf(frame.groove.dyn, sign, levelBehind(frame)) - softer),
  }
}

const levelBehind = ({ level, sung }: BarFrame): BarFrame['level'] =>
  sung && level > 1 ? ((level - 1) as BarFrame['level']) : level
