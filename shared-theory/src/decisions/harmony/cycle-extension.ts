/** The circle of fifths drawn out: the chords before a goal become a chain whose roots fall by fifths into it. */
import type { Chord } from '../../contract/index.js'
import { qualityOf } from '../../chords/index.js'
import { type FittedSlot, type LineSlot, rootInKey } from '../../fit/index.js'
import { mod, pitchClass } from '../../units/index.js'
import { ofTheTune } from '../bar-words.js'
import { chainOf, fittedOr, lineFrame } from './fitted.js'
import { shown } from './clash.js'
import { type HarmonyIdea, type Writing } from './idea.js'
import { barAt, chordAt, degreeOf, isStable, standing, type Stretch } from './stretch.js'
import { barsInWords, barWord } from './words.js'

export const cycleExtension: HarmonyIdea = {
  id: 'cycle-extension',
  rule: 'HA13',
  energy: 0.3,
  difficulty: 0.35,
  most: 2,
  kindOf: ({ target }) => String(target),
  variants: (stretch) => {
    const goals = goalsOf(stretch)
    if (goals.length === 0) return 'No tonic or stable chord stands late enough here for a chain of fifths to run into.'
    return [4, 5, 3, 6].flatMap((count) =>
      goals.filter((target) => count <= target).map((target) => ({ target, count })),
    )
  },
  write: (stretch, params): Writing => {
    const target = Number(params['target'])
    const count = Number(params['count'])
    const goal = goalAt(stretch, target)
    if (!goal || !Number.isInteger(count) || count < 2 || count > target) {
      return { refused: 'The chain asked for does not fit before the bar it should reach.' }
    }
    const slots = Array.from({ length: count }, (_, index): LineSlot => {
      const offset = target - count + index
      return {
        startTick: stretch.starts[offset] as number,
        endTick: stretch.starts[offset + 1] as number,
        roots: [{ root: rootInKey(mod(pitchClass(goal.root) + 7 * (count - index), 12), stretch.key) }],
      }
    })
    const before = target === count ? stretch.before : chordAt(stretch, (slots[0] as LineSlot).startTick - 1)
    const { before: _before, ...frame } = lineFrame(stretch)
    const line = fittedOr(stretch, {
      ...frame,
      slots,
      mayAnticipate: true,
      after: goal,
      ...(before ? { before } : {}),
    })
    if ('refused' in line) return line
    const fitted = line.map((slot) => keptOwn(stretch, slot))
    const place = barsInWords(stretch.numbers.slice(target - count, target))
    const names = fitted.map(({ chord }) => shown(chord)).join(' ')
    return {
      chords: fitted,
      title: `Circle of fifths, ${count} bars into ${shown(goal)}${target < stretch.bars.length ? ` (${barWord(stretch, target)})` : ''}`,
      summary: `In ${ofTheTune(place)} every root falls a fifth to the next, ${names}, and the last one to ${shown(goal)}.`,
      reason: [{ rule: 'HA13', text: `roots by fifths into ${shown(goal)}` }, ...chainOf(fitted)],
      suits: 0.6,
    }
  },
}

/** A bar the chain passes through on the tune's own chord keeps it to the letter, where the melody is ok over it. */
function keptOwn(stretch: Stretch, slot: FittedSlot): FittedSlot {
  const offset = barAt(stretch, slot.startTick)
  const own = stretch.bars[offset]?.chords ?? []
  const [only] = own
  const isWhole = slot.startTick === stretch.starts[offset] && slot.endTick === stretch.starts[offset + 1]
  if (!only || own.length > 1 || !isWhole || only.chord.bass || only.chord.root !== slot.chord.root) return slot
  const isSame = qualityOf(only.chord) === qualityOf(slot.chord)
  const isOk = standing(stretch, only.chord, slot.startTick, slot.endTick).fit === 'ok'
  return isSame && isOk ? { ...slot, chord: only.chord, nameFor: () => only.chord } : slot
}

/** Bars (or the one after the stretch) whose chord a chain can run into, the tonic first. */
function goalsOf(stretch: Stretch): readonly number[] {
  const all = Array.from({ length: stretch.bars.length }, (_, index) => index + 1).filter((target) => target >= 3)
  const stable = all.filter((target) => goalAt(stretch, target) !== undefined)
  const isTonic = (target: number): boolean => degreeOf(goalAt(stretch, target) as Chord, stretch.key) === 0
  return [...stable.filter(isTonic), ...stable.filter((target) => !isTonic(target)).toReversed()]
}

function goalAt(stretch: Stretch, target: number): Chord | undefined {
  if (!Number.isInteger(target) || target < 1 || target > stretch.bars.length) return undefined
  const tick = stretch.starts[target] as number
  const chord = target === stretch.bars.length ? stretch.after : chordAt(stretch, tick)
  const before = chordAt(stretch, tick - 1)
  return isStable(chord) && before?.root !== chord.root ? chord : undefined
}
