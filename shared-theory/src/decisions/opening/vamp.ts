/** Vamp: two chords in turn, a bar each, that set the groove before anybody sings. */
import { laidIn, lengthsWished } from '../bars.js'
import { type Colour, chordInKey } from '../key-colour.js'
import { shown } from '../lift/words.js'
import { dominantInto } from './arrival.js'
import { barsAsked, lengthInWords, type OpeningIdea } from './idea.js'

type Degree = readonly [semitones: number, suffix: string, bass?: number]
interface VampForm {
  readonly id: string
  readonly home: Degree
  readonly away: Degree
}

/** Pairs of chords by the colour of the key, the usual one first. Source: common practice. */
export const VAMPS: { readonly [colour in Colour]: readonly VampForm[] } = {
  major: [
    { id: 'I-bVII', home: [0, 'maj7'], away: [10, 'maj7'] },
    { id: 'I-bII', home: [0, 'maj7'], away: [1, 'maj7'] },
    { id: 'I-ii', home: [0, 'maj7'], away: [2, 'm7', 0] },
  ],
  minor: [
    { id: 'i-IV', home: [0, 'm7'], away: [5, '7'] },
    { id: 'i-bII', home: [0, 'm7'], away: [1, 'maj7'] },
    { id: 'i-bVII', home: [0, 'm7'], away: [10, '7'] },
  ],
  blues: [
    { id: 'I-bVII', home: [0, '7'], away: [10, '7'] },
    { id: 'I-bII', home: [0, '7'], away: [1, '7'] },
    { id: 'I-IV', home: [0, '7'], away: [5, '7'] },
  ],
}

/** Further pairs, shown when more are asked for. Source: common practice. */
export const MORE_VAMPS: { readonly [colour in Colour]: readonly VampForm[] } = {
  major: [
    { id: 'I-IV', home: [0, 'maj7'], away: [5, 'maj7', 0] },
    { id: 'I7-v', home: [0, '7sus'], away: [7, 'm7', 0] },
    { id: 'I-iv', home: [0, 'maj7'], away: [5, 'm6', 0] },
    { id: 'I-bIII', home: [0, 'maj7'], away: [3, 'maj7'] },
    { id: 'I-bVI', home: [0, 'maj7'], away: [8, 'maj7'] },
  ],
  minor: [
    { id: 'i-ii', home: [0, 'm7'], away: [2, 'm7'] },
    { id: 'i-bVI', home: [0, 'm7'], away: [8, 'maj7'] },
    { id: 'i-v', home: [0, 'm7'], away: [7, 'm7'] },
    { id: 'i-iv', home: [0, 'm7'], away: [5, 'm7', 0] },
  ],
  blues: [
    { id: 'I-v', home: [0, '7'], away: [7, 'm7', 0] },
    { id: 'I-VII', home: [0, '7'], away: [11, '7'] },
    { id: 'I-bIII', home: [0, '7'], away: [3, '7'] },
    { id: 'I-bVI', home: [0, '7'], away: [8, '7'] },
  ],
}

export const vamp: OpeningIdea = {
  id: 'vamp',
  rule: 'OP4',
  energy: 0.1,
  distance: 0.2,
  difficulty: 0.1,
  variants: ({ colour }) => {
    const [usual, ...others] = VAMPS[colour].map(({ id }) => id)
    return [
      { bars: 4, form: usual as string, connected: false },
      { bars: 4, form: usual as string, connected: true },
      { bars: 8, form: usual as string, connected: true },
      { bars: 2, form: usual as string, connected: false },
      ...others.map((form) => ({ bars: 4, form, connected: true })),
    ]
  },
  wished: ({ colour }, wish) => {
    const forms = VAMPS[colour].map(({ id }) => id)
    const more = MORE_VAMPS[colour]
      .slice(0, 2 * (wish.more ?? 0))
      .map(({ id }) => ({ bars: 4, form: id, connected: true }))
    const lengths = lengthsWished(wish, [16, 6, 12, 3])
    return [
      ...lengths.flatMap((bars) =>
        forms.slice(0, bars === wish.bars ? forms.length : 1).map((form) => ({ bars, form, connected: true })),
      ),
      ...more,
    ]
  },
  write: (door, params) => {
    const count = barsAsked(params)
    if (typeof count === 'string') return { refused: count }
    const forms = [...VAMPS[door.colour], ...MORE_VAMPS[door.colour]]
    // A plan may carry the form of another key: the usual one stands in for it.
    const asked = params['form']
    const form = forms.find(({ id }) => id === asked) ?? forms[0]
    const isKnown =
      asked === undefined ||
      [VAMPS, MORE_VAMPS].flatMap((table) => Object.values(table).flat()).some(({ id }) => id === asked)
    if (!form || !isKnown) return { refused: `There is no vamp '${String(asked)}'.` }
    const [home, away] = [form.home, form.away].map(([at, suffix, bass]) => chordInKey(door.key, at, suffix, bass)) as [
      ReturnType<typeof chordInKey>,
      ReturnType<typeof chordInKey>,
    ]
    const isConnected = params['connected'] === true
    const lead = dominantInto(door)
    const bars = Array.from({ length: count }, (_, index) => {
      const own = index % 2 === 0 ? home : away
      return { chords: laidIn(door.first, isConnected && index === count - 1 ? [own, lead] : [own]) }
    })
    const pair = `${shown(home)}–${shown(away)}`
    return {
      bars,
      title: `Vamp ${pair}${isConnected ? ` with ${shown(lead)}` : ''}, ${lengthInWords(count)}`,
      says: `${shown(home)} and ${shown(away)} in turn, a bar each, set the groove${count >= 8 ? ' long enough to announce the tune over it' : ''}`,
      reason: [
        { rule: 'OP4', text: `two bars that go round: ${pair}` },
        { rule: 'OP11', text: 'metre, groove and tempo of bar 1 from the start' },
      ],
      suits:
        (form === forms[0] ? 0.7 : 0.58) + (isConnected ? 0.03 : 0) - (count === 2 ? 0.12 : count === 8 ? 0.04 : 0),
    }
  },
}
