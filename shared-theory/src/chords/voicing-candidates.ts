/** The voicings a chord may take: which of its tones sound, and how each style stacks them. */
import type { Chord, NoteName, VoicingOptions } from '../contract/index.js'
import { mod } from '../units/index.js'
import { contentOf } from './build-chord.js'
import { quartalStacks } from './quartal.js'
import { upperStacks } from './upper-structures.js'
import { T, THIRDS, type Tone, type ToneSet, listTones, pcOf, toneName, toneSetOf } from './chord-tones.js'

export interface VoicedTone {
  readonly pc: number
  readonly name: NoteName
}
export type VoicingStyle = NonNullable<VoicingOptions['style']>
export interface VoicingFrame {
  readonly voices: number
  readonly style: VoicingStyle
  /** Lowest and highest note of each voice, low voice first. */
  readonly ranges: readonly (readonly [lowMidi: number, highMidi: number])[]
}

/**
 * Lowest useful lower note of an interval of 1…16 semitones, as MIDI. Source: Lowell & Pullig 2003, low-interval limits
 * (m2 E3, M2 E♭3, m3 C3, M3 P4 TT B♭2, P5 B♭1, m6 G2, M6 m7 M7 F2, octave free, m9 E2, M9 E♭2, m10 C2, M10 B♭1).
 */
export const LOW_INTERVAL_LIMITS: readonly number[] = [0, 52, 51, 48, 46, 46, 46, 34, 43, 41, 41, 41, 0, 40, 39, 36, 34]

/** Lowest note of a rootless left hand, D3. Source: common practice. */
const ROOTLESS_LOW = 50

export function candidatesOf(chord: Chord, frame: VoicingFrame): readonly (readonly number[])[] {
  const stacks = stacksOf(chord, frame)
  const inRange = stacks.filter((midi) => fitsRanges(midi, frame))
  const flatNinthRoot = chord.intervals.includes('9m') ? pcOf(chord.root) : undefined
  const clear = (midi: readonly number[]) =>
    keepsLowLimits(midi) && !hasMinorNinth(midi, flatNinthRoot) && keepsTensionsClear(midi, chord)
  const best = inRange.filter(clear)
  if (best.length > 0) return unique(best)
  const clean = inRange.filter((midi) => keepsLowLimits(midi) && !hasMinorNinth(midi, flatNinthRoot))
  if (clean.length > 0) return unique(clean)
  const anyStack = everyStack(chordTones(chord, frame.voices), frame)
  const cleanAny = anyStack.filter((midi) => keepsLowLimits(midi) && !hasMinorNinth(midi, flatNinthRoot))
  if (cleanAny.length > 0) return unique(cleanAny)
  if (inRange.length > 0) return unique(inRange)
  return anyStack.length > 0 ? unique(anyStack) : [nearestStack(chordTones(chord, frame.voices), frame)]
}

/** Above the low-interval limits and without a minor ninth, the ♭9 over its root excepted. */
export function isCleanStack(midi: readonly number[], chord: Chord): boolean {
  const flatNinthRoot = chord.intervals.includes('9m') ? pcOf(chord.root) : undefined
  return keepsLowLimits(midi) && !hasMinorNinth(midi, flatNinthRoot)
}

/** Lowest ♭9: a minor ninth has its lower note, the root of the bass, no lower than E2 (Lowell & Pullig 2003). */
const LOWEST_FLAT_NINTH = 53

/** A ♭9 not in the bass player's register, and no ♯9 a half step under the third, where it blurs both. Source: common practice. */
function keepsTensionsClear(midi: readonly number[], chord: Chord): boolean {
  if (chord.root === '' || chord.over) return true
  const root = pcOf(chord.root)
  const { tones } = contentOf(chord)
  const isFlatNinth = (tones & T.flatNinth) !== 0
  const isSharpNinth = (tones & T.sharpNinth) !== 0 && (tones & T.third) !== 0
  return midi.every((note, voice) => {
    const above = mod(note - root, 12)
    if (isFlatNinth && above === 1) return note >= LOWEST_FLAT_NINTH
    return !(isSharpNinth && above === 3 && midi[voice + 1] === note + 1)
  })
}

