/** What every fault family gets to see. */
import type { ArrangedBar, FoldedScore, NoteName, PartNote, PartSpec, Plan } from '../contract/index.js'
import { type Instrument, instrumentOf } from '../instruments/index.js'
import { midiOf, noteName, parsePitch } from '../units/index.js'
import type { AsPlanned } from './as-planned.js'
import { barNumberOf, partWords } from './words.js'

export interface CheckedPart {
  readonly spec: PartSpec
  readonly instrument: Instrument
  /** 'tenor sax', as it stands inside a sentence. */
  readonly name: string
  readonly isDrums: boolean
  /** One line at a time: leads, horns, voices. */
  readonly isLine: boolean
}

export interface CheckContext {
  /** As given; an unreadable bar is a gap. */
  readonly bars: readonly (ArrangedBar | undefined)[]
  readonly parts: readonly CheckedPart[]
  readonly plan?: Plan
  /** What the plan makes; undefined where there is none, or where it makes other bars than these. */
  readonly planned: () => AsPlanned | undefined
  readonly folded?: FoldedScore
  readonly written?: { readonly [partId: string]: string }
  /** A pitch name as sound and letter; undefined where it names no pitch. */
  readonly read: (name: string) => NamedPitch | undefined
  /** Printed number of a bar by its index. */
  readonly numberOf: (index: number) => number
}

export interface NamedPitch {
  readonly midi: number
  /** Without octave: 'Bb'. */
  readonly letter: NoteName
  readonly alter: number
}

/** Reads every name once: an arrangement has thousands of notes and a few dozen names. */
export function nameReader(): CheckContext['read'] {
  const known = new Map<string, NamedPitch | undefined>()
  return (name) => {
    if (!known.has(name)) {
      const pitch = parsePitch(name)
      known.set(name, pitch && { midi: midiOf(pitch), letter: noteName(pitch), alter: pitch.alter })
    }
    return known.get(name)
  }
}

export function checkedPart(spec: PartSpec): CheckedPart {
  const instrument = instrumentOf(spec)
  return {
    spec,
    instrument,
    name: partWords(spec.name),
    isDrums: spec.role === 'drums' || instrument.family === 'drums',
    isLine: spec.role === 'lead' || spec.role === 'horn' || spec.role === 'voice',
  }
}

export const numberer =
  (bars: CheckContext['bars']): CheckContext['numberOf'] =>
  (index) =>
    barNumberOf(bars, index)

/** The part's notes of a bar. */
export const notesOf = (bar: ArrangedBar, part: CheckedPart): readonly PartNote[] =>
  Object.hasOwn(bar.parts, part.spec.id) ? (bar.parts[part.spec.id] ?? []) : []

export const isPrinted = (note: PartNote): boolean => note.printed !== 'slash'
/** Printed and played: a cue is another's, to be read only. */
export const isPlayedAsPrinted = (note: PartNote): boolean => note.printed === undefined

/** Every readable bar with its index. */
export function* readableBars(bars: CheckContext['bars']): Generator<readonly [index: number, bar: ArrangedBar]> {
  for (const [index, bar] of bars.entries()) if (bar) yield [index, bar]
}
