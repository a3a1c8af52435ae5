/** A line of roots that owes nothing to the tune — given, patterned or drawn by seed — with every quality fitted to melody and neighbours. */
import type { Chord } from '../../contract/index.js'
import {
  canCarry,
  type FittedSlot,
  halfTick,
  keyPitchClasses,
  type LineSlot,
  rootInKey,
  show,
  type SlotRoot,
} from '../../fit/index.js'
import { mod, parseNoteName, pitchClass, seeded, tonicOf } from '../../units/index.js'
import { ofTheTune } from '../bar-words.js'
import { chainOf, fittedOr, lineFrame } from './fitted.js'
import { shown } from './clash.js'
import { type HarmonyIdea, type Params, type Writing } from './idea.js'
import { chordAt, degreeOf, isStable, type Stretch } from './stretch.js'
import { barsInWords } from './words.js'

/** Root motion to the goal, in semitones above it for each bar before. */
const PATTERNS: { readonly [line: string]: { readonly step: number; readonly words: string } } = {
  'whole-steps': { step: 2, words: 'falling whole steps' },
  'minor-thirds': { step: 3, words: 'falling minor thirds' },
  'major-thirds': { step: 4, words: 'falling major thirds' },
  'rising-half-steps': { step: -1, words: 'rising half steps' },
}
/** Points a drawn root may gain by chance, and what the tune's own root costs, so that a drawn line is a new one. */
const CHANCE = 16
const OWN_ROOT_COST = 10
/** Draws that stand in where the melody leaves the patterns no chord, and as many more for every "show me more". */
const FURTHER = 3
const MOST_MORE = 20
/** Points for a root outside the key: without them a drawn line would only walk the circle of fifths at home. */
const COLOUR = 5

export const freeRootLine: HarmonyIdea = {
  id: 'free-root-line',
  rule: 'HA12',
  energy: 0.2,
  difficulty: 0.5,
  isFarFromPlain: true,
  most: 4,
  variants: (_stretch, { seed, more = 0 }) => {
    const first = seed ?? 1
    const further = Array.from({ length: FURTHER * (1 + Math.max(0, Math.min(MOST_MORE, more))) }, (_, n) => ({
      seed: first + 3 + n,
    }))
    return [
      { seed: first },
      { line: 'major-thirds' },
      { seed: first + 1 },
      { line: 'whole-steps' },
      { line: 'minor-thirds' },
      { seed: first + 2 },
      { line: 'rising-half-steps' },
      ...further,
    ]
  },
  write: (stretch, params): Writing => {
    const roots = params['roots']
    if (Array.isArray(roots)) return given(stretch, roots)
    const pattern = typeof params['line'] === 'string' ? PATTERNS[params['line']] : undefined
    if (pattern) return patterned(stretch, pattern)
    if (typeof params['seed'] === 'number' && Number.isInteger(params['seed'])) return drawn(stretch, params['seed'])
    return { refused: 'A free root line needs its roots, a pattern or a seed.' }
  },
}

/** Roots as note names, or as half steps above the tonic; one a bar from the first, two a bar where there are more roots than bars. */
function given(stretch: Stretch, roots: NonNullable<Params['roots']> & readonly unknown[]): Writing {
  const names = roots.map((root) => {
    if (typeof root === 'number' && Number.isInteger(root)) {
      return rootInKey(mod(pitchClass(tonicOf(stretch.key.key)) + root, 12), stretch.key)
    }
    return typeof root === 'string' && parseNoteName(root) ? root : undefined
  })
  const wrong = names.indexOf(undefined)
  if (wrong >= 0) return { refused: `'${String(roots[wrong])}' is no root.` }
  const rate = names.length > stretch.bars.length ? 2 : 1
  if (names.length === 0 || names.length > rate * stretch.bars.length) {
    return { refused: `${names.length} roots do not fit ${stretch.bars.length} bars, at two a bar at most.` }
  }
  const slots = names.map((root, index) => {
    const slot = barSlot(stretch, Math.floor(index / rate), [{ root: root as string }])
    const half = slot.startTick + halfTick((stretch.bars[Math.floor(index / rate)] as Stretch['bars'][number]).metre)
    if (rate === 1) return slot
    return index % 2 === 0 ? { ...slot, endTick: half } : { ...slot, startTick: half }
  })
  const endTick = (slots.at(-1) as LineSlot).endTick
  const after = endTick < (stretch.starts.at(-1) as number) ? chordAt(stretch, endTick) : stretch.after
  return fittedLine(stretch, slots, after, 'roots as given', 0.45)
}

function patterned(stretch: Stretch, { step, words }: { readonly step: number; readonly words: string }): Writing {
  const { count, goal } = runUp(stretch)
  if (!goal || count < 2) return { refused: 'There is no chord here for a line to arrive on.' }
  const slots = Array.from({ length: count }, (_, offset) =>
    barSlot(stretch, offset, [
      { root: rootInKey(mod(pitchClass(goal.root) + step * (count - offset), 12), stretch.key) },
    ]),
  )
  return fittedLine(stretch, slots, goal, words, 0.5)
}

/** How many bars lead up, and to what: a closing tonic stays where it is, else the line runs on to what follows. Where the stretch ends in
 *  bars without chords and nothing follows, it arrives on the last chord before them. */
function runUp(stretch: Stretch): { readonly count: number; readonly goal: Chord | undefined } {
  const length = stretch.bars.length
  const closingIn = (offset: number): Chord | undefined => chordAt(stretch, stretch.starts[offset] as number)
  const closing = closingIn(length - 1)
  const isHome = closing !== undefined && isStable(closing) && degreeOf(closing, stretch.key) === 0
  if (stretch.after !== undefined && !isHome) return { count: length, goal: stretch.after }
  let last = length - 1
  while (last > 0 && !closingIn(last)) last--
  return { count: last, goal: closingIn(last) }
}