function unique(stacks: readonly (readonly number[])[]): readonly (readonly number[])[] {
  return [...new Map(stacks.map((midi) => [midi.join(), midi])).values()]
}

function stacksOf(chord: Chord, frame: VoicingFrame): readonly (readonly number[])[] {
  const low = Math.min(...frame.ranges.map(([lowest]) => lowest))
  const high = Math.max(...frame.ranges.map(([, highest]) => highest))
  const tones = chordTones(chord, frame.voices)
  const close = closeStacks(tones, frame.voices, low, high + 12)
  switch (frame.style) {
    case 'close':
      return close
    case 'drop2':
      return dropped(close, [2])
    case 'spread':
      return spreads(close)
    case 'shell':
      return shells(chord, frame.voices, low, high)
    case 'rootless':
      return rootlessStacks(chord, frame.voices, Math.max(low, ROOTLESS_LOW), high)
    case 'quartal':
      return quartalStacks(chord, frame.voices, low, high)
    case 'upper':
      return upperStacks(chord, frame.voices, low, high)
    case 'any':
      break
  }
  return [...close, ...dropped(close, [2]), ...spreads(close)]
}

// ── which tones ────────────────────────────────────────────────────────────

/** The tones of a voicing with so many voices, by pitch class from the root up: fewer voices leave out what is missed least. */
export function chordTones(chord: Chord, voices: number): readonly VoicedTone[] {
  const own = contentOf(chord)
  const names = new Map<number, NoteName>()
  if (chord.over) {
    const below = contentOf(chord.over)
    const guide = below.tones & (THIRDS | T.fourth | T.seventh | T.majorSeventh)
    for (const tone of listTones(guide).slice(0, Math.max(0, voices - chord.notes.length + 1))) {
      const name = toneName(chord.over.root, tone)
      names.set(pcOf(name), name)
    }
  }
  for (const tone of listTones(thinned(own.tones, voices))) {
    const name = toneName(chord.root, tone)
    if (!names.has(pcOf(name))) names.set(pcOf(name), name)
  }
  const root = pcOf(chord.root)
  return [...names]
    .map(([pc, name]) => ({ pc, name }))
    .sort((a, b) => mod(a.pc - root, 12) - mod(b.pc - root, 12))
    .slice(0, Math.max(voices, 1))
}

/** What is left out first where voices are few. Source: common practice; third, seventh and named alterations stay. */
function thinned(tones: ToneSet, voices: number): ToneSet {
  let kept = tones
  const order: ToneSet[] = [T.fifth]
  if (tones & (T.thirteenth | T.flatThirteenth)) order.push(T.ninth, T.eleventh)
  if (tones & T.eleventh) order.push(T.ninth)
  if (tones & T.sharpFifth) order.push(T.flatFifth)
  order.push(T.root)
  if (tones & T.sharpNinth) order.push(T.flatNinth)
  order.push(T.sharpNinth, T.flatNinth, T.ninth, T.thirteenth, T.eleventh, T.flatFifth, T.sharpFifth)
  for (const tone of order) {
    if (count(kept) <= voices) break
    kept &= ~tone
  }
  return kept
}

function count(set: ToneSet): number {
  let bits = 0
  for (let rest = set; rest !== 0; rest &= rest - 1) bits++
  return bits
}

// ── how they are stacked ───────────────────────────────────────────────────

/** Consecutive tones upward from every starting note: inversions, with doublings where voices outnumber tones. */
function closeStacks(
  tones: readonly VoicedTone[],
  voices: number,
  low: number,
  high: number,
): readonly (readonly number[])[] {
  const pcs = new Set(tones.map(({ pc }) => pc))
  const ladder: number[] = []
  for (let midi = low; midi <= high; midi++) if (pcs.has(mod(midi, 12))) ladder.push(midi)
  return ladder.slice(0, Math.max(0, ladder.length - voices + 1)).map((_, from) => ladder.slice(from, from + voices))
}

