/** Home by the back door: iv m7 and ♭VII7 of the minor key, up a whole step to I. */
import type { Chord } from '../../contract/index.js'
import { chord as parsed } from '../../chords/index.js'
import { halfTick, rootInKey } from '../../fit/index.js'
import { isMinorKey, pitchClass, tonicOf } from '../../units/index.js'
import { ofTheTune } from '../bar-words.js'
import { firstClash, melodyChain, shown } from './clash.js'
import { type HarmonyIdea, type NewChord, type Writing } from './idea.js'
import { barAt, degreeOf, dominantFor, fallsFifth, isDominant, isStable, spansOf, type Stretch } from './stretch.js'
import { barsInWords } from './words.js'

const FORMS = ['full', 'short', 'delayed'] as const
type Form = (typeof FORMS)[number]

export const backdoor: HarmonyIdea = {
  id: 'backdoor',
  rule: 'HA6',
  energy: -0.1,
  difficulty: 0.25,
  isFarFromPlain: true,
  most: 3,
  variants: (stretch) => {
    if (isMinorKey(stretch.key.key)) return 'The key is minor already: ♭VII7 is at home there and no back door.'
    return FORMS.map((form) => ({ form }))
  },
  write: (stretch, params): Writing => {
    const form = FORMS.find((each) => each === params['form']) ?? 'short'
    if (isMinorKey(stretch.key.key))
      return { refused: 'The key is minor already: ♭VII7 is at home there and no back door.' }
    return form === 'delayed' ? delayed(stretch) : cadence(stretch, form)
  },
}

const tonicPc = (stretch: Stretch): number => pitchClass(tonicOf(stretch.key.key))
const ivOf = (stretch: Stretch): Chord => parsed(`${rootInKey(tonicPc(stretch) + 5, stretch.key)}m7`)
const flatSevenRoot = (stretch: Stretch): string => rootInKey(tonicPc(stretch) + 10, stretch.key)

/** In place of V (short), or of ii and V (full), before the last I. */
function cadence(stretch: Stretch, form: 'full' | 'short'): Writing {
  const spans = spansOf(stretch)
  const at = spans.findLastIndex(
    ({ chord, next }) =>
      isDominant(chord) && degreeOf(chord, stretch.key) === 7 && fallsFifth(chord, next) && isStable(next),
  )
  const five = spans[at]
  if (!five) return { refused: 'No V goes to I in this stretch, so there is no door to change.' }
  const fresh: NewChord[] = [
    {
      startTick: five.startTick,
      endTick: five.endTick,
      chord: dominantFor(stretch, flatSevenRoot(stretch), five.startTick, five.endTick),
    },
  ]
  const two = spans[at - 1]
  if (form === 'full') {
    if (!two || degreeOf(two.chord, stretch.key) !== 2) {
      return { refused: 'No ii stands before the V, so there is no room for iv and ♭VII7.' }
    }
    fresh.unshift({ startTick: two.startTick, endTick: two.endTick, chord: ivOf(stretch) })
  }
  const refused = firstClash(stretch, fresh)
  if (refused) return { refused }
  return described(stretch, fresh, form)
}

/** Over the tonic's first bar, where it lasts two: iv and ♭VII7 delay it under the held note. */
function delayed(stretch: Stretch): Writing {
  const home = spansOf(stretch).findLast(
    ({ chord, startTick, endTick }) =>
      isStable(chord) &&
      degreeOf(chord, stretch.key) === 0 &&
      stretch.starts.includes(startTick) &&
      barAt(stretch, endTick - 1) > barAt(stretch, startTick),
  )
  const bar = home && stretch.bars[barAt(stretch, home.startTick)]
  if (!home || !bar) return { refused: 'The tonic never lasts two bars here, so it cannot be delayed.' }
  const half = home.startTick + halfTick(bar.metre)
  const endTick = home.startTick + bar.lengthTicks
  const fresh: NewChord[] = [
    { startTick: home.startTick, endTick: half, chord: ivOf(stretch) },
    { startTick: half, endTick, chord: dominantFor(stretch, flatSevenRoot(stretch), half, endTick) },
  ]
  const refused = firstClash(stretch, fresh)
  if (refused) return { refused }
  return described(stretch, fresh, 'delayed')
}

const SUITS: { readonly [form in Form]: number } = { delayed: 0.75, full: 0.7, short: 0.5 }

function described(stretch: Stretch, chords: readonly NewChord[], form: Form): Writing {
  const place = barsInWords(chords.map(({ startTick }) => stretch.numbers[barAt(stretch, startTick)] ?? 0))
  const last = chords.at(-1) as NewChord
  const home = spansOf(stretch).find(({ endTick }) => endTick > last.endTick)?.chord ?? stretch.after
  const goal = home ? shown(home) : 'I'
  const names = chords.map(({ chord }) => shown(chord)).join(' ')
  return {
    chords,
    title: form === 'delayed' ? `Delayed by the back door in ${place}` : `Back door in ${place}`,
    summary:
      form === 'delayed'
        ? `In ${ofTheTune(place)} ${names} holds ${goal} back one bar: the melody stays, and ♭VII goes up a whole step home.`
        : `In ${ofTheTune(place)} ${names} comes home to ${goal} from a whole step below, softer than the dominant.`,
    reason: [{ rule: 'HA6', text: `♭VII7 goes up a whole step to ${goal}` }, ...melodyChain(stretch, chords)],
    suits: SUITS[form],
  }
}
