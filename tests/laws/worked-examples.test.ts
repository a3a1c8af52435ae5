/** The worked examples along the whole path: the option is among those proposed for the tune, and compiling it plays exactly those bars. */
import { describe, expect, it } from 'vitest'
import {
  type ArrangedBar,
  type DecisionKind,
  type Option,
  type Plan,
  type SectionRef,
  type Tune,
  compile,
  defaultPlan,
  proposeOptions,
  validate,
} from '@chartloft/shared-theory'
import { rowDifferences } from '../fixtures/rows.js'
import { ferryBell, lanternSlip, slackTide } from '../fixtures/worked-rows.js'

const lantern = lanternSlip()
const [ferry, slack] = [ferryBell(), slackTide()]
const LAST_A: SectionRef = { passId: 'chorus-1', sectionId: 'A3' }

/** One chorus, so that tune bars and arranged bars count alike. */
function chorusOf(tune: Tune, id: 'chorus-1' | 'chorus-last'): Plan {
  const plan = defaultPlan(tune)
  return { ...plan, roadmap: plan.roadmap.filter((pass) => pass.id === id) }
}

interface Example {
  readonly name: string
  readonly tune: Tune
  readonly kind: DecisionKind
  readonly at?: SectionRef
  /** Recipe and parameters the proposed option has. */
  readonly recipe: string
  readonly params?: Option['params']
  readonly rows: string
  readonly len?: number
  readonly bars?: number
  readonly enharmonic?: true
}

/** The bars after the proposed option, and what stands against it in words. */
function follow({ tune, kind, at, recipe, params = {} }: Example): { bars: readonly ArrangedBar[]; faults: string[] } {
  const plan = chorusOf(tune, kind === 'ending' || kind === 'lift' ? 'chorus-last' : 'chorus-1')
  const options = proposeOptions(tune, kind, plan, at)
  const option = options.find(
    (each) =>
      each.recipe === recipe &&
      Object.entries(params).every(([name, value]) => JSON.stringify(each.params[name]) === JSON.stringify(value)),
  )
  if (!option) return { bars: [], faults: [`not proposed: ${recipe} ${JSON.stringify(params)}`] }
  const chosen = { ...plan, chosen: [{ kind, option, ...(option.at ? { at: option.at } : {}) }] }
  const { arrangement, issues } = compile(chosen)
  const faults = [...issues, ...validate(arrangement, { plan: chosen })]
    .filter(({ severity }) => severity === 'error')
    .map(({ code, message }) => `${code} ${message}`)
  return { bars: arrangement.bars, faults }
}

const harmony = (name: string, recipe: string, params: Option['params'], rows: string): Example => ({
  name,
  tune: lantern,
  kind: 'harmony',
  at: LAST_A,
  recipe,
  params,
  rows,
  bars: 32,
})
const opening = (name: string, recipe: string, params: Option['params'], chords: readonly string[]): Example => ({
  name,
  tune: lantern,
  kind: 'opening',
  recipe,
  params,
  rows: chords.map((field, index) => `${index + 1} | ${field} | r:4`).join('\n'),
  bars: 32 + chords.length,
})
const lift = (semitones: number, preparation: string, cell: string, at?: SectionRef): Example => ({
  name: `${semitones > 0 ? 'up' : 'down'} ${Math.abs(semitones)}, ${preparation}: ${cell}`,
  tune: lantern,
  kind: 'lift',
  ...(at ? { at } : {}),
  recipe: preparation,
  params: { semitones, aim: 'arrival' },
  rows: `${at ? 24 : 16} | ${cell} | =`,
  bars: 32,
})
const HELD = 'F4:4~'
const ending = (
  name: string,
  recipe: string,
  params: Option['params'],
  fields: readonly (readonly [chords: string, melody: string])[],
): Example => ({
  name,
  tune: lantern,
  kind: 'ending',
  recipe,
  params,
  rows: fields.map(([chords, melody], index) => `${31 + index} | ${chords} | ${melody}`).join('\n'),
  bars: 30 + fields.length,
})
const HOME = [
  ['F6', HELD],
  ['F6', 'F4:4'],
] as const
const TAIL = [
  ['Gm7', 'D5:1.5 C5:.5 Bb4:2'],
  ['C7', 'A4:2 G4:1 E4:1'],
] as const
const ROUND = [['F/A', HELD], ['D7#9', 'F4:4'], ...TAIL] as const

