/** Turnaround: the last four bars a band plays before it goes round again, here before the first time. */
import type { Chord } from '../../contract/index.js'
import { laidIn, lengthsWished } from '../bars.js'
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
    // Not m6: that is the same four notes as vi∅.
    [0, 'm7'],
    [9, 'm7b5'],
  ],
  blues: [
    [0, '7'],
    [9, '7b9'],
  ],
}
const HOME: { readonly [colour in Colour]: Degree } = { major: [0, 'maj7'], minor: [0, 'm6'], blues: [0, '7'] }

interface TurnLine {
  readonly id: string
  readonly name: string
  readonly chords: readonly Degree[]
}

/** Other four chords that come round, a bar each. Source: common practice. */
const LINES: { readonly [colour in Colour]: readonly TurnLine[] } = {
  major: [
    {
      id: 'I-VI-ii-V',
      name: 'I VI ii V',
      chords: [
        [0, 'maj7'],
        [9, '7b9'],
        [2, 'm7'],
        [7, '7'],
      ],
    },
    {
      id: 'I-bIII-bVI-bII',
      name: 'I ♭III ♭VI ♭II',
      chords: [
        [0, 'maj7'],
        [3, 'maj7'],
        [8, 'maj7'],
        [1, 'maj7'],
      ],
    },
    {
      id: 'iii-bIII-ii-bII',
      name: 'iii ♭iii ii ♭II',
      chords: [
        [4, 'm7'],
        [3, 'm7'],
        [2, 'm7'],
        [1, '7'],
      ],
    },
  ],
  minor: [
    {
      id: 'i-bVI-ii-V',
      name: 'i ♭VI ii∅ V',
      chords: [
        [0, 'm6'],
        [8, 'maj7'],
        [2, 'm7b5'],
        [7, '7b9'],
      ],
    },
    {
      id: 'i-bVII-bVI-V',
      name: 'i ♭VII ♭VI V',
      chords: [
        [0, 'm7'],
        [10, '7'],
        [8, 'maj7'],
        [7, '7b9'],
      ],
    },
  ],
  blues: [
    {
      id: 'I-VI-ii-V',
      name: 'I VI ii V',
      chords: [
        [0, '7'],
        [9, '7b9'],
        [2, 'm7'],
        [7, '7'],
      ],
    },
    {
      id: 'I-bIII-bVI-bII',
      name: 'I ♭III ♭VI ♭II',
      chords: [
        [0, '7'],
        [3, '7'],
        [8, '7'],
        [1, '7'],
      ],
    },
  ],
}

export const turnaround: OpeningIdea = {
  id: 'turnaround',
  rule: 'OP7',
  energy: 0.1,
  distance: 0.1,
  difficulty: 0.1,
  variants: () => [{ bars: 4 }, { bars: 2 }],
  wished: ({ colour }, wish) => [
    ...lengthsWished(wish, [8, 16]).map((bars) => ({ bars })),
    ...LINES[colour].slice(0, wish.more ?? 0).map(({ id }) => ({ bars: 4, line: id })),
  ],
  write: (door, params) => {
    const count = barsAsked(params)
    if (typeof count === 'string') return { refused: count }
    const asked = params['line']
    const line4 = LINES[door.colour].find(({ id }) => id === asked)
    const round = line4 ? lineInto(door, line4.chords) : turnaroundInto(door)
    const first = mod4(round.length - count)
    const bars = Array.from({ length: count }, (_, index) => round[mod4(first + index)] as readonly Chord[])
    const line = bars.slice(-4).map((chords) => chords.map(shown).join(' '))
    return {
      bars: bars.map((chords) => ({ chords: laidIn(door.first, chords) })),
      title: `Turnaround${line4 ? ` ${line4.name}` : ''}, ${lengthInWords(count)}`,
      says: `${line.join(', ')} come round as they would between two choruses`,
      reason: [
        {
          rule: 'OP7',
          text: line4
            ? `${line4.name}, the last of them before ${door.goal ? shown(door.goal) : 'bar 1'}`
            : `${wayRound(line, first)}ii and V of ${door.goal ? shown(door.goal) : 'the key'}`,
        },
        { rule: 'OP11', text: 'metre, groove and tempo of bar 1 from the start' },
      ],
      suits: (count === 4 ? 0.68 : 0.55) - (line4 ? 0.06 : 0),
    }
  },
}

/** What comes before the last bar's ii–V. */
function wayRound(line: readonly string[], first: number): string {
  if (line.length === 1) return ''
  if (first === 0) return 'ii–V, then back to '
  return `${line.slice(0, -1).join(', ')}, then `
}

/** A line as it is; before a first chord away from home its last bar leads there. */
function lineInto(door: Doorway, chords: readonly Degree[]): readonly (readonly Chord[])[] {
  const line = chords.map(([at, suffix]) => [chordInKey(door.key, at, suffix)])
  return isHome(door.goal, door.key) ? line : [...line.slice(0, 3), twoFiveInto(door)]
}

const mod4 = (index: number): number => ((index % 4) + 4) % 4

/** Four bars into the first chord; where the tune begins away from home, home is touched before its ii–V. */
function turnaroundInto(door: Doorway): readonly (readonly Chord[])[] {
  const { key, colour, goal } = door
  const [two, five] = homeTwoFive(key, colour)
  const turn = isHome(goal, key) ? TURNS[colour] : [HOME[colour]]
  return [[two], [five], turn.map(([at, suffix]) => chordInKey(key, at, suffix)), twoFiveInto(door)]
}
