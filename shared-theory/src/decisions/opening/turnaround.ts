/** Turnaround: the last four bars a band plays before it goes round again, here before the first time. */
import type { Chord } from '../../contract/index.js'
import { laidIn } from '../bars.js'
import { type Colour, chordInKey } from '../key-colour.js'
import { shown } from '../lift/words.js'
import { homeTwoFive, isHome, twoFiveInto } from './arrival.js'
import { barsAsked, type Doorway, lengthInWords, type OpeningIdea } from './idea.js'

type Degree = readonly [semitones: number, suffix: string]

/** Third bar, which turns back to ii. Source: common practice: iii–VI in major, I–VI in a blues, i–vi∅ in minor. */
const TURNS: { readonly [colour in Colour]: readonly [Degree, Degree] } = {
  major: [
    [4, 'm7'],
    [9, '7b9'],
  ],
  minor: [
    [0, 'm6'],
    [9, 'm7b5'],
  ],
  blues: [
    [0, '7'],
    [9, '7b9'],
  ],
}
const HOME: { readonly [colour in Colour]: Degree } = { major: [0, 'maj7'], minor: [0, 'm6'], blues: [0, '7'] }

export const turnaround: OpeningIdea = {
  id: 'turnaround',
  rule: 'OP7',
  energy: 0.1,
  distance: 0.1,
  difficulty: 0.1,
  variants: () => [{ bars: 4 }, { bars: 2 }],
  write: (door, params) => {
    const count = barsAsked(params)
    if (typeof count === 'string') return { refused: count }
    const round = turnaroundInto(door)
    const first = mod4(round.length - count)
    const bars = Array.from({ length: count }, (_, index) => round[mod4(first + index)] as readonly Chord[])
    const line = bars.slice(-4).map((chords) => chords.map(shown).join(' '))
    return {
      bars: bars.map((chords) => ({ chords: laidIn(door.first, chords) })),
      title: `Turnaround, ${lengthInWords(count)}`,
      says: `${line.join(', ')} come round as they would between two choruses`,
      reason: [
        { rule: 'OP7', text: `ii–V, then back to ii and V of ${door.goal ? shown(door.goal) : 'the key'}` },
        { rule: 'OP11', text: 'metre, groove and tempo of bar 1 from the start' },
      ],
      suits: count === 4 ? 0.68 : 0.55,
    }
  },
}

const mod4 = (index: number): number => ((index % 4) + 4) % 4

/** Four bars into the first chord; where the tune begins away from home, home is touched before its ii–V. */
function turnaroundInto(door: Doorway): readonly (readonly Chord[])[] {
  const { key, colour, goal } = door
  const [two, five] = homeTwoFive(key, colour)
  const turn = isHome(goal, key) ? TURNS[colour] : [HOME[colour]]
  return [[two], [five], turn.map(([at, suffix]) => chordInKey(key, at, suffix)), twoFiveInto(door)]
}