const EXAMPLES: readonly Example[] = [
  // Section 2: re-barring.
  {
    name: '2.1 to 3/4',
    tune: lantern,
    kind: 'groove',
    recipe: 'jazz-waltz',
    len: 3,
    bars: 32,
    rows: `1 | Fmaj7 | A4:2 F4:.5 G4:.5
5 | Gm7 | D5:1.5 C5:.5 Bb4:1
7 | F6 | F4:3~
16 | Cm7 F7@2 | F4:2 r:1
24 | C7 | C5:2 Bb4:1`,
  },
  {
    name: '2.2 to 7/4',
    tune: lantern,
    kind: 'groove',
    recipe: 'seven-4-even',
    len: 7,
    bars: 16,
    rows: `1 | Fmaj7 Dm7@4 | A4:2 F4:1 G4:1 C5:2.5 G4:.5
3 | Gm7 C7@4 | D5:1.5 C5:.5 Bb4:2 A4:2 G4:.5 E4:.5
9 | Bbmaj7 Eb7@4 | D5:3 F5:1 Db5:2.5 C5:.5
11 | G7 | G4:2 B4:1 D5:1 E5:2.5 D5:.5
12 | Gm7 C7@4 | F5:2 D5:1 Bb4:1 C5:2 Bb4:1`,
  },
  {
    name: '2.3 samba over the same bars',
    tune: lantern,
    kind: 'groove',
    recipe: 'samba',
    params: { tempoBpm: 104 },
    bars: 32,
    rows: '1 | Fmaj7 | =\n16 | Cm7 F7 | =\n29 | Gm7 | =',
  },
  {
    name: '2.4 a waltz to 4/4',
    tune: ferry,
    kind: 'groove',
    recipe: 'bossa',
    bars: 16,
    rows: '1 | Gm6 | D5:3 Bb4:1\n14 | Am7b5 D7b9@3 | C5:3 F#4:1',
  },
  {
    name: '2.4 a blues to 12/8',
    tune: slack,
    kind: 'groove',
    recipe: 'afro-12-8',
    len: 6,
    bars: 12,
    rows: '1 | Bb7 | r:1.5 F4:1.5 Ab4:1.5 Bb4:1.5\n4 | Bb7 | D5:2.5 Bb4:.5 r:3\n8 | G7b9 | D5:2.5 Ab4:.5 r:3',
  },
  {
    name: '2.4 to 5/4',
    tune: lantern,
    kind: 'groove',
    recipe: 'five-4',
    len: 5,
    bars: 32,
    rows: '1 | Fmaj7 | A4:3 F4:1 G4:1',
  },
  // Section 3: openings.
  opening('dominant pedal 8, rising', 'dominant-pedal', { bars: 8, form: 'rising' }, [
    'Fmaj7/C',
    'Gm7/C',
    'Am7/C',
    'Gm7/C',
    'Fmaj7/C',
    'Gm7/C',
    'Am7/C',
    'C7sus',
  ]),
  opening('dominant pedal 8, alternating', 'dominant-pedal', { bars: 8, form: 'alternating' }, [
    'Fmaj7/C',
    'Gbmaj7/C',
    'Fmaj7/C',
    'Gbmaj7/C',
    'Fmaj7/C',
    'Gbmaj7/C',
    'Fmaj7/C',
    'C7sus',
  ]),
  opening('dominant pedal 4', 'dominant-pedal', { bars: 4, form: 'rising' }, ['Fmaj7/C', 'Gm7/C', 'Am7/C', 'C7sus']),
  opening('vamp 4', 'vamp', { bars: 4 }, ['Fmaj7', 'Ebmaj7', 'Fmaj7', 'Ebmaj7 C7sus@2']),
  opening('turnaround 4', 'turnaround', { bars: 4 }, ['Gm7', 'C7', 'Am7 D7b9', 'Gm7 C7']),
  {
    name: 'quote 4',
    tune: lantern,
    kind: 'opening',
    recipe: 'quote',
    bars: 36,
    rows: '1 | Gm7 | D5:1.5 C5:.5 Bb4:2\n2 | C7 | A4:2 G4:1 E4:1\n3 | F6 | F4:4\n4 | Gm7 C7 | r:4',
  },
  // Section 4: new harmony.
  harmony('4.1', 'tritone-substitution', { where: 'cadence' }, '28 | C7 | =\n30 | Gb7alt | ='),
  harmony('4.2', 'related-ii', { bar: 0 }, '25 | Em7b5 A7b13 | ='),
  harmony('4.2 milder', 'related-ii', { bar: 1 }, '26 | Am7 D7 | ='),
  harmony('4.3 short', 'backdoor', { form: 'short' }, '30 | Eb7b9#11 | ='),
  harmony('4.3 delayed', 'backdoor', { form: 'delayed' }, '31 | Bbm7 Eb9 | =\n32 | F6 | ='),
  harmony('4.4', 'secondary-dominants', { where: 'all' }, '25 | Fmaj7 A7b13 | =\n26 | Dm7 D7 | =\n28 | C7 | ='),
  harmony('4.5', 'diminished-passing', { rate: 1 }, '27 | Am7 | =\n28 | Abdim7 | =\n29 | Gm7 | ='),
  harmony('4.6', 'modal-interchange', {}, '26 | Dbmaj7#11 | ='),
  harmony(
    '4.7',
    'chromatic-descent',
    { rate: 1, target: 4 },
    '25 | Bm7b5 | =\n26 | Bbm6 | =\n27 | F/A | =\n28 | Abdim7 | =\n29 | Gm7 | =\n30 | C7 | =',
  ),
  harmony(
    '4.7 to the tonic',
    'chromatic-descent',
    { rate: 1, target: 6 },
    '25 | Bm7b5 | =\n29 | Gm7 | =\n30 | Gb7alt | =\n31 | F6 | =',
  ),
  harmony('4.8', 'half-step-above', { form: 'delay' }, '31 | Dbmaj7 Eb9 | =\n32 | F6 | ='),
  harmony('4.8 in bar 28', 'half-step-above', { form: 'before-dominant' }, '28 | Dbmaj7 C7@3 | ='),
  {
    ...harmony(
      '4.9',
      'up-a-half-step',
      {},
      '25 | F#mmaj7 Eb7@3 | =\n26 | Eb13 | =\n27 | Ab7b9#11 | =\n28 | Db7#9#11 | =\n29 | Ab7#11 | =\n30 | Db7alt | =\n31 | Gbmaj7 | =\n32 | F6 | =',
    ),
    enharmonic: true,
  },
  // Section 5: lifts, before the last B and before the last A.
  lift(1, 'sus-dominant', 'F6 Gb7sus@2'),
  lift(1, 'dominant', 'F6 Gb7@2'),
  lift(1, 'two-five', 'F6 Dbm7@2 Gb7@3'),
  lift(1, 'tritone', 'F6 C7@2'),
  lift(2, 'sus-dominant', 'G7sus'),
  lift(2, 'dominant', 'G7'),
  lift(2, 'two-five', 'Dm7 G7'),
  lift(2, 'tritone', 'Db7'),
  lift(2, 'pivot', 'F6 Am7@2 G7@3'),
  lift(3, 'sus-dominant', 'Ab7sus'),
  lift(3, 'dominant', 'Ab7'),
  lift(3, 'two-five', 'Ebm7 Ab7'),
  lift(3, 'tritone', 'D7#9'),
  lift(4, 'sus-dominant', 'F6 A7sus@2'),
  lift(4, 'dominant', 'A7b13'),
  lift(4, 'two-five', 'F6 Em7@2 A7@3'),
  lift(4, 'tritone', 'Eb7'),
  lift(-2, 'sus-dominant', 'Eb7sus'),
  lift(-2, 'dominant', 'Eb7'),
  lift(-2, 'two-five', 'Bbm7 Eb7'),
  lift(-2, 'tritone', 'A7b13'),
  lift(2, 'direct', 'Cm7 F7'),
  lift(2, 'dominant', 'D7b13', { passId: 'chorus-last', sectionId: 'A3' }),
  lift(1, 'dominant', 'C7 Db7', { passId: 'chorus-last', sectionId: 'A3' }),
  {
    ...lift(2, 'sus-dominant', 'G7sus'),
    name: 'after the lift everything is a whole step up',
    rows: `17 | Cmaj7 | E5:3 G5:1
18 | F7 | Eb5:3 D5:1
20 | E7 | B4:3 G#4:1
21 | A7 | A4:2 C#5:1 E5:1
25 | Gmaj7 | B4:2 G4:1 A4:1
29 | Am7 | E5:1.5 D5:.5 C5:2
31 | G6 | G4:4~
32 | G6 | G4:4`,
  },
  // Section 6: endings.
  ...(
    [
      ['bII', 'Gbmaj7'],
      ['bIII', 'Abmaj7'],
      ['IV', 'Bbmaj7'],
      ['#IV', 'Bmaj7'],
      ['bVI', 'Dbmaj7'],
      ['bVII', 'Ebmaj7'],
    ] as const
  ).map(([degree, symbol]) =>
    ending(`delayed tonic over ${symbol}`, 'delayed-tonic', { chords: [degree], bars: 2 }, [
      [symbol, HELD],
      [symbol, HELD],
      ...HOME,
    ]),
  ),
  ending('two in a row', 'delayed-tonic', { chords: ['bVI', 'bII'], bars: 2 }, [
    ['Dbmaj7', HELD],
    ['Gbmaj7', HELD],
    ...HOME,
  ]),
  ending('chromatic descent, one a bar', 'chromatic-descent', { rate: 1, bars: 6 }, [
    ['Bm7b5', HELD],
    ['Bbm6', HELD],
    ['F/A', HELD],
    ['Abdim7', HELD],
    ['Gm7', HELD],
    ['Gbmaj7', HELD],
    ...HOME,
  ]),
  ending('chromatic descent, two a bar', 'chromatic-descent', { rate: 2, bars: 3 }, [
    ['Bm7b5 Bbm6', HELD],
    ['F/A Abdim7', HELD],
    ['Gm7 Gbmaj7', HELD],
    ...HOME,
  ]),
  ending('from a half step above, falling (4.8)', 'half-step-above', { bars: 2 }, [
    ['Dbmaj7 C7sus', HELD],
    ['B7#11 Bbmaj7', HELD],
    ...HOME,
  ]),
  ending('dominant pedal 4', 'dominant-pedal', { bars: 4 }, [
    ['Gm7/C', HELD],
    ['Dbmaj7/C', HELD],
    ['Gm7/C', HELD],
    ['Bbmaj7/C', HELD],
    ['F6/C', HELD],
    ['F6/C', 'F4:4'],
  ]),
  ending('tag three times', 'tag', { bars: 8 }, [...ROUND, ...ROUND, ...HOME]),
  {
    ...ending('vamp 8', 'vamp', { bars: 8 }, []),
    bars: 40,
    rows: [
      ...Array.from(
        { length: 8 },
        (_, index) => `${31 + index} | ${index % 2 === 0 ? 'F6' : 'Ebmaj7'} | ${index === 0 ? 'F4:4' : 'r:4'}`,
      ),
      `39 | F6 | ${HELD}`,
      '40 | F6 | F4:4',
    ].join('\n'),
  },
  { ...ending('button', 'button', {}, []), bars: 31, rows: '31 | F6 | F4:1 r:3' },
]

