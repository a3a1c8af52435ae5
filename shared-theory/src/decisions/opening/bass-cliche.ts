/** Falling bass: under a tonic that stays, the bass goes 8 7 ♭7 6 by half steps. */
import type { Chord } from '../../contract/index.js'
import { bassOf } from '../../chords/index.js'
import { show } from '../../fit/index.js'
import { laidIn, lengthsWished } from '../bars.js'
import { type Colour, chordInKey } from '../key-colour.js'
import { shown } from '../lift/words.js'
import { dominantInto } from './arrival.js'
import { barsAsked, lengthInWords, type OpeningIdea } from './idea.js'

/** Suffix and bass (semitones above the tonic) of the four chords. Source: common practice. */
const LINES: { readonly [colour in Exclude<Colour, 'blues'>]: readonly (readonly [suffix: string, bass: number])[] } = {
  major: [
    ['', 0],
    ['maj7', 11],
    ['7', 10],
    ['6', 9],
  ],
  minor: [
    ['m', 0],
    ['mmaj7', 11],
    ['m7', 10],
    ['m6', 9],
  ],
}

const WHOLE_LINE = 4

export const bassCliche: OpeningIdea = {
  id: 'bass-cliche',
  rule: 'OP10',
  energy: -0.1,
  distance: 0.15,
  difficulty: 0.15,
  variants: ({ colour }) =>
    colour === 'blues'
      ? 'The falling bass needs a major seventh under the tonic, which a blues does not have.'
      : [{ bars: 4 }],
  wished: ({ colour }, wish) =>
    colour === 'blues'
      ? []
      : lengthsWished(wish, [8, 2, 16])
          // A line begins at its top.
          .filter((bars) => bars === 2 || bars % WHOLE_LINE === 0)
          .map((bars) => ({ bars })),
  write: (door, params) => {
    const count = barsAsked(params)
    if (typeof count === 'string') return { refused: count }
    // A plan made on another tune may ask for it in a blues: the seventh chord then stays out of the line.
    const line = LINES[door.colour === 'minor' ? 'minor' : 'major'].map(([suffix, bass]) =>
      chordInKey(door.key, 0, suffix, bass),
    )
    const lead = dominantInto(door)
    const bars = barsOf(line, count, lead)
    const basses = line.map((chord) => show(bassOf(chord) ?? chord.root))
    return {
      bars: bars.map((chords) => ({ chords: laidIn(door.first, chords) })),
      title: `Falling bass ${basses.join(' ')}, ${lengthInWords(count)}`,
      says: `under ${shown(line[0] as Chord)} the bass falls ${basses.join(' ')}`,
      reason: [
        { rule: 'OP10', text: `8 7 ♭7 6 of the key in the bass: ${basses.join(' ')}` },
        { rule: 'OP11', text: 'metre, groove and tempo of bar 1 from the start' },
      ],
      suits: count === 4 ? 0.6 : 0.48,
    }
  },
}

/** One chord a bar, two where there are only two bars; gone round as often as it takes, the dominant in the last half bar. */
function barsOf(line: readonly Chord[], count: number, lead: Chord): readonly (readonly Chord[])[] {
  if (count === 1) return [[line[0] as Chord, lead]]
  if (count === 2) return [line.slice(0, 2), [line[3] as Chord, lead]]
  return Array.from({ length: count }, (_, index) => {
    const own = line[(index + 4 - (count % 4)) % 4] as Chord
    return index === count - 1 ? [own, lead] : [own]
  })
}
