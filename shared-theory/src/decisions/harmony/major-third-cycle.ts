/** Three keys a major third apart on the way home: ♭III7 ♭VI∆ VII7 III∆ V7 I, each new key entered by its own dominant. */
import type { Chord } from '../../contract/index.js'
import { type FittedSlot, halfTick, type LineSlot, rootInKey, show, type SlotRoot } from '../../fit/index.js'
import { mod, pitchClass } from '../../units/index.js'
import { qualityOf } from '../../chords/index.js'
import { ofTheTune } from '../bar-words.js'
import { shown } from './clash.js'
import { chainOf, fittedOr, lineFrame } from './fitted.js'
import { type HarmonyIdea, type Params, type Writing } from './idea.js'
import { chordAt, degreeOf, isStable, type Stretch } from './stretch.js'
import { barsInWords } from './words.js'

/** Semitones above the goal: dominant and key, twice, then the goal's own dominant. Source: common practice (a cycle of major thirds, and
 *  the same way round the other side). */
const WAYS = {
  falling: [3, 8, 11, 4, 7],
  rising: [11, 4, 3, 8, 7],
} as const
type Way = keyof typeof WAYS
const isWay = (text: unknown): text is Way => text === 'falling' || text === 'rising'

const DOMINANTS: readonly (readonly [quality: string, points: number])[] = [
  ['7', 12],
  ['7sus4', 2],
]
const HOMES: readonly (readonly [quality: string, points: number])[] = [
  ['maj7', 12],
  ['6', 10],
  ['m7', 2],
  ['m6', 0],
]

export const majorThirdCycle: HarmonyIdea = {
  id: 'major-third-cycle',
  rule: 'HA24',
  energy: 0.35,
  difficulty: 0.55,
  isFarFromPlain: true,
  most: 1,
  variants: (stretch, { rate }) => {
    const goals = goalsOf(stretch)
    if (goals.length === 0) return 'No tonic stands late enough here for three keys to lead into it.'
    const rates = rate === 1 ? [1, 2] : [2, 1]
    return rates.flatMap((each) =>
      goals.flatMap((target) => (['falling', 'rising'] as const).map((way): Params => ({ target, rate: each, way }))),
    )
  },
  write: (stretch, params): Writing => {
    const { target, way } = params
    const rate = params['rate'] === 1 ? 1 : 2
    const goal = goalAt(stretch, Number(target))
    if (!goal || !isWay(way)) return { refused: 'There is no chord to reach in the bar asked for.' }
    const slots = slotsBefore(stretch, Number(target), rate, goal, WAYS[way])
    if (!slots) return { refused: `Three keys need ${rate === 1 ? 'five' : 'three'} bars before the bar they lead to.` }
    const before = chordAt(stretch, (slots[0] as LineSlot).startTick - 1) ?? stretch.before
    const { before: _before, ...frame } = lineFrame(stretch)
    const fitted = fittedOr(stretch, {
      ...frame,
      slots,
      mayAnticipate: true,
      after: goal,
      ...(before ? { before } : {}),
    })
    return 'refused' in fitted ? fitted : worded(stretch, fitted, goal, way)
  },
}

/** Five chords before a bar line, one or two a bar; undefined where there is no room. */
function slotsBefore(
  stretch: Stretch,
  target: number,
  rate: 1 | 2,
  goal: Chord,
  degrees: readonly number[],
): readonly LineSlot[] | undefined {
  const ticks = stretch.bars.slice(0, target).flatMap(({ metre }, offset) => {
    const start = stretch.starts[offset] as number
    return rate === 1 ? [start] : [start, start + halfTick(metre)]
  })
  ticks.push(stretch.starts[target] as number)
  const first = ticks.length - 1 - degrees.length
  if (first < 0) return undefined
  return degrees.map((degree, index): LineSlot => {
    const root = rootInKey(mod(pitchClass(goal.root) + degree, 12), stretch.key)
    const rows = index % 2 === 0 ? DOMINANTS : HOMES
    const roots = rows.map(([quality, points]): SlotRoot => ({ root, quality, points }))
    return { startTick: ticks[first + index] as number, endTick: ticks[first + index + 1] as number, roots }
  })
}

/** Bars (or the one after) on a chord that can be settled on, the tonic first, the late before the early. */
function goalsOf(stretch: Stretch): readonly number[] {
  const all = stretch.starts.map((_, target) => target).filter((target) => goalAt(stretch, target) !== undefined)
  const isTonic = (target: number): boolean => degreeOf(goalAt(stretch, target) as Chord, stretch.key) === 0
  return [...all.filter(isTonic).toReversed(), ...all.filter((target) => !isTonic(target)).toReversed()]
}

function goalAt(stretch: Stretch, target: number): Chord | undefined {
  if (!Number.isInteger(target) || target < 3 || target > stretch.bars.length) return undefined
  const tick = stretch.starts[target] as number
  const chord = target === stretch.bars.length ? stretch.after : chordAt(stretch, tick)
  return isStable(chord) && chordAt(stretch, tick - 1)?.root !== chord.root ? chord : undefined
}

const isMinor = (chord: Chord): boolean => qualityOf(chord) === 'minor' || qualityOf(chord) === 'minor-sixth'

function worded(stretch: Stretch, fitted: readonly FittedSlot[], goal: Chord, way: Way): Writing {
  const start = (fitted[0] as FittedSlot).startTick
  const end = (fitted.at(-1) as FittedSlot).endTick
  const place = barsInWords(
    stretch.numbers.filter(
      (_, offset) => (stretch.starts[offset + 1] as number) > start && (stretch.starts[offset] as number) < end,
    ),
  )
  const names = fitted.map(({ chord }) => shown(chord)).join(' ')
  const homes = [1, 3].map((index) => (fitted[index] as FittedSlot).chord)
  const keys = homes.map((chord) => `${show(chord.root)}${isMinor(chord) ? ' minor' : ''}`)
  return {
    chords: fitted,
    title: `Three keys a major third apart into ${shown(goal)}, ${way}`,
    summary: `In ${ofTheTune(place)} ${names} goes round by ${keys.join(' and ')}, each with its own dominant, and lands on ${shown(goal)}.`,
    reason: [
      {
        rule: 'HA24',
        text: `keys of ${keys.join(', ')} and ${show(goal.root)}: major thirds ${way}, a dominant before each`,
      },
      ...chainOf(fitted),
    ],
    // A key the melody turns to minor is half the idea.
    suits: (way === 'falling' ? 0.6 : 0.5) - (homes.some(isMinor) ? 0.12 : 0),
  }
}