describe('[LW7] worked examples, proposed and compiled', () => {
  for (const example of EXAMPLES) {
    it(`${example.kind}: ${example.name}`, () => {
      const { bars, faults } = follow(example)
      expect(faults).toEqual([])
      const differences = example.rows
        .split('\n')
        .flatMap((row) =>
          rowDifferences(bars, row, { len: example.len ?? 4, ...(example.enharmonic ? { enharmonic: true } : {}) }),
        )
      expect(differences).toEqual([])
      expect(bars).toHaveLength(example.bars ?? bars.length)
    })
  }

  it('what the examples refuse is not proposed: no pivot without a common triad, no backdoor pair, no ∆ that has no room', () => {
    const lifts = proposeOptions(lantern, 'lift', chorusOf(lantern, 'chorus-last'))
    const pivots = lifts.filter(({ recipe }) => recipe === 'pivot').map(({ params }) => params['semitones'])
    expect(pivots.filter((semitones) => [1, 3, 4].includes(semitones as number))).toEqual([])
    const harmonies = proposeOptions(lantern, 'harmony', chorusOf(lantern, 'chorus-1'), LAST_A)
    expect(harmonies.filter(({ recipe, params }) => recipe === 'backdoor' && params['form'] === 'full')).toEqual([])
    const endings = proposeOptions(lantern, 'ending', chorusOf(lantern, 'chorus-last'))
    const degrees = endings.flatMap(({ recipe, params }) =>
      recipe === 'delayed-tonic' ? (params['chords'] as readonly string[]) : [],
    )
    expect(degrees.filter((degree) => ['II', 'III', 'V', 'VI', 'VII', 'I'].includes(degree))).toEqual([])
  })
})
