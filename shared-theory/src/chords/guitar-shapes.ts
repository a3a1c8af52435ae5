/** Guitar chord shapes with a fingering a hand can hold: strings, frets, fingers, and the notes that sound. */
import type { Chord, NoteName } from '../contract/index.js'
import { mod } from '../units/index.js'
import { bassOf } from './ask-chord.js'
import { pcOf } from './chord-tones.js'
import { chordTones, isCleanStack } from './voicing-candidates.js'

/** Open strings as they sound, low E first (written an octave higher). Standard tuning. */
export const GUITAR_STRINGS: readonly number[] = [40, 45, 50, 55, 59, 64]
/** Frets one hand reaches without stretching: four side by side. Source: common practice, one finger a fret. */
const REACH = 4
/** Open strings sound with shapes at the nut only. */
const OPEN_POSITION_FRETS = 4
const FINGERS = 4
const LAST_FRET = 12

export interface GuitarShape {
  /** By string, low E first: 0 open, undefined not played. */
  readonly frets: readonly (number | undefined)[]
  /** By string: 1 index … 4 little finger, 0 open, undefined not played. A barre is finger 1 on several strings. */
  readonly fingers: readonly (number | undefined)[]
  /** Sounding pitches, low to high. */
  readonly midi: readonly number[]
  readonly notes: readonly NoteName[]
  /** Lowest and highest fret that is held; 0 and 0 where all strings are open. */
  readonly position: number
  readonly reach: number
  readonly barre?: { readonly fret: number; readonly fromString: number; readonly toString: number }
}
export interface GuitarOptions {
  /** Strings that sound: 3…6; by default 4 for chords of four notes and more, 4 to 6 for triads. */
  readonly voices?: number
  /** Highest fret used, default 12. */
  readonly lastFret?: number
  /** A fret the hand is at: nearer shapes come first. */
  readonly near?: number
}

/**
 * Playable shapes of a chord, easiest first: its bass lowest, every tone that its number of strings cannot do without, at most four frets
 * and four fingers (a barre is one), no string skipped but the one above the bass, above the low-interval limits and without minor ninths.
 * None for N.C. and %, or where no hand finds one.
 */
export function guitarShapes(chord: Chord, options: GuitarOptions = {}): readonly GuitarShape[] {
  const bass = bassOf(chord)
  if (bass === undefined) return []
  const counts = stringCounts(chord, options.voices)
  const lastFret = Math.min(24, Math.max(1, Math.round(options.lastFret ?? LAST_FRET)))
  const found = new Map<string, GuitarShape>()
  for (const count of counts) {
    const full = chordTones(chord, count)
    const tones = full.some(({ pc }) => pc === pcOf(bass)) ? full : chordTones(chord, count - 1)
    const names = new Map(tones.map(({ pc, name }) => [pc, name]))
    const wanted = new Set([...names.keys(), pcOf(bass)])
    if (!names.has(pcOf(bass))) names.set(pcOf(bass), bass)
    if (wanted.size > count) continue
    for (let from = 0; from <= lastFret; from++) {
      for (const frets of fretsIn(from, Math.min(lastFret, from + REACH - 1), count, names, pcOf(bass))) {
        const shape = shapeOf(frets, wanted, names, chord)
        if (shape) found.set(frets.join(), shape)
      }
    }
  }
  const at = options.near
  const effort = (shape: GuitarShape): number =>
    effortOf(shape) + (at === undefined ? 0 : Math.abs(shape.position - at))
  return [...found.values()].sort((a, b) => effort(a) - effort(b) || a.frets.join().localeCompare(b.frets.join(), 'en'))
}

function stringCounts(chord: Chord, asked: number | undefined): readonly number[] {
  if (asked !== undefined) return [Math.min(6, Math.max(3, Math.round(asked)))]
  return chord.notes.length <= 3 ? [4, 5, 6] : [4, 5]
}

type Frets = readonly (number | undefined)[]

