/** Chords for a melody that came without any: the key's own chords fitted to it, in the ways a player would try at the piano. */
import type { ArrangedBar, Chord, KeySignature, PlacedChord } from '../../contract/index.js'
import { chord as parsed } from '../../chords/index.js'
import {
  canCarry,
  type FittedSlot,
  fitLine,
  halfTick,
  type LineSlot,
  rootInKey,
  type SlotRoot,
} from '../../fit/index.js'
import { isMinorKey, pitchClass, seeded, tonicOf } from '../../units/index.js'
import { ofTheTune } from '../bar-words.js'
import { chainOf, lineFrame } from './fitted.js'
import { type HarmonyIdea, type Writing } from './idea.js'
import type { Stretch } from './stretch.js'
import { barsInWords } from './words.js'

/** A chord of the key: semitones above the tonic, quality, and points in its favour. */
type Row = readonly [degree: number, quality: string, points: number]
interface Palette {
  readonly words: string
  readonly major: readonly Row[]
  readonly minor: readonly Row[]
  /** Slots a bar. */
  readonly rate: 1 | 2
}

const PRIMARY_MAJOR: readonly Row[] = [
  [0, '6', 8],
  [5, '6', 6],
  [7, '7', 6],
  [7, '7sus4', 2],
]
const PRIMARY_MINOR: readonly Row[] = [
  [0, 'm6', 8],
  [0, 'm7', 6],
  [5, 'm7', 6],
  [7, '7', 6],
  [7, '7sus4', 2],
]
const DIATONIC_MAJOR: readonly Row[] = [
  ...PRIMARY_MAJOR,
  [0, 'maj7', 8],
  [2, 'm7', 8],
  [4, 'm7', 4],
  [5, 'maj7', 6],
  [9, 'm7', 8],
  [11, 'm7b5', 2],
]
const DIATONIC_MINOR: readonly Row[] = [...PRIMARY_MINOR, [2, 'm7b5', 8], [3, 'maj7', 6], [8, 'maj7', 6], [10, '7', 4]]
/** Source of the rows: common practice; the points are judgement. */
const PALETTES: { readonly [style: string]: Palette } = {
  plain: {
    words: 'I, IV and V, with ii and vi for company',
    major: [...PRIMARY_MAJOR, [2, 'm7', 2], [9, 'm7', 2]],
    minor: [...PRIMARY_MINOR, [8, 'maj7', 2], [3, 'maj7', 2]],
    rate: 1,
  },
  sevenths: { words: "the key's own seventh chords", major: DIATONIC_MAJOR, minor: DIATONIC_MINOR, rate: 1 },
  'two-a-bar': { words: "the key's own chords, two a bar", major: DIATONIC_MAJOR, minor: DIATONIC_MINOR, rate: 2 },
  relative: {
    words: 'leaning to the relative key',
    major: [
      [9, 'm7', 14],
      [2, 'm7', 10],
      [4, '7', 12],
      [5, 'maj7', 6],
      [11, 'm7b5', 8],
      [0, '6', 0],
      [7, '7', 0],
    ],
    minor: [
      [3, 'maj7', 14],
      [3, '6', 12],
      [5, 'm7', 10],
      [10, '7', 12],
      [8, 'maj7', 8],
      [0, 'm7', 2],
      [7, '7', 0],
    ],
    rate: 1,
  },
  borrowed: {
    words: 'with chords of the other mode',
    major: [...DIATONIC_MAJOR, [5, 'm6', 16], [8, 'maj7', 16], [10, '7', 14], [3, 'maj7', 14], [2, 'm7b5', 12]],
    minor: [...DIATONIC_MINOR, [5, '7', 16], [1, 'maj7', 14], [2, 'm7', 12], [0, 'm6', 10], [9, 'm7b5', 12]],
    rate: 1,
  },
  dominants: {
    words: 'dominants that lead on by fifths',
    major: [...PRIMARY_MAJOR, [2, '7', 14], [9, '7', 14], [4, '7', 12], [11, '7', 8], [2, 'm7', 4]],
    minor: [...PRIMARY_MINOR, [2, '7', 12], [0, '7', 14], [3, '7', 8], [10, '7', 14], [5, '7', 8]],
    rate: 1,
  },
}
const STYLES = Object.keys(PALETTES)
/** Points a chord may gain by chance in a further draw; home at both ends, and V before it. */
const CHANCE = 8
const HOME_POINTS = 14
const CLOSE_POINTS = 8

