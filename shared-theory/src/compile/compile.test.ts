import { describe, expect, it } from 'vitest'
import { FERRY_BELL, LANTERN_SLIP, SLACK_TIDE } from '../../../tests/fixtures/worked-tunes.js'
import type { ArrangedBar, Plan, Tune } from '../contract/index.js'
import { readTune } from '../read/index.js'
import { barTicks } from '../units/index.js'
import { compile, compileForm, compilePartly, defaultPlan, planHash } from './index.js'

function tuneOf(abc: string): Tune {
  const read = readTune('abc', abc)
  if (!read.ok) throw new Error(JSON.stringify(read.issues))
  return read.value
}

const lantern = tuneOf(LANTERN_SLIP)
const plan = defaultPlan(lantern)

describe('[CO1] a plan with nothing chosen plays the tune as written', () => {
  const { arrangement, issues } = compile(plan)
  it('three passes of thirty-two bars, no issue', () => {
    expect(issues).toEqual([])
    expect(arrangement.bars).toHaveLength(96)
    expect(arrangement.bars.map((bar) => bar.barIndex)).toEqual(Array.from({ length: 96 }, (_, index) => index))
    expect([...new Set(arrangement.bars.map((bar) => bar.pass))]).toEqual(['chorus-1', 'solo-1', 'chorus-last'])
  })
  it('melody and chords of a chorus are the tune, with the source of each note', () => {
    const first = arrangement.bars[0] as ArrangedBar
    expect(first.melody.map((note) => [note.name, note.startTick, note.source])).toEqual([
      ['A4', 0, { bar: 0, index: 0 }],
      ['F4', 10080, { bar: 0, index: 1 }],
      ['G4', 15120, { bar: 0, index: 2 }],
    ])
    expect(first.chords.map((placed) => placed.chord.symbol)).toEqual(['Fmaj7'])
  })
  it('a solo pass has chords and no melody', () => {
    expect(arrangement.bars.slice(32, 64).every((bar) => bar.melody.length === 0)).toBe(true)
    expect(arrangement.bars[32]?.chords).toEqual(arrangement.bars[0]?.chords)
  })
  it('every part of the line-up has a key in every bar, in line-up order', () => {
    for (const bar of arrangement.bars) expect(Object.keys(bar.parts)).toEqual(plan.lineup.map((part) => part.id))
  })
})

describe('[CO2] the same plan gives the same bytes, and plain JSON', () => {
  for (const abc of [LANTERN_SLIP, FERRY_BELL, SLACK_TIDE]) {
    const one = defaultPlan(tuneOf(abc))
    it(one.tune.title, () => {
      const text = JSON.stringify(compile(one).arrangement)
      expect(JSON.stringify(compile(JSON.parse(JSON.stringify(one)) as Plan).arrangement)).toBe(text)
      expect(JSON.stringify(JSON.parse(text))).toBe(text)
      expect(planHash(JSON.parse(JSON.stringify(one)) as Plan)).toBe(planHash(one))
    })
  }
})

describe('[CO3] chords tile every bar', () => {
  it('first at 0, durations summing to the bar', () => {
    for (const abc of [LANTERN_SLIP, FERRY_BELL, SLACK_TIDE])
      for (const bar of compileForm(defaultPlan(tuneOf(abc))).bars) {
        expect(bar.chords[0]?.startTick).toBe(0)
        expect(bar.chords.reduce((sum, placed) => sum + placed.durationTicks, 0)).toBe(bar.lengthTicks)
      }
  })
})

const PICKUP = `X:1
T:Mooring
M:4/4
L:1/4
K:C
C D | "C"E2 G2 | "F"A4 | "G7"G2 F2 | "C"E2 |]
`

describe('[CO4] a pickup leads into every chorus', () => {
  const tune = tuneOf(PICKUP)
  it('short at the very start, later the end of the bar before, short again at the close', () => {
    const { bars } = compileForm({
      ...defaultPlan(tune),
      roadmap: [{ id: 'a', kind: 'chorus', sections: tune.sections.map((section) => section.id), times: 2 }],
    })
    expect(bars[0]?.lengthTicks).toBe(10080)
    expect(bars).toHaveLength(9)
    const joined = bars[4] as ArrangedBar
    expect(joined.lengthTicks).toBe(barTicks(joined.metre))
    expect(joined.melody.map((note) => [note.name, note.startTick])).toEqual([
      ['E4', 0],
      ['C4', 10080],
      ['D4', 15120],
    ])
    expect(bars[8]?.lengthTicks).toBe(10080)
  })
})