/** Every choice of frets in a window: the bass on one of the three low strings, then strings on, one above the bass left out at most. */
function fretsIn(
  from: number,
  to: number,
  count: number,
  names: ReadonlyMap<number, NoteName>,
  bassPc: number,
): readonly Frets[] {
  const found: Frets[] = []
  const playable = (string: number): readonly number[] => {
    const open = GUITAR_STRINGS[string] as number
    const choices: number[] = from > 1 && to <= OPEN_POSITION_FRETS && names.has(mod(open, 12)) ? [0] : []
    for (let fret = from; fret <= to; fret++) if (names.has(mod(open + fret, 12))) choices.push(fret)
    return choices
  }
  const walk = (string: number, left: number, chosen: Frets): void => {
    if (left === 0) {
      found.push([...chosen, ...Array.from({ length: 6 - chosen.length }, () => undefined)])
      return
    }
    if (6 - string < left) return
    for (const fret of playable(string)) walk(string + 1, left - 1, [...chosen, fret])
    const isAboveBass = chosen.filter((fret) => fret !== undefined).length === 1 && chosen.at(-1) !== undefined
    if (isAboveBass) walk(string + 1, left, [...chosen, undefined])
  }
  for (const low of [0, 1, 2]) {
    const open = GUITAR_STRINGS[low] as number
    for (const fret of playable(low)) {
      if (mod(open + fret, 12) !== bassPc) continue
      walk(low + 1, count - 1, [...Array.from({ length: low }, () => undefined), fret])
    }
  }
  return found
}

function shapeOf(
  frets: Frets,
  wanted: ReadonlySet<number>,
  names: ReadonlyMap<number, NoteName>,
  chord: Chord,
): GuitarShape | undefined {
  const midi = frets.flatMap((fret, string) => (fret === undefined ? [] : [(GUITAR_STRINGS[string] as number) + fret]))
  const pcs = midi.map((note) => mod(note, 12))
  if (new Set(pcs).size < wanted.size) return undefined
  // Rising, too: a fretted string can sound below an open one beside it.
  if (midi.some((note, index) => index > 0 && note <= (midi[index - 1] as number))) return undefined
  if (!isCleanStack(midi, chord)) return undefined
  const held = frets.filter((fret) => fret !== undefined && fret > 0) as number[]
  const position = held.length === 0 ? 0 : Math.min(...held)
  const reach = held.length === 0 ? 0 : Math.max(...held) - position + 1
  if (reach > REACH || (frets.includes(0) && position + reach - 1 > OPEN_POSITION_FRETS)) return undefined
  const fingering = fingersFor(frets, position)
  if (!fingering) return undefined
  return {
    frets,
    ...fingering,
    midi,
    notes: pcs.map((pc) => names.get(pc) as NoteName),
    position,
    reach,
  }
}

/** Fingers in order of fret, then of string; notes of the lowest fret share the index finger where no lower string stands between. */
function fingersFor(frets: Frets, position: number): Pick<GuitarShape, 'fingers' | 'barre'> | undefined {
  const strings = [...frets.keys()].filter((string) => (frets[string] ?? 0) > 0)
  const lowest = strings.filter((string) => frets[string] === position)
  const [first, last] = [lowest[0], lowest.at(-1)]
  const spans = first !== undefined && last !== undefined && lowest.length > 1
  const isClear = spans && frets.slice(first, last + 1).every((fret) => fret === undefined || fret >= position)
  const needsBarre = strings.length > FINGERS
  const barred = spans && isClear && (needsBarre || lowest.length > 2) ? new Set(lowest) : new Set<number>()
  const others = strings
    .filter((string) => !barred.has(string))
    .sort((a, b) => (frets[a] as number) - (frets[b] as number) || a - b)
  if (others.length + (barred.size > 0 ? 1 : 0) > FINGERS) return undefined
  const fingers: (number | undefined)[] = frets.map((fret) => (fret === undefined ? undefined : 0))
  for (const string of barred) fingers[string] = 1
  // One finger a fret where there are fingers to spare, never one below the fret before.
  let next = barred.size > 0 ? 2 : 1
  for (const [index, string] of others.entries()) {
    const wish = (frets[string] as number) - position + 1
    const spare = FINGERS - (others.length - index - 1)
    const finger = Math.min(spare, Math.max(next, wish))
    fingers[string] = finger
    next = finger + 1
  }
  return barred.size > 0 && first !== undefined && last !== undefined
    ? { fingers, barre: { fret: position, fromString: first, toString: last } }
    : { fingers }
}

/** How hard a hand finds it: high on the neck, wide, barred, with a string left out; and half steps between neighbours. From judgement. */
function effortOf({ frets, position, reach, barre, midi }: GuitarShape): number {
  const open = frets.filter((fret) => fret === 0).length
  const inner = frets.findLastIndex((fret) => fret !== undefined) - frets.findIndex((fret) => fret !== undefined) + 1
  const rubs = midi.filter((note, index) => note - (midi[index - 1] ?? 0) === 1).length
  return position * 0.6 + reach + (barre ? 1.5 : 0) + (inner - midi.length) - open * 0.3 + rubs * 3
}