/** One slot a bar with any of the twelve roots; chance decides among equals. A bar that no chord carries whole is left as it is. */
function drawn(stretch: Stretch, seed: number): Writing {
  const { count, goal } = runUp(stretch)
  if (!goal) return { refused: 'There is no chord here for a line to arrive on.' }
  if (count < 1) return drawnHalf(stretch, seed, goal)
  const draw = seeded(seed)
  const isInKey = keyPitchClasses(stretch.key)
  const segments: LineSlot[][] = [[]]
  for (let offset = 0; offset < count; offset++) {
    const was = stretch.bars[offset]?.chords[0]?.chord
    const roots = Array.from({ length: 12 }, (_, pc): SlotRoot => {
      const isOwn = was !== undefined && was.root !== '' && pitchClass(was.root) === pc
      const points = draw(CHANCE) + (isInKey.has(pc) ? 0 : COLOUR) - (isOwn ? OWN_ROOT_COST : 0)
      return { root: rootInKey(pc, stretch.key), points }
    })
    const slot = barSlot(stretch, offset, roots)
    if (canCarry(slot, stretch.notes)) segments.at(-1)?.push(slot)
    else if (segments.at(-1)?.length) segments.push([])
  }
  const slots: FittedSlot[] = []
  for (const segment of segments.filter(({ length }) => length > 0)) {
    const fitted = movingLine(stretch, segment)
    if ('refused' in fitted) return fitted
    slots.push(...fitted)
  }
  if (slots.length === 0) return { refused: 'No bar here has room for another root under its melody.' }
  return worded(stretch, slots, goal, `draw ${seed}`, 0.45)
}

/** A bar that stands alone: another chord in its first half, then its own. */
function drawnHalf(stretch: Stretch, seed: number, goal: Chord): Writing {
  const bar = stretch.bars[0]
  if (!bar) return { refused: 'There is no bar here.' }
  const draw = seeded(seed)
  const roots = Array.from({ length: 12 }, (_, pc): SlotRoot => ({
    root: rootInKey(pc, stretch.key),
    points: draw(CHANCE),
  })).filter(({ root }) => pitchClass(root) !== pitchClass(goal.root))
  const slot = { ...barSlot(stretch, 0, roots), endTick: (stretch.starts[0] as number) + halfTick(bar.metre) }
  const fitted = fittedOr(stretch, { ...lineFrame(stretch), slots: [slot], after: goal })
  return 'refused' in fitted ? fitted : worded(stretch, fitted, goal, `draw ${seed}`, 0.45)
}

/** A segment fitted so that no root stands twice running where another can carry the second bar. */
function movingLine(stretch: Stretch, segment: readonly LineSlot[]): ReturnType<typeof fittedOr> {
  const endTick = (segment.at(-1) as LineSlot).endTick
  const startTick = (segment[0] as LineSlot).startTick
  const before = startTick === 0 ? stretch.before : chordAt(stretch, startTick - 1)
  const after = endTick === (stretch.starts.at(-1) as number) ? stretch.after : chordAt(stretch, endTick)
  const { before: _before, ...frame } = lineFrame(stretch)
  const fit = (slots: readonly LineSlot[]) =>
    fittedOr(stretch, { ...frame, slots, ...(before ? { before } : {}), ...(after ? { after } : {}) })
  let slots = segment
  let fitted = fit(slots)
  for (let round = 0; round < segment.length && !('refused' in fitted); round++) {
    const line = fitted
    const still = line.findIndex(({ chord }, index) => index > 0 && chord.root === line[index - 1]?.chord.root)
    const slot = slots[still]
    if (!slot) break
    const roots = slot.roots.filter(({ root }) => pitchClass(root) !== pitchClass(line[still]?.chord.root ?? root))
    const other = { ...slot, roots }
    if (roots.length === 0 || !canCarry(other, stretch.notes)) break
    slots = slots.map((each, index) => (index === still ? other : each))
    fitted = fit(slots)
  }
  return fitted
}

function barSlot(stretch: Stretch, offset: number, roots: readonly SlotRoot[]): LineSlot {
  const was = stretch.bars[offset]?.chords[0]?.chord
  return {
    startTick: stretch.starts[offset] as number,
    endTick: stretch.starts[offset + 1] as number,
    roots,
    ...(was && was.root !== '' ? { was } : {}),
  }
}

function fittedLine(
  stretch: Stretch,
  slots: readonly LineSlot[],
  goal: Chord | undefined,
  words: string,
  suits: number,
): Writing {
  const fitted = fittedOr(stretch, {
    ...lineFrame(stretch),
    slots,
    mayAnticipate: true,
    ...(goal ? { after: goal } : {}),
  })
  if ('refused' in fitted) return fitted
  return worded(stretch, fitted, goal, words, suits)
}

function worded(
  stretch: Stretch,
  slots: readonly FittedSlot[],
  goal: Chord | undefined,
  words: string,
  suits: number,
): Writing {
  const names = slots.map(({ chord }) => show(chord.root)).join(' ')
  const end = goal ? ` to ${shown(goal)}` : ''
  return {
    chords: slots,
    title: `Free root line, ${words}`,
    summary: `In ${ofTheTune(barsInWords(stretch.numbers))} the roots go their own way, ${names}${end} (${words}), each chord fitted to the melody.`,
    reason: [{ rule: 'HA12', text: `roots ${words}: ${names}` }, ...chainOf(slots)],
    suits,
  }
}
