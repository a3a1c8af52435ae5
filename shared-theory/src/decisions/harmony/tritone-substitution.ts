/** A dominant gives way to the one a tritone off: same third and seventh, and the bass slides down a half step. */
import { memberOf, qualityOf } from '../../chords/index.js'
import { rootInKey, show } from '../../fit/index.js'
import { mod, pitchClass } from '../../units/index.js'
import { ofTheTune } from '../bar-words.js'
import { firstClash, melodyChain, shown } from './clash.js'
import { type HarmonyIdea, type NewChord, type Writing } from './idea.js'
import { barAt, degreeOf, fallsFifth, namedFor, type Span, spansOf, type Stretch } from './stretch.js'
import { barsInWords, listInWords } from './words.js'

export const tritoneSubstitution: HarmonyIdea = {
  id: 'tritone-substitution',
  rule: 'HA3',
  energy: 0.1,
  difficulty: 0.2,
  isFarFromPlain: true,
  most: 3,
  variants: (stretch) =>
    dominantsIn(stretch).length === 0
      ? 'There is no dominant seventh chord in this stretch to substitute.'
      : [{ where: 'cadence' }, { where: 'all' }, { where: 'approach' }],
  write: (stretch, params): Writing => {
    const isApproach = params['where'] === 'approach'
    const asked = dominantsIn(stretch).filter((span) =>
      isApproach ? isNeighbour(span) : fallsFifth(span.chord, span.next),
    )
    if (asked.length === 0) {
      return {
        refused: isApproach
          ? 'No dominant here has a substitute a half step from the chord that follows.'
          : 'No dominant here falls a fifth to the next chord, so none has a tritone substitute that leads on.',
      }
    }
    const fitted: Substitute[] = []
    let refused = ''
    for (const span of asked) {
      const fresh = substitute(stretch, span)
      if ('refused' in fresh) refused = fresh.refused
      else fitted.push(fresh)
    }
    if (fitted.length === 0) return { refused }
    return described(stretch, params['where'] === 'all' ? fitted : fitted.slice(-1), isApproach)
  },
}

/** Dominants with a third, a bar of each at most: of a longer one its last bar; the tonic seventh of a blues only where it has stood a bar. */
function dominantsIn(stretch: Stretch): readonly Span[] {
  return spansOf(stretch).flatMap((span) => {
    if (qualityOf(span.chord) !== 'dominant') return []
    const last = stretch.starts[barAt(stretch, span.endTick - 1)] as number
    if (last <= span.startTick) return degreeOf(span.chord, stretch.key) === 0 ? [] : [span]
    return [{ ...span, startTick: last }]
  })
}

/** Whether the substitute lies a half step from what follows, though the dominant itself does not resolve by a fifth. */
function isNeighbour({ chord, next }: Span): boolean {
  if (!next || next.root === '' || fallsFifth(chord, next)) return false
  return [1, 11].includes(mod(pitchClass(next.root) - pitchClass(chord.root) - 6, 12))
}

interface Substitute extends NewChord {
  readonly span: Span
}

function substitute(stretch: Stretch, span: Span): Substitute | { readonly refused: string } {
  const root = rootInKey(pitchClass(span.chord.root) + 6, stretch.key)
  const chord = namedFor(stretch, `${root}7`, span.startTick, span.endTick)
  const fresh = { startTick: span.startTick, endTick: span.endTick, chord, span }
  const refused = firstClash(stretch, [fresh])
  return refused === undefined ? fresh : { refused }
}

function described(stretch: Stretch, chords: readonly Substitute[], isApproach: boolean): Writing {
  const place = barsInWords(chords.map(({ startTick }) => stretch.numbers[barAt(stretch, startTick)] ?? 0))
  const names = listInWords([...new Set(chords.map(({ chord }) => shown(chord)))])
  const goals = listInWords([...new Set(chords.map(({ span }) => (span.next ? shown(span.next) : 'the next chord')))])
  const olds = listInWords([...new Set(chords.map(({ span }) => shown(span.chord)))])
  const isOne = new Set(chords.map(({ chord }) => shown(chord))).size === 1
  const guides = chords.flatMap(({ span }) => [memberOf(span.chord, 3), memberOf(span.chord, 7)])
  const kept = listInWords(guides.filter((name) => name !== undefined).map(show))
  const summary = isApproach
    ? `In ${ofTheTune(place)} ${names} leans on ${goals} from a half step away; it is no real dominant there, so take it as colour.`
    : chords.length > 1
      ? `In ${ofTheTune(place)} ${names} ${isOne ? 'stands' : 'stand'} in for ${olds}: same thirds and sevenths, and the bass falls by half steps${new Set(chords.map(({ span }) => span.next && shown(span.next))).size > 2 ? '' : ` to ${goals}`}.`
      : `In ${ofTheTune(place)} ${names} keeps ${kept} of ${olds}, its third and seventh, and the bass falls a half step to ${goals}.`
  return {
    chords,
    title: `${isApproach ? 'Approach chord' : 'Tritone substitution'} in ${place}`,
    summary,
    reason: [
      {
        rule: 'HA3',
        text: `same third and seventh: ${chords.map(({ chord, span }) => `${shown(chord)} for ${shown(span.chord)}`).join(', ')}`,
      },
      ...melodyChain(stretch, chords),
      { rule: 'HA2', text: `by half step to ${goals}` },
    ],
    suits: isApproach ? 0.35 : chords.length > 1 ? 0.6 : 0.8,
  }
}
