/** Intervals by name ('5P', '7m', '-2M'): number and quality together, so that spelling survives transposition. */
import type { NoteName } from '../contract/index.js'
import { assert, must } from './assert.js'
import {
  NATURAL_SEMITONES,
  type Spelled,
  type SpelledPitch,
  formatPitch,
  mod,
  noteName,
  parseNoteName,
  parsePitch,
  pitchClass,
  simplifyNoteName,
} from './pitch.js'

export interface Interval {
  /** Steps of the staff: unison 0, second 1, octave 7; negative downwards. */
  readonly steps: number
  readonly semitones: number
}

const PERFECT = new Set([0, 3, 4])

/** '5P' → { steps 4, semitones 7 }, '9m' → { 8, 13 }, '-3M' → { −2, −4 }. Qualities d dd m M P A AA. */
export function parseInterval(text: string): Interval | undefined {
  const found = /^(-?)(\d{1,2})(dd|d|m|M|P|AA|A)$/.exec(text)
  if (!found) return undefined
  const number = Number(found[2])
  if (number < 1) return undefined
  const steps = number - 1
  const perfect = PERFECT.has(steps % 7)
  const offset = qualityOffset(found[3] as string, perfect)
  if (offset === undefined) return undefined
  const semitones = (NATURAL_SEMITONES[steps % 7] as number) + 12 * Math.floor(steps / 7) + offset
  return found[1] ? { steps: steps === 0 ? 0 : -steps, semitones: -semitones } : { steps, semitones }
}

function qualityOffset(quality: string, perfect: boolean): number | undefined {
  switch (quality) {
    case 'P':
      return perfect ? 0 : undefined
    case 'M':
      return perfect ? undefined : 0
    case 'm':
      return perfect ? undefined : -1
    case 'd':
      return perfect ? -1 : -2
    case 'dd':
      return perfect ? -2 : -3
    case 'A':
      return 1
    default:
      return 2
  }
}

/** The name of an interval: { 4, 7 } → '5P'. Undefined where no quality fits (three alterations). */
export function formatInterval(interval: Interval): string | undefined {
  const down = interval.steps < 0 || (interval.steps === 0 && interval.semitones < 0)
  const steps = Math.abs(interval.steps)
  const semitones = down ? -interval.semitones : interval.semitones
  const offset = semitones - (NATURAL_SEMITONES[steps % 7] as number) - 12 * Math.floor(steps / 7)
  const perfect = PERFECT.has(steps % 7)
  const qualities: { readonly [offset: number]: string } = perfect
    ? { [-2]: 'dd', [-1]: 'd', 0: 'P', 1: 'A', 2: 'AA' }
    : { [-3]: 'dd', [-2]: 'd', [-1]: 'm', 0: 'M', 1: 'A', 2: 'AA' }
  const quality = qualities[offset]
  return quality && `${down ? '-' : ''}${steps + 1}${quality}`
}

/** A letter and alteration moved by an interval; the alteration may run past doubles, `noteName` then refuses it. */
export function moveSpelled(from: Spelled, interval: Interval): Spelled {
  const step = from.step + interval.steps
  const natural = (NATURAL_SEMITONES[mod(step, 7)] as number) + 12 * Math.floor(step / 7)
  const alter = (NATURAL_SEMITONES[from.step] as number) + from.alter + interval.semitones - natural
  return { step: mod(step, 7), alter }
}

/** A note name moved by an interval; beyond double accidentals the simplest enharmonic name of the same sound. */
export function transposeName(name: NoteName, interval: string | Interval): NoteName {
  const moved = moveSpelled(must(parseNoteName(name), `'${name}' is a note name`), asInterval(interval))
  return Math.abs(moved.alter) <= 2 ? noteName(moved) : respell(moved)
}

/** A pitch moved by an interval: ('Bb4', '2M') → 'C5'. Beyond double accidentals the simplest enharmonic pitch. */
export function transposePitch(text: string, interval: string | Interval): string {
  const by = asInterval(interval)
  const from = must(parsePitch(text), `'${text}' is a pitch`)
  const moved = moveSpelled(from, by)
  const octave = from.octave + Math.floor((from.step + by.steps) / 7)
  if (Math.abs(moved.alter) <= 2) return formatPitch({ ...moved, octave })
  const midi = (octave + 1) * 12 + (NATURAL_SEMITONES[moved.step] as number) + moved.alter
  const name = respell(moved)
  const spelled = must(parseNoteName(name), name)
  return formatPitch({
    ...spelled,
    octave: (midi - spelled.alter - (NATURAL_SEMITONES[spelled.step] as number)) / 12 - 1,
  } satisfies SpelledPitch)
}

/** Ascending interval from one note name to another within an octave: ('A', 'Bb') → '2m'. Undefined past double alterations. */
export function intervalBetween(from: NoteName, to: NoteName): string | undefined {
  const a = must(parseNoteName(from), `'${from}' is a note name`)
  const b = must(parseNoteName(to), `'${to}' is a note name`)
  const steps = mod(b.step - a.step, 7)
  let semitones = mod(pitchClass(to) - pitchClass(from), 12)
  // Cb above C is a diminished octave-unison, not a major seventh: keep the distance near the letters' own.
  const natural = NATURAL_SEMITONES[steps] as number
  if (semitones - natural > 6) semitones -= 12
  if (natural - semitones > 6) semitones += 12
  return formatInterval({ steps, semitones })
}

function asInterval(interval: string | Interval): Interval {
  if (typeof interval !== 'string') return interval
  const parsed = parseInterval(interval)
  assert(parsed, `'${interval}' is an interval`)
  return parsed
}

function respell(moved: Spelled): NoteName {
  const kept = moved.alter > 0 ? { step: mod(moved.step + 1, 7) } : { step: mod(moved.step - 1, 7) }
  const sound = (NATURAL_SEMITONES[mod(moved.step, 7)] as number) + moved.alter
  let alter = mod(sound - (NATURAL_SEMITONES[kept.step] as number), 12)
  if (alter > 6) alter -= 12
  return simplifyNoteName(noteName({ step: kept.step, alter }))
}
