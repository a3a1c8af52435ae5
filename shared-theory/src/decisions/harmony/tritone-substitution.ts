/** A dominant gives way to the one a tritone off: same third and seventh, and the bass slides down a half step. */
import { memberOf } from '../../chords/index.js'
import { rootInKey, show } from '../../fit/index.js'
import { pitchClass } from '../../units/index.js'
import { type HarmonyIdea, type NewChord, shown, type Writing } from './idea.js'
import {
  fallsFifth,
  isDominant,
  melodyInWords,
  namedFor,
  type Span,
  spansOf,
  standing,
  type Stretch,
  barAt,
} from './stretch.js'
import { barsInWords, listInWords } from './words.js'

export const tritoneSubstitution: HarmonyIdea = {
  id: 'tritone-substitution',
  rule: 'HA3',
  energy: 0.1,
  difficulty: 0.2,
  most: 3,
  variants: (stretch) => {
    const dominants = spansOf(stretch).filter(({ chord }) => isDominant(chord))
    if (dominants.length === 0) return 'There is no dominant seventh chord in this stretch to substitute.'
    return [{ where: 'cadence' }, { where: 'all' }, { where: 'approach' }]
  },
  write: (stretch, params): Writing => {
    const where = params['where'] ?? 'cadence'
    const dominants = spansOf(stretch).filter(({ chord }) => isDominant(chord))
    const resolving = dominants.filter(({ chord, next }) => fallsFifth(chord, next))
    const asked =
      where === 'approach'
        ? dominants.filter((span) => !resolving.includes(span) && span.next !== undefined)
        : where === 'all'
          ? resolving
          : resolving.slice(-1)
    if (asked.length === 0) {
      return {
        refused: 'No dominant here falls a fifth to the next chord, so none has a tritone substitute that leads on.',
      }
    }
    const chords: NewChord[] = []
    let refused = ''
    for (const span of asked) {
      const fresh = substitute(stretch, span)
      if ('refused' in fresh) refused ||= fresh.refused
      else chords.push(fresh)
    }
    if (chords.length === 0) return { refused }
    return described(stretch, chords, where === 'approach')
  },
}

function substitute(stretch: Stretch, span: Span): NewChord | { readonly refused: string } {
  const root = rootInKey(pitchClass(span.chord.root) + 6, stretch.key)
  const chord = namedFor(stretch, `${root}7`, span.startTick, span.endTick)
  const over = standing(stretch, chord, span.startTick, span.endTick)
  if (over.fit !== 'ok') {
    const number = stretch.numbers[barAt(stretch, over.note?.startTick ?? span.startTick)]
    return { refused: `Bar ${number}: ${show(over.note?.name ?? '')} does not fit ${shown(chord)}.` }
  }
  return { startTick: span.startTick, endTick: span.endTick, chord }
}

function described(stretch: Stretch, chords: readonly NewChord[], isApproach: boolean): Writing {
  const spans = spansOf(stretch)
  const rows = chords.map((fresh) => {
    const span = spans.find(({ startTick }) => startTick === fresh.startTick) as Span
    const degrees = melodyInWords(stretch, fresh.chord, fresh.startTick, fresh.endTick)
    const guides = [memberOf(span.chord, 3), memberOf(span.chord, 7)].filter((name) => name !== undefined)
    return { span, fresh, degrees, guides, number: stretch.numbers[barAt(stretch, fresh.startTick)] ?? 0 }
  })
  const last = rows.at(-1) as (typeof rows)[number]
  const place = barsInWords(rows.map(({ number }) => number))
  const goal = last.span.next ? shown(last.span.next) : 'the next chord'
  const names = listInWords(rows.map(({ fresh }) => shown(fresh.chord)))
  return {
    chords,
    title: `${isApproach ? 'Approach chord' : 'Tritone substitution'} in ${place}`,
    summary: isApproach
      ? `In ${place} ${names} leans on ${goal} from a half step away; it is no real dominant there, so take it as colour.`
      : `In ${place} ${names} keeps ${listInWords(last.guides.map(show))} of ${shown(last.span.chord)}, its third and seventh, and the bass falls a half step to ${goal}.`,
    reason: [
      {
        rule: 'HA3',
        text: `same third and seventh: ${rows.map(({ span, fresh }) => `${shown(fresh.chord)} for ${shown(span.chord)}`).join(', ')}`,
      },
      ...rows
        .filter(({ degrees }) => degrees)
        .map(({ degrees, fresh }) => ({
          rule: 'FI4',
          text: `over ${shown(fresh.chord)} ${degrees}`,
        })),
      { rule: 'HA2', text: isApproach ? `a half step from ${goal}` : `the root falls a half step to ${goal}` },
    ],
    suits: isApproach ? 0.35 : chords.length > 1 ? 0.6 : 0.8,
  }
}