export const proposedChords: HarmonyIdea = {
  id: 'proposed-chords',
  rule: 'HA23',
  energy: 0,
  difficulty: 0.1,
  most: 6,
  actsOnBare: true,
  variants: (stretch, { more = 0, seed }) => {
    if (!isBare(stretch)) return 'The tune has chords of its own here.'
    const first = seed ?? 1
    const draws = Array.from({ length: 2 * more + (seed === undefined ? 0 : 1) }, (_, n) => ({
      style: 'sevenths',
      seed: first + n,
    }))
    const plain = STYLES.map((style) => ({ style }))
    return seed === undefined ? [...plain, ...draws] : [...draws.slice(0, 1), ...plain, ...draws.slice(1)]
  },
  write: (stretch, params): Writing => {
    const style = typeof params['style'] === 'string' ? params['style'] : ''
    const palette = Object.hasOwn(PALETTES, style) ? (PALETTES[style] as Palette) : undefined
    if (!palette) return { refused: 'There is no such way of finding chords.' }
    if (!isBare(stretch)) return { refused: 'The tune has chords of its own here.' }
    const seed = typeof params['seed'] === 'number' && Number.isInteger(params['seed']) ? params['seed'] : undefined
    const slots = fittedTo(stretch, palette, seed)
    if (slots.length === 0) return { refused: 'No bar here has a melody that a chord can carry.' }
    const draw = seed === undefined ? '' : `, draw ${seed}`
    const silent = stretch.bars.length - new Set(slots.flatMap((slot) => barsOf(stretch, slot))).size
    return {
      chords: slots,
      title: `Chords for the melody: ${palette.words}${draw}`,
      summary: `The tune has no chords in ${ofTheTune(barsInWords(stretch.numbers))}; these are proposed for its melody, ${palette.words}${draw}${silent > 0 ? `, and ${silent} ${silent === 1 ? 'bar stays' : 'bars stay'} without` : ''}.`,
      reason: [{ rule: 'HA23', text: `proposed chords: ${palette.words}` }, ...chainOf(slots)],
      suits: seed === undefined ? 0.8 - 0.04 * STYLES.indexOf(style) : 0.5,
    }
  },
}

/** Whether no bar of the stretch has a chord. */
export const isBare = (stretch: Stretch): boolean =>
  stretch.bars.every(({ chords }) => chords.every(({ chord }) => chord.root === ''))

/** A stretch without chords as it stands once plain ones are proposed: what every other idea then works on. Others are as they were. */
export function grounded(stretch: Stretch): Stretch {
  if (!isBare(stretch)) return stretch
  const slots = fittedTo(stretch, PALETTES['sevenths'] as Palette, undefined)
  if (slots.length === 0) return stretch
  const bars = stretch.bars.map((bar, offset): ArrangedBar => {
    const from = stretch.starts[offset] as number
    const to = stretch.starts[offset + 1] as number
    const here = slots.filter(({ startTick, endTick }) => startTick < to && endTick > from)
    if (here.length === 0) return bar
    const chords = here.map(({ startTick, endTick, nameFor }): PlacedChord => {
      const start = Math.max(startTick, from)
      const end = Math.min(endTick, to)
      return { startTick: start - from, durationTicks: end - start, chord: nameFor(start, end), inferred: true }
    })
    return { ...bar, chords: withSilence(chords, bar.lengthTicks) }
  })
  const home = homeChord(stretch.key)
  return { ...stretch, bars, after: stretch.after ?? home }
}

