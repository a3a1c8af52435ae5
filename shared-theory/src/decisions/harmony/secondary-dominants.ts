/** Chords on the way get a dominant of their own, in the second half of the bar before them. */
import { halfTick } from '../../fit/index.js'
import { pitchClass, transposeName } from '../../units/index.js'
import { ofTheTune } from '../bar-words.js'
import { firstClash, melodyChain, shown } from './clash.js'
import { type HarmonyIdea, type NewChord, type Writing } from './idea.js'
import { degreeOf, fallsFifth, isDominant, isStable, namedFor, type Stretch } from './stretch.js'
import { barsInWords, listInWords } from './words.js'

interface Prepared extends NewChord {
  readonly offset: number
  readonly goal: string
}

export const secondaryDominants: HarmonyIdea = {
  id: 'secondary-dominants',
  rule: 'HA5',
  energy: 0.3,
  difficulty: 0.2,
  variants: () => [{ where: 'all' }, { where: 'last' }],
  write: (stretch, params): Writing => {
    const found = preparations(stretch)
    if (typeof found === 'string') return { refused: found }
    const chords = params['where'] === 'last' ? found.slice(-1) : found
    const place = barsInWords(chords.map(({ offset }) => stretch.numbers[offset] ?? 0))
    const pairs = chords.map(({ chord, goal }) => `${shown(chord)} to ${goal}`)
    return {
      chords,
      title: `Secondary dominant${chords.length > 1 ? 's' : ''} in ${place}`,
      summary:
        chords.length > 1
          ? `In ${ofTheTune(place)} a dominant of its own leads to each next chord, ${listInWords(pairs)}, and the line pulls forward.`
          : `In the second half of ${ofTheTune(place)} a dominant of its own leads on, ${pairs.join('')}, under the same melody.`,
      reason: [
        ...chords.map(({ chord, goal }) => ({ rule: 'HA5', text: `${shown(chord)} is the dominant of ${goal}` })),
        ...melodyChain(stretch, chords),
      ],
      suits: chords.length > 1 ? 0.7 : 0.6,
    }
  },
}

/** Every bar whose second half can become the dominant of the stable chord after it; or why there is none. */
function preparations(stretch: Stretch): readonly Prepared[] | string {
  const found: Prepared[] = []
  let refused = ''
  for (const [offset, bar] of stretch.bars.entries()) {
    const own = bar.chords[0]
    const goal = stretch.bars[offset + 1]?.chords[0]?.chord ?? stretch.after
    if (bar.chords.length !== 1 || !own || own.chord.root === '' || isDominant(own.chord)) continue
    if (!isStable(goal) || goal.root === own.chord.root || degreeOf(goal, stretch.key) === 0) continue
    if (fallsFifth(own.chord, goal) && !isStable(own.chord)) continue
    const root = transposeName(goal.root, '5P')
    if (pitchClass(root) === pitchClass(goal.root)) continue
    const startTick = (stretch.starts[offset] as number) + halfTick(bar.metre)
    const endTick = stretch.starts[offset + 1] as number
    const chord = namedFor(stretch, `${root}7`, startTick, endTick)
    const clash = firstClash(stretch, [{ chord, startTick, endTick }])
    if (clash !== undefined) {
      refused ||= clash
      continue
    }
    found.push({ startTick, endTick, chord, offset, goal: shown(goal) })
  }
  if (found.length > 0) return found
  return refused || 'No bar here leads to a chord that could take a dominant of its own.'
}
