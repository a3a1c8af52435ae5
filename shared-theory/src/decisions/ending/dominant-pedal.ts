/** Dominant pedal: the bass stays on the fifth to the end, chords float above it and none has the leading note. */
import type { Chord } from '../../contract/index.js'
import { chord as parsed } from '../../chords/index.js'
import { fitOf, show } from '../../fit/index.js'
import { mod, nameOfPitch, pitchClass, tonicOf } from '../../units/index.js'
import { filled, lengthsWished } from '../bars.js'
import { type Colour, chordInKey } from '../key-colour.js'
import { shown } from '../lift/words.js'
import type { Close } from './close.js'
import { barsAsked, type EndingIdea, heldThrough, heldWord, lengthInWords } from './idea.js'

type Degree = readonly [semitones: number, suffix: string]

/** Chords above the pedal, counted back from the last. Source: common practice: ii ♭VI ii IV; any of the others where the last note asks. */
const FLOATING: { readonly [colour in Colour]: readonly Degree[] } = {
  major: [
    [2, 'm7'],
    [8, 'maj7'],
    [2, 'm7'],
    [5, 'maj7'],
  ],
  minor: [
    [2, 'm7b5'],
    [8, 'maj7'],
    [2, 'm7b5'],
    [5, 'm7'],
  ],
  blues: [
    [2, 'm7'],
    [8, 'maj7'],
    [2, 'm7'],
    [5, '7'],
  ],
}
/** What may stand in for one that refuses the last note. */
const OTHERS: readonly Degree[] = [
  [5, 'maj7'],
  [5, 'm6'],
  [10, 'maj7'],
  [0, '6'],
  [3, 'maj7'],
  [9, 'm7'],
  [2, 'm7'],
]

export const dominantPedal: EndingIdea = {
  id: 'dominant-pedal',
  rule: 'EN7',
  energy: -0.2,
  distance: 0.35,
  difficulty: 0.25,
  variants: () => [{ bars: 4 }, { bars: 2 }],
  wished: (_close, wish) => lengthsWished(wish, [8, 1, 6, 3]).map((bars) => ({ bars })),
  write: (close, params) => {
    const count = barsAsked(params)
    if (typeof count === 'string') return { refused: count }
    const cycle = FLOATING[close.colour].map((degree) => floating(close, degree))
    const chords: Chord[] = []
    for (let index = 0; index < count; index++) {
      const chord = cycle[mod(index - count, cycle.length)]
      if (!chord) return { refused: `No floating chord over the fifth carries ${heldWord(close)}.` }
      chords.push(chord)
    }
    const fifth = chordInKey(close.key, 7, '').root
    const last = overFifth(close, fifth)
    const home = close.home.map((bar) => ({
      ...bar,
      chords: filled([{ startTick: 0, durationTicks: 0, chord: last }], bar.lengthTicks),
    }))
    return {
      bars: [
        ...heldThrough(
          close,
          chords.map((chord) => [chord]),
        ),
        ...home,
      ],
      title: `Floating over the dominant, ${lengthInWords(count)}`,
      summary: `The bass stays on ${show(fifth)} to the end while ${chords.map((chord) => shown(chord).replace(/\/.*$/, '')).join(', ')} ${chords.length === 1 ? 'passes' : 'pass'} above it; ${heldWord(close)} never lands on a root.`,
      reason: [
        {
          rule: 'EN7',
          text: `bass ${show(fifth)} to the last bar; no chord above it has the leading note before ${shown(last)}`,
        },
        { rule: 'EN2', text: `${lengthInWords(count)} before ${shown(last)}` },
      ],
      suits: count === 4 ? 0.7 : 0.6,
    }
  },
}

/** Home over its fifth. */
function overFifth({ goal }: Close, fifth: string): Chord {
  return parsed(`${goal.symbol}/${fifth}`)
}

/** The chord over the fifth if it carries the held note and lacks the leading note, else the first other that does. */
function floating(close: Close, wanted: Degree): Chord | undefined {
  const leading = mod(pitchClass(tonicOf(close.key.key)) + 11, 12)
  return [wanted, ...OTHERS]
    .map(([semitones, suffix]) => chordInKey(close.key, semitones, suffix, 7))
    .find(
      (chord) =>
        chord.notes.every((name) => pitchClass(name) !== leading) &&
        (!close.held || fitOf(chord, nameOfPitch(close.held.name)) === 'ok'),
    )
}