describe('[CO5] the key asked for moves everything, the short way', () => {
  it('F to D major goes down a minor third', () => {
    const { bars } = compileForm({ ...plan, key: 'D major' })
    expect(bars[0]?.melody.map((note) => note.name)).toEqual(['F#4', 'D4', 'E4'])
    expect(bars[0]?.key.key).toBe('D major')
    expect(bars[0]?.chords[0]?.chord.symbol).toBe('Dmaj7')
  })
  it('a key of the other mode is refused in words', () => {
    const { issues } = compileForm({ ...plan, key: 'D minor' })
    expect(issues.map((found) => [found.code, found.severity, found.path])).toEqual([['CO6', 'error', 'key']])
  })
})

describe('[CO6] what a plan gets wrong is named, and the bars stay', () => {
  const option = {
    id: 'x',
    kind: 'harmony',
    recipe: 'nonesuch',
    title: 'Nonesuch',
    params: {},
    summary: '',
    reason: [],
    score: 0,
  } as const
  it('unknown recipe, pass, section, times', () => {
    const { bars, issues } = compileForm({
      ...plan,
      roadmap: [{ id: 'c', kind: 'chorus', sections: ['A1', 'Z9'], times: 99 }],
      chosen: [
        { kind: 'harmony', option },
        { kind: 'harmony', at: { passId: 'nowhere' }, option },
        { kind: 'groove', option: { ...option, kind: 'groove' } },
      ],
    })
    expect(bars).toHaveLength(8)
    expect(new Set(issues.map((found) => `${found.code} ${found.path}`))).toEqual(
      new Set([
        'CO10 chosen/0',
        'CO10 chosen/2',
        'CO11 chosen/1/at',
        'CO4 roadmap/0/times',
        'CO5 roadmap/0/sections/1',
      ]),
    )
  })
  it('an empty running order', () => {
    expect(compile({ ...plan, roadmap: [] }).issues.map((found) => found.code)).toEqual(['CO3'])
  })
})

describe('[CO7] hand edits come last, or are set aside with a word', () => {
  const at = { pass: 'chorus-1', sectionId: 'A1', bar: 3 }
  const metre = { beats: 4, beatType: 4 } as const
  it('a chord replaces from its tick to the next', () => {
    const { bars, issues } = compileForm({
      ...plan,
      edits: [{ kind: 'chord', at, metre, startTick: 10080, symbol: 'Gb7b9' }],
    })
    expect(issues).toEqual([])
    expect(bars[3]?.chords.map((placed) => [placed.chord.symbol, placed.startTick, placed.durationTicks])).toEqual([
      ['C7', 0, 10080],
      ['Gb7b9', 10080, 10080],
    ])
    expect(bars[2]?.chords).toEqual(compileForm(plan).bars[2]?.chords)
  })
  it('nonsense keeps the bar and names edit and place', () => {
    const { bars, issues } = compileForm({
      ...plan,
      edits: [{ kind: 'chord', at, metre, startTick: 0, symbol: 'Hm??' }],
    })
    expect(bars[3]?.chords.map((placed) => placed.chord.symbol)).toEqual(['C7'])
    expect(issues[0]?.path).toBe('edits/0')
    expect(issues[0]?.message).toContain('A1, bar 4')
  })
  it('a section made longer is made of full bars, its short closing bar too', () => {
    const tune = tuneOf(PICKUP)
    const sectionId = tune.sections.at(-1)?.id ?? ''
    const edits = [{ kind: 'bars', at: { passId: 'chorus-last', sectionId }, bars: 9 }] as const
    const { bars, issues } = compileForm({ ...defaultPlan(tune), edits })
    expect(issues).toEqual([])
    expect(bars.slice(1).filter((bar) => bar.lengthTicks !== barTicks(bar.metre))).toEqual([])
  })
  it('a bar that is not played any more', () => {
    const { issues } = compileForm({
      ...plan,
      edits: [{ kind: 'chord', at: { ...at, bar: 40 }, metre, startTick: 0, symbol: 'C7' }],
    })
    expect(issues.map((found) => found.code)).toEqual(['CO21'])
  })
})

describe('[CO1] parts asked for one by one', () => {
  it('are note for note those of the whole band; who is not in it plays nothing', () => {
    const { arrangement } = compile(plan)
    const { part } = compilePartly(plan)
    for (const { id } of plan.lineup) expect(part(id), id).toEqual(arrangement.bars.map(({ parts }) => parts[id]))
    expect(part('nobody')).toEqual([])
  })
})