/** The voices counted from the top, lowered an octave. */
function dropped(close: readonly (readonly number[])[], fromTop: readonly number[]): readonly (readonly number[])[] {
  return close.map((midi) =>
    midi.map((note, index) => (fromTop.includes(midi.length - index) ? note - 12 : note)).toSorted((a, b) => a - b),
  )
}

function spreads(close: readonly (readonly number[])[]): readonly (readonly number[])[] {
  const voices = close[0]?.length ?? 0
  if (voices <= 3) return dropped(close, [2])
  return [...dropped(close, [2, 4]), ...dropped(close, [3])]
}

/** Root below, third and seventh above in either order, then what else the voices allow. */
function shells(chord: Chord, voices: number, low: number, high: number): readonly (readonly number[])[] {
  const { tones } = contentOf(chord)
  const third = firstName(chord, tones, [THIRDS, T.fourth, T.second, T.eleventh, T.fifth])
  const seventh = firstName(chord, tones, [
    T.seventh,
    T.majorSeventh,
    T.diminishedSeventh,
    T.sixth,
    T.fifth,
    T.flatFifth,
    T.sharpFifth,
  ])
  const rest = chordTones(chord, 12).filter(({ pc }) => pc !== third && pc !== seventh && pc !== pcOf(chord.root))
  const tops = [...rest.toReversed().map(({ pc }) => pc), pcOf(chord.root), third, seventh]
  const orders = [
    [third, seventh],
    [seventh, third],
  ].map((pair) => (voices <= 2 ? pair : [pcOf(chord.root), ...pair, ...tops].slice(0, voices)))
  return orders.flatMap((order) => stackFrom(order, low, high))
}

function firstName(chord: Chord, tones: ToneSet, sets: readonly ToneSet[]): number {
  for (const set of sets) {
    const tone = listTones(tones & set)[0]
    if (tone) return pcOf(toneName(chord.root, tone))
  }
  return pcOf(chord.root)
}

/** The order of tones stacked upward, each as near as it can be above the one before, from every octave. */
function stackFrom(order: readonly number[], low: number, high: number): readonly (readonly number[])[] {
  const found: number[][] = []
  for (let bottom = low; bottom <= high; bottom++) {
    if (mod(bottom, 12) !== order[0]) continue
    const midi = [bottom]
    for (const pc of order.slice(1)) {
      const below = midi.at(-1) as number
      midi.push(below + (mod(pc - below, 12) || 12))
    }
    found.push(midi)
  }
  return found
}

/** Forms A 3-5-7-9 and B 7-9-3-5; a dominant takes its 13 for the 5. Source: common practice. */
function rootlessStacks(chord: Chord, voices: number, low: number, high: number): readonly (readonly number[])[] {
  const [third, fifth, seventh, ninth] = rootlessTones(chord).map((tone) => pcOf(toneName(chord.root, tone)))
  return rootlessForms(
    chord,
    voices,
    [third, fifth, seventh, ninth].filter((pc) => pc !== undefined),
  ).flatMap((form) => {
    const order = Array.from({ length: voices }, (_, index) => form[index % form.length] as number)
    return stackFrom(order, low, high)
  })
}

/** Form B sets a ♯9 above the third, not a half step below it. Three voices keep what the symbol names: a ninth beside third and seventh, else
 *  the altered fifth. Source: common practice. */
function rootlessForms(chord: Chord, voices: number, own: readonly number[]): readonly (readonly number[])[] {
  const [third = 0, fifth = 0, seventh = 0, ninth = 0] = own
  const { tones } = contentOf(chord)
  const isSharpNinth = (tones & T.sharpNinth) !== 0 && (tones & T.third) !== 0
  if (voices === 3 && tones & (T.flatNinth | T.sharpNinth))
    return [[third, seventh, ninth], isSharpNinth ? [seventh, third, ninth] : [seventh, ninth, third]]
  if (voices === 3 && tones & (T.flatFifth | T.sharpFifth | T.flatThirteenth))
    return [
      [third, fifth, seventh],
      [seventh, third, fifth],
    ]
  return [
    [third, fifth, seventh, ninth],
    isSharpNinth ? [seventh, third, fifth, ninth] : [seventh, ninth, third, fifth],
  ]
}

