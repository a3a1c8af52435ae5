/** VA4: the bar before a lift leads there as the plan says. */
import type { ArrangedBar, Chord, Issue } from '../contract/index.js'
import { qualityOf, sameChord } from '../chords/index.js'
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
    const isEdited = isEditedByHand(plan, bar, 'chord')
    const meant = isEdited ? undefined : context.planned()?.form[index - 1]
    // An opening has taken the place of what was prepared, and leads on by itself (VA12).
    if (bar.pass === 'opening' || (!meant && isBreak(bar, first))) continue
    // The bars have moved already, so from here the lift itself is none.
    const preparing = preparingAt([bar, first], 1, 0, aim === 'key' ? 'key' : 'arrival')
    const leading = meant
      ? missedRow(bar, meant)
      : preparing && missedLead(kind, line, preparing, [bars[index - 2], bar])
    const arrival = preparing?.goal ?? first.chords[0]?.chord
    if (!leading || !arrival) continue
    const still = bar.chords.map(({ chord }) => shownChord(chord)).join(' ')
    const goal = `${shownChord(arrival)} (key of ${shownKey(first.key)})`
    const text = `Bar ${context.numberOf(index - 1)} should lead to ${goal} with ${leading.map(shownChord).join(' ')}, but ${still} is still there.`
    found.push(issue('VA4', isEdited ? 'warning' : 'error', `bars/${index - 1}/chords`, text))
  }
  return found
}

/** What the plan has in the bar before its lift, where something else stands there. */
const missedRow = (bar: ArrangedBar, meant: ArrangedBar): readonly Chord[] | undefined =>
  isSameRow(bar, meant) ? undefined : meant.chords.map(({ chord }) => chord)

/** Without the plan's own bars: the preparation worked out again. What the melody forbade was never written; the compiler has said so. */
function missedLead(
  kind: PreparationKind,
  line: unknown,
  preparing: NonNullable<ReturnType<typeof preparingAt>>,
  before: readonly (ArrangedBar | undefined)[],
): readonly Chord[] | undefined {
  const prepared = prepare(kind, preparing, line === 'rising' || line === 'falling' ? line : undefined)
  return 'refused' in prepared || leadsSo(before, prepared.leading) ? undefined : prepared.leading
}

/** The same chords at the same places: E♭∆ left where the plan has E♭6 is the old chord still. */
const isSameRow = ({ chords }: ArrangedBar, { chords: meant }: ArrangedBar): boolean =>
  chords.length === meant.length &&
  chords.every(({ chord, startTick }, place) => {
    const other = meant[place]
    return other !== undefined && startTick === other.startTick && sameChord(chord, other.chord)
  })

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