/** N.C. where no chord was found. */
function withSilence(chords: readonly PlacedChord[], lengthTicks: number): readonly PlacedChord[] {
  const out: PlacedChord[] = []
  let at = 0
  const silence = (until: number): void => {
    if (until > at) out.push({ startTick: at, durationTicks: until - at, chord: parsed('N.C.') })
  }
  for (const placed of chords) {
    silence(placed.startTick)
    out.push(placed)
    at = placed.startTick + placed.durationTicks
  }
  silence(lengthTicks)
  return out
}

const homeChord = (key: KeySignature): Chord => parsed(`${tonicOf(key.key)}${isMinorKey(key.key) ? 'm6' : '6'}`)

const barsOf = (stretch: Stretch, { startTick, endTick }: FittedSlot): readonly number[] =>
  stretch.numbers.filter(
    (_, offset) => (stretch.starts[offset] as number) < endTick && startTick < (stretch.starts[offset + 1] as number),
  )

/** The palette fitted to the melody; where it has nothing for a bar any chord will do, then any two, then none. */
function fittedTo(stretch: Stretch, palette: Palette, seed: number | undefined): readonly FittedSlot[] {
  const segments: LineSlot[][] = [[]]
  const draw = seed === undefined ? () => 0 : seeded(seed)
  for (const [offset, bar] of stretch.bars.entries()) {
    const start = stretch.starts[offset] as number
    const end = stretch.starts[offset + 1] as number
    const half = start + halfTick(bar.metre)
    const halves: readonly (readonly [number, number])[] =
      half < end
        ? [
            [start, half],
            [half, end],
          ]
        : [[start, end]]
    const wholes: readonly (readonly [number, number])[] = [[start, end]]
    const inKey = (spans: readonly (readonly [number, number])[]) =>
      spans.map(([startTick, endTick], index): LineSlot => {
        const place = { offset, isLast: offset === stretch.bars.length - 1, isFirst: offset === 0 && index === 0 }
        return { startTick, endTick, roots: rootsOf(stretch, palette, place, draw) }
      })
    const free = (spans: readonly (readonly [number, number])[]) =>
      spans.map(([startTick, endTick]): LineSlot => ({ startTick, endTick, roots: anyRoot(stretch.key) }))
    const ways = [inKey(palette.rate === 2 ? halves : wholes), inKey(wholes), inKey(halves), free(wholes), free(halves)]
    const slots = ways.find((way) => way.every((slot) => canCarry(slot, stretch.notes)))
    if (slots) segments.at(-1)?.push(...slots)
    else segments.push([])
  }
  return segments
    .filter(({ length }) => length > 0)
    .flatMap((slots) => {
      const isWhole = segments.length === 1
      const line = fitLine({
        ...lineFrame(stretch),
        slots,
        ...(isWhole && stretch.after ? { after: stretch.after } : {}),
      })
      return line.ok ? line.slots : []
    })
}

interface Place {
  readonly offset: number
  readonly isFirst: boolean
  readonly isLast: boolean
}

function rootsOf(
  { key, bars }: Stretch,
  palette: Palette,
  { offset, isFirst, isLast }: Place,
  draw: (bound: number) => number,
): readonly SlotRoot[] {
  const tonic = pitchClass(tonicOf(key.key))
  const isClose = offset === bars.length - 2
  return palette[isMinorKey(key.key) ? 'minor' : 'major'].map(([degree, quality, points]): SlotRoot => ({
    root: rootInKey(tonic + degree, key),
    quality,
    points:
      points +
      draw(CHANCE) +
      (degree === 0 && (isFirst || isLast) ? HOME_POINTS : 0) +
      (degree === 7 && isClose ? CLOSE_POINTS : 0),
  }))
}

const anyRoot = (key: KeySignature): readonly SlotRoot[] =>
  Array.from({ length: 12 }, (_, pc) => ({ root: rootInKey(pc, key) }))