const tone = (interval: string): Tone => listTones(toneSetOf([interval]))[0] as Tone
const ROOT = tone('1P')
const THIRTEENTH = tone('13M')
const NINTH = tone('9M')

/** Third, fifth, seventh and ninth as a rootless hand takes them: named tensions first; where a ninth would be foreign, the root. */
export function rootlessTones(chord: Chord): readonly [third: Tone, fifth: Tone, seventh: Tone, ninth: Tone] {
  const { tones } = contentOf(chord)
  const pick = (...intervals: readonly string[]): Tone | undefined =>
    listTones(tones & toneSetOf(intervals)).toSorted(
      (a, b) => intervals.indexOf(a.interval) - intervals.indexOf(b.interval),
    )[0]
  const third = pick('3M', '3m', '4P', '2M', '11P') ?? ROOT
  const isDominant = (tones & T.third) !== 0 && (tones & T.seventh) !== 0
  const isTense = (tones & (T.flatNinth | T.sharpNinth | T.flatFifth)) !== 0
  const named = pick('13m', '13M', '5A', '11A', '5d')
  const fifth = named ?? (isDominant && !isTense ? THIRTEENTH : (pick('5P') ?? ROOT))
  const seventh = pick('7m', '7M', '7d', '6M') ?? ROOT
  const isPlainTriad = (tones & (T.seventh | T.majorSeventh | T.diminishedSeventh | T.sixth)) === 0
  const isDiminished = (tones & T.flatFifth) !== 0 && (tones & T.minorThird) !== 0
  const ninth = pick('9A', '9m', '9M') ?? (isDiminished ? ROOT : isPlainTriad ? third : NINTH)
  return [third, fifth, seventh, ninth]
}

// ── what may stand ─────────────────────────────────────────────────────────

/** Rising, each voice inside its own range. */
function fitsRanges(midi: readonly number[], { ranges }: VoicingFrame): boolean {
  return midi.every((note, voice) => {
    const range = ranges[voice]
    return range !== undefined && note >= range[0] && note <= range[1] && note > (midi[voice - 1] ?? -1)
  })
}

function keepsLowLimits(midi: readonly number[]): boolean {
  return midi.every((note, voice) => {
    const next = midi[voice + 1]
    return next === undefined || note >= (LOW_INTERVAL_LIMITS[next - note] ?? 0)
  })
}

/** A minor ninth between any two voices, the ♭9 over its root excepted. */
function hasMinorNinth(midi: readonly number[], exemptRoot: number | undefined): boolean {
  for (let low = 0; low < midi.length; low++) {
    for (let high = low + 1; high < midi.length; high++) {
      const apart = (midi[high] as number) - (midi[low] as number)
      if (apart > 12 && apart % 12 === 1 && mod(midi[low] as number, 12) !== exemptRoot) return true
    }
  }
  return false
}

// ── where the style finds no room ──────────────────────────────────────────

const MOST_STACKS = 400

/** Every rising stack inside the ranges that sounds each tone once before any doubling, up to a fixed number. */
function everyStack(tones: readonly VoicedTone[], frame: VoicingFrame): readonly (readonly number[])[] {
  const found: number[][] = []
  const wanted = Math.min(tones.length, frame.voices)
  const walk = (midi: number[]): void => {
    if (found.length >= MOST_STACKS) return
    if (midi.length === frame.voices) {
      if (new Set(midi.map((note) => mod(note, 12))).size >= wanted) found.push([...midi])
      return
    }
    const [low, high] = frame.ranges[midi.length] as readonly [number, number]
    for (let note = Math.max(low, (midi.at(-1) ?? -1) + 1); note <= high; note++) {
      if (tones.some(({ pc }) => pc === mod(note, 12))) walk([...midi, note])
    }
  }
  walk([])
  return found
}

/** Ranges that hold no voicing at all: the tones stacked close from the lowest one, so that nothing is lost. */
function nearestStack(tones: readonly VoicedTone[], frame: VoicingFrame): readonly number[] {
  const low = frame.ranges[0]?.[0] ?? 48
  return closeStacks(tones, frame.voices, low, low + 12 * (frame.voices + 1))[0] ?? []
}
