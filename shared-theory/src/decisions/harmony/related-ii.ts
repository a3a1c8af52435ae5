/** A ii–V in place of one chord: the related ii before a dominant that stands, or before one that comes with it. */
import { chord as parsed, qualityOf, sameChord } from '../../chords/index.js'
import { halfTick, keyPitchClasses } from '../../fit/index.js'
import { mod, pitchClass, transposeName } from '../../units/index.js'
import { ofTheTune } from '../bar-words.js'
import { firstClash, melodyChain, shown } from './clash.js'
import { type HarmonyIdea, type NewChord, type Writing } from './idea.js'
import { degreeOf, fallsFifth, isDominant, isStable, namedFor, type Stretch } from './stretch.js'
import { barWord } from './words.js'

export const relatedII: HarmonyIdea = {
  id: 'related-ii',
  rule: 'HA4',
  energy: 0.2,
  difficulty: 0.25,
  most: 2,
  variants: (stretch) => {
    const bars = stretch.bars.map((_, offset) => offset).filter((offset) => pairsFor(stretch, offset).length > 0)
    if (bars.length === 0) return 'No bar here leads to a chord that a ii–V could prepare.'
    return bars.map((bar) => ({ bar }))
  },
  write: (stretch, params): Writing => {
    const offset = Number(params['bar'])
    const pairs = Number.isInteger(offset) ? pairsFor(stretch, offset) : []
    if (pairs.length === 0) return { refused: 'The bar asked for does not lead to a chord that a ii–V could prepare.' }
    const pair = pairs.find((each) => firstClash(stretch, each.chords) === undefined)
    if (!pair) return { refused: firstClash(stretch, pairs[0]?.chords ?? []) ?? '' }
    const [ii, dominant] = pair.chords
    const was = stretch.bars[offset]?.chords[0]?.chord
    const isOwnDominant = isDominant(was)
    return {
      chords: pair.chords,
      title: `${shown(ii.chord)} ${shown(dominant.chord)} in ${barWord(stretch, offset)}`,
      summary: isOwnDominant
        ? `In ${ofTheTune(barWord(stretch, offset))} ${shown(ii.chord)} comes before ${shown(dominant.chord)}, its related ii, and the way to ${pair.goal} has two steps instead of one.`
        : `In ${ofTheTune(barWord(stretch, offset))} the ii–V ${shown(ii.chord)} ${shown(dominant.chord)} prepares ${pair.goal}, under the same melody.`,
      reason: [
        { rule: 'HA4', text: `${shown(ii.chord)} is the related ii of ${shown(dominant.chord)}` },
        ...(isOwnDominant ? [] : [{ rule: 'HA5', text: `${shown(dominant.chord)} is the dominant of ${pair.goal}` }]),
        ...melodyChain(stretch, pair.chords),
      ],
      suits: isOwnDominant ? 0.7 : 0.65,
    }
  },
}

interface Pair {
  readonly chords: readonly [NewChord, NewChord]
  readonly goal: string
}

/** ii–V for a bar that stands alone before a chord that can be prepared, or for the first bar of a dominant that lasts two;
 *  the ii as the key has it first. Empty where the bar is no place for it. */
function pairsFor(stretch: Stretch, offset: number): readonly Pair[] {
  const bar = stretch.bars[offset]
  const own = bar?.chords[0]?.chord
  if (!bar || !own || bar.chords.length !== 1 || own.root === '') return []
  const startTick = stretch.starts[offset] as number
  const endTick = stretch.starts[offset + 1] as number
  const next = stretch.bars[offset + 1]
  const before = stretch.bars[offset - 1]?.chords.at(-1)?.chord ?? stretch.before
  const isLong = next?.chords.length === 1 && next.chords[0] !== undefined && sameChord(next.chords[0].chord, own)
  const goal = isLong ? own : (next?.chords[0]?.chord ?? stretch.after)
  if (!goal || goal.root === '') return []
  const half = startTick + halfTick(bar.metre)
  const isOwnDominant = isDominant(own) && (isLong || fallsFifth(own, goal))
  if (isOwnDominant) {
    // A ii that stands there already, or the second bar of a long dominant.
    if (before && ((fallsFifth(before, own) && !isDominant(before)) || sameChord(before, own))) return []
    if (degreeOf(own, stretch.key) === 0 && (isLong || before?.root !== own.root)) return []
  } else if (isDominant(own) || !isStable(goal) || goal.root === own.root || degreeOf(goal, stretch.key) === 0)
    return []
  const root = isLong ? transposeName(own.root, '5P') : transposeName(goal.root, '2M')
  const iiEnd = isLong ? endTick : half
  const dominant: NewChord = isLong
    ? { startTick: endTick, endTick: stretch.starts[offset + 2] as number, chord: own }
    : isOwnDominant
      ? { startTick: half, endTick, chord: own }
      : { startTick: half, endTick, chord: namedFor(stretch, `${transposeName(goal.root, '5P')}7`, half, endTick) }
  const isToMinor = !isLong && (qualityOf(goal) === 'minor' || qualityOf(goal) === 'minor-sixth')
  return iiSuffixes(root, stretch, isToMinor)
    .map((suffix): NewChord => ({ startTick, endTick: iiEnd, chord: parsed(`${root}${suffix}`) }))
    .filter(({ chord }) => qualityOf(own) !== qualityOf(chord) || pitchClass(own.root) !== pitchClass(root))
    .map((ii) => ({ chords: [ii, dominant], goal: shown(goal) }))
}

/** m7 or m7♭5: the one whose fifth the key has; before a minor chord the other as well. */
function iiSuffixes(root: string, { key }: Stretch, isToMinor: boolean): readonly ('m7' | 'm7b5')[] {
  const own = keyPitchClasses(key)
  const pc = pitchClass(root)
  const isFlat = own.has(mod(pc + 6, 12)) && !own.has(mod(pc + 7, 12))
  if (isFlat) return ['m7b5']
  return isToMinor ? ['m7', 'm7b5'] : ['m7']
}
