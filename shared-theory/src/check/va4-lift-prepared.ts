/** VA4: the bar before a lift leads there as the plan says. */
import type { ArrangedBar, Issue } from '../contract/index.js'
import { qualityOf } from '../chords/index.js'
import { PREPARATIONS, type PreparationKind, prepare, preparingAt } from '../decisions/lift/index.js'
import { issue, pitchClass } from '../units/index.js'
import type { CheckContext } from './check-context.js'
import { isEditedByHand, plannedLifts } from './planned-lifts.js'
import { shownChord, shownKey } from './words.js'

export function checkLiftPrepared(context: CheckContext): Issue[] {
  const found: Issue[] = []
  for (const { chosen, index } of plannedLifts(context)) {
    const { preparation: kind, aim, line } = chosen.option.params
    const { plan, bars } = context
    const bar = bars[index - 1]
    const first = bars[index]
    if (!plan || !bar || !first || !isPreparation(kind) || kind === 'direct' || bar.chords.length === 0) continue
    // The bars have moved already, so from here the lift itself is none.
    const aimed = aim === 'key' ? 'key' : 'arrival'
    const preparing = preparingAt([bar, first], 1, 0, aimed)
    const prepared = preparing && prepare(kind, preparing, line === 'rising' || line === 'falling' ? line : undefined)
    // An opening has taken the place of what was prepared, and leads on by itself (VA12).
    if (bar.pass === 'opening' || isBreak(bar, first)) continue
    // What the melody forbade was never written; the compiler has said so.
    if (!preparing || !prepared || 'refused' in prepared || leadsSo([bars[index - 2], bar], prepared.leading)) continue
    const leading = prepared.leading.map(shownChord).join(' ')
    const still = bar.chords.map(({ chord }) => shownChord(chord)).join(' ')
    const goal = `${shownChord(preparing.goal)} (key of ${shownKey(first.key)})`
    const text = `Bar ${context.numberOf(index - 1)} should lead to ${goal} with ${leading}, but ${still} is still there.`
    const severity = isEditedByHand(plan, bar, 'chord') ? 'warning' : 'error'
    found.push(issue('VA4', severity, `bars/${index - 1}/chords`, text))
  }
  return found
}

/** The band stops under a pickup that leads into the lift. */
const isBreak = (bar: ArrangedBar, first: ArrangedBar): boolean =>
  bar.chords.at(-1)?.chord.root === '' &&
  bar.melody.some(({ source }) => source !== undefined && source.bar === (first.provenance.tuneBar ?? 0) - 1)

const isPreparation = (value: unknown): value is PreparationKind => (PREPARATIONS as readonly unknown[]).includes(value)

/** The last chords before the lift, in a long metre those of two bars, stand on the preparation's roots, sus where it is sus: the tensions the melody adds are free. */
function leadsSo(
  before: readonly (ArrangedBar | undefined)[],
  leading: readonly ArrangedBar['chords'][number]['chord'][],
): boolean {
  const last = before.flatMap((bar) => bar?.chords ?? []).slice(-leading.length)
  return (
    last.length === leading.length &&
    last.every(({ chord }, place) => {
      const wanted = leading[place]
      if (!wanted || chord.root === '' || pitchClass(chord.root) !== pitchClass(wanted.root)) return false
      return (qualityOf(chord) === 'sus') === (qualityOf(wanted) === 'sus')
    })
  )
}
