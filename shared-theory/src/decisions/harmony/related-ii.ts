/** A ii–V in place of one chord: the related ii before a dominant that stands, or before one that comes with it. */
import { chord as parsed, qualityOf } from '../../chords/index.js'
import { halfTick, keyPitchClasses, show } from '../../fit/index.js'
import { mod, pitchClass, transposeName } from '../../units/index.js'
import { type HarmonyIdea, type NewChord, shown, type Writing } from './idea.js'
import {
  degreeOf,
  fallsFifth,
  isDominant,
  isStable,
  melodyInWords,
  namedFor,
  standing,
  type Stretch,
} from './stretch.js'
import { barWord } from './words.js'

export const relatedII: HarmonyIdea = {
  id: 'related-ii',
  rule: 'HA4',
  energy: 0.2,
  difficulty: 0.25,
  most: 2,
  variants: (stretch) => {
    const bars = stretch.bars.map((_, offset) => offset).filter((offset) => pairFor(stretch, offset) !== undefined)
    if (bars.length === 0) return 'No bar here leads to a chord that a ii–V could prepare.'
    return bars.map((bar) => ({ bar }))
  },
  write: (stretch, params): Writing => {
    const offset = Number(params['bar'])
    const pair = Number.isInteger(offset) ? pairFor(stretch, offset) : undefined
    if (!pair) return { refused: 'The bar asked for does not lead to a chord that a ii–V could prepare.' }
    const [ii, dominant] = pair.chords
    for (const fresh of [ii, dominant]) {
      const over = standing(stretch, fresh.chord, fresh.startTick, fresh.endTick)
      if (over.fit === 'hard' || !over.isLight) {
        return {
          refused: `Bar ${stretch.numbers[offset]}: ${show(over.note?.name ?? '')} does not sit on ${shown(fresh.chord)}.`,
        }
      }
    }
    const was = stretch.bars[offset]?.chords[0]?.chord
    const isOwnDominant = isDominant(was)
    return {
      chords: pair.chords,
      title: `${shown(ii.chord)} ${shown(dominant.chord)} in ${barWord(stretch, offset)}`,
      summary: isOwnDominant
        ? `In ${barWord(stretch, offset)} ${shown(ii.chord)} comes before ${shown(dominant.chord)}, its related ii, and the way to ${pair.goal} has two steps instead of one.`
        : `In ${barWord(stretch, offset)} the ii–V ${shown(ii.chord)} ${shown(dominant.chord)} prepares ${pair.goal}, under the same melody.`,
      reason: [
        { rule: 'HA4', text: `${shown(ii.chord)} is the related ii of ${shown(dominant.chord)}` },
        ...(isOwnDominant ? [] : [{ rule: 'HA5', text: `${shown(dominant.chord)} is the dominant of ${pair.goal}` }]),
        ...pair.chords.map(({ chord, startTick, endTick }) => ({
          rule: 'FI4',
          text: `over ${shown(chord)}: ${melodyInWords(stretch, chord, startTick, endTick) || 'rest'}`,
        })),
      ],
      suits: isOwnDominant ? 0.7 : 0.65,
    }
  },
}

/** The two chords for a bar, where it stands alone before a chord that can be prepared. */
function pairFor(
  stretch: Stretch,
  offset: number,
): { readonly chords: readonly [NewChord, NewChord]; readonly goal: string } | undefined {
  const bar = stretch.bars[offset]
  const own = bar?.chords[0]?.chord
  if (!bar || !own || bar.chords.length !== 1 || own.root === '') return undefined
  const goal = stretch.bars[offset + 1]?.chords[0]?.chord ?? stretch.after
  if (!goal || goal.root === '') return undefined
  const isOwnDominant = isDominant(own) && fallsFifth(own, goal)
  if (isOwnDominant) {
    const before = stretch.bars[offset - 1]?.chords.at(-1)?.chord ?? stretch.before
    if (before && fallsFifth(before, own)) return undefined
  } else if (isDominant(own) || !isStable(goal) || goal.root === own.root || degreeOf(goal, stretch.key) === 0) {
    return undefined
  }
  const startTick = stretch.starts[offset] as number
  const half = startTick + halfTick(bar.metre)
  const endTick = stretch.starts[offset + 1] as number
  const root = transposeName(goal.root, '2M')
  const ii = { startTick, endTick: half, chord: parsed(`${root}${iiSuffix(root, stretch)}`) }
  const dominant = isOwnDominant
    ? { startTick: half, endTick, chord: own }
    : { startTick: half, endTick, chord: namedFor(stretch, `${transposeName(goal.root, '5P')}7`, half, endTick) }
  if (qualityOf(own) === qualityOf(ii.chord) && pitchClass(own.root) === pitchClass(root)) return undefined
  return { chords: [ii, dominant], goal: shown(goal) }
}

/** m7 or m7♭5, by which fifth the key has. */
function iiSuffix(root: string, { key }: Stretch): 'm7' | 'm7b5' {
  const own = keyPitchClasses(key)
  const pc = pitchClass(root)
  return own.has(mod(pc + 6, 12)) && !own.has(mod(pc + 7, 12)) ? 'm7b5' : 'm7'
}
