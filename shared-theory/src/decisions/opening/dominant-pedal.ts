/** Dominant pedal: the bass stays on the fifth of the key while chords move above it, and opens into the first chord. */
import type { Chord } from '../../contract/index.js'
import { show } from '../../fit/index.js'
import { must } from '../../units/index.js'
import { laidIn, lengthsWished } from '../bars.js'
import { listInWords } from '../harmony/words.js'
import { type Colour, chordInKey, homeDominant } from '../key-colour.js'
import { shown } from '../lift/words.js'
import { barsAsked, type Doorway, lengthInWords, type OpeningIdea } from './idea.js'

/** `floating` and `soft` have no leading note over the bass: they can be laid under a held tonic. */
const FORM_IDS = ['rising', 'alternating', 'floating', 'soft'] as const
type Form = (typeof FORM_IDS)[number]
type Degree = readonly [semitones: number, suffix: string]

/** Chords above the pedal, gone round until the last bar. Source: common practice: I ii iii ii, or I and ♭II in turn. */
const FORMS: { readonly [form in Form]: { readonly [colour in Colour]: readonly Degree[] } } = {
  rising: {
    major: [
      [0, 'maj7'],
      [2, 'm7'],
      [4, 'm7'],
      [2, 'm7'],
    ],
    minor: [
      [0, 'm6'],
      [2, 'm7b5'],
      [3, 'maj7'],
      [2, 'm7b5'],
    ],
    blues: [
      [0, '7'],
      [2, 'm7'],
      [4, 'm7'],
      [2, 'm7'],
    ],
  },
  alternating: {
    major: [
      [0, 'maj7'],
      [1, 'maj7'],
    ],
    minor: [
      [0, 'm6'],
      [1, 'maj7'],
    ],
    blues: [
      [0, '7'],
      [1, '7'],
    ],
  },
  floating: {
    major: [
      [2, 'm7'],
      [8, 'maj7'],
      [5, 'maj7'],
      [1, 'maj7'],
    ],
    minor: [
      [2, 'm7b5'],
      [8, 'maj7'],
      [5, 'm7'],
      [1, 'maj7'],
    ],
    blues: [
      [2, 'm7'],
      [8, '7'],
      [5, '7'],
      [1, '7'],
    ],
  },
  soft: {
    major: [
      [0, '6'],
      [5, 'maj7'],
    ],
    minor: [
      [0, 'm'],
      [5, 'm7'],
    ],
    blues: [
      [0, '6'],
      [5, '7'],
    ],
  },
}
const FORM_NAMES: { readonly [form in Form]: string } = {
  rising: '',
  alternating: ' alternating',
  floating: ', floating',
  soft: ', soft',
}

/** What a form is below the usual one. */
const LESS_USUAL: { readonly [form in Form]: number } = { rising: 0, alternating: 0.08, floating: 0.14, soft: 0.16 }

export const dominantPedal: OpeningIdea = {
  id: 'dominant-pedal',
  rule: 'OP3',
  energy: 0.2,
  distance: 0.15,
  difficulty: 0.2,
  variants: () =>
    [8, 4, 2].flatMap((bars) => [{ bars, form: 'rising' }, ...(bars > 2 ? [{ bars, form: 'alternating' }] : [])]),
  wished: (_door, wish) => {
    const more = FORM_IDS.slice(2, 2 + (wish.more ?? 0)).map((form) => ({ bars: 8, form }))
    return [
      ...lengthsWished(wish, [16, 6, 12, 3]).flatMap((bars) =>
        (bars === wish.bars && bars > 2 ? ['rising', 'alternating'] : ['rising']).map((form) => ({ bars, form })),
      ),
      ...more,
    ]
  },
  write: (door, params) => {
    const count = barsAsked(params)
    if (typeof count === 'string') return { refused: count }
    const asked = params['form'] ?? 'rising'
    const form = FORM_IDS.find((known) => known === asked)
    if (!form) return { refused: `There is no pedal form '${String(asked)}'; there are ${listInWords(FORM_IDS)}.` }
    const chords = pedal(door, form, count)
    const upper = [...new Map(chords.slice(0, -1).map((chord) => [chord.symbol, chord])).values()]
    const bass = show(must(homeDominant(door.key, door.colour), 'a dominant').root)
    const over = upper.map((chord) => shown(chord).replace(/\/.*$/, ''))
    return {
      bars: chords.map((chord) => ({ chords: laidIn(door.first, [chord]) })),
      title: `Dominant pedal${FORM_NAMES[form]}, ${lengthInWords(count)}`,
      says:
        over.length === 0
          ? `the bass sets ${bass}`
          : `the bass stays on ${bass} under ${listInWords(over)}${form === 'alternating' ? ' in turn' : ''}, so everybody waits for the tune`,
      reason: [
        {
          rule: 'OP3',
          text: `${bass}, the fifth of the key, in the bass ${count === 2 ? 'of both bars' : count === 1 ? 'throughout' : `of all ${lengthInWords(count)}`}`,
        },
        { rule: 'OP11', text: 'metre, groove and tempo of bar 1 from the start' },
      ],
      suits: (count >= 8 ? 0.78 : count >= 3 ? 0.74 : 0.5) - LESS_USUAL[form],
    }
  },
}

function pedal({ key, colour }: Doorway, form: Form, count: number): readonly Chord[] {
  const cycle = FORMS[form][colour]
  return Array.from({ length: count }, (_, index) => {
    if (index === count - 1) return homeDominant(key, colour)
    const [semitones, suffix] = must(cycle[index % cycle.length], 'a chord of the form')
    return chordInKey(key, semitones, suffix, 7)
  })
}
