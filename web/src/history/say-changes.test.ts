import { describe, expect, it } from 'vitest'
import {
  type BoardState,
  comparePlans,
  type Difference,
  defaultPlan,
  type HandEdit,
  type Option,
  type Plan,
  proposeOptions,
  readTune,
} from '@chartloft/shared-theory'
import { EMPTY_STATE, planOfState } from '@chartloft/shared-theory/board'
import { moveWords } from '../words/en/compare.js'
import { compareWords } from '../words-compare.js'
import { sayBars, sayWhole } from './say-changes.js'

const A = '"F"c2A2 F2A2 | "Gm7"B2G2 "C7"E2G2 | "F"A2c2 "D7"f2d2 | "Gm7"B2d2 "C7"c2B2 |'
const B = '"Bb"d2f2 d2B2 | "Dm7"_d2f2 d2B2 | "F"c2f2 c2A2 | "G7"d2B2 "C7"G2B2 |'
const read = readTune(
  'abc',
  `X:1\nT:Hay Loft\nM:4/4\nL:1/8\nQ:1/4=132\nK:F\nP:A\n${A}\nP:A\n${A}\nP:B\n${B}\nP:A\n${A}\n`,
)
if (!read.ok) throw new Error('the tune reads')
const tune = read.value
const start = defaultPlan(tune)
const state = (changes: Partial<BoardState> = {}): BoardState => ({
  ...EMPTY_STATE,
  title: tune.title,
  tune,
  roadmap: start.roadmap,
  lineup: start.lineup,
  ...changes,
})
const planOf = (board: BoardState) => planOfState(board) as Plan
const tell = (before: BoardState, after: BoardState) => {
  const comparison = comparePlans(planOf(before), planOf(after))
  const sides = { before, after }
  return {
    count: compareWords.count(comparison.counts),
    whole: sayWhole(comparison, sides).map(({ topic, text }) => `${topic}: ${text}`),
    bars: sayBars(comparison, sides).map(({ place, texts }) => [place, ...texts]),
  }
}
const lastChorus = start.roadmap.at(-1)?.id ?? ''
const chord = (bar: number, symbol: string, pass = lastChorus, sectionId = 'B1'): HandEdit => ({
  kind: 'chord',
  at: { pass, sectionId, bar },
  metre: tune.metre,
  startTick: 0,
  symbol,
})
const lockOf = (option: Option): BoardState['locks'][number] => ({
  slot: { decision: option.kind, ...(option.at ? { at: option.at } : {}) },
  option,
  bars: [],
  tuneHash: '',
  seq: 2,
})
const option = (kind: Option['kind'], is: (one: Option) => boolean) => {
  const found = proposeOptions(tune, kind, start).find(is)
  if (!found) throw new Error(`an option for the ${kind}`)
  return found
}

describe('[UI50] a comparison reads as a musician would say it', () => {
  it('where, then what: chords with their signs', () => {
    const { count, bars, whole } = tell(state(), state({ edits: [chord(1, 'Ab7#9')] }))
    expect(count).toBe('1 bar changed; 47 bars as before.')
    expect(whole).toEqual([])
    expect(bars).toEqual([['Last chorus, B, bar 2', 'Dm7 became A♭7♯9']])
  })

  it('neighbours of a section stand together, a bar each, at most four', () => {
    const { bars } = tell(state(), state({ edits: [chord(0, 'Ebmaj7'), chord(1, 'Ab7'), chord(3, 'Db7')] }))
    expect(bars).toEqual([
      ['Last chorus, B, bars 1–2', 'Bar 1: B♭ became E♭maj7', 'Bar 2: Dm7 became A♭7'],
      ['Last chorus, B, bar 4', 'G7 became D♭7'],
    ])
  })

  it('every kind of difference has its words', () => {
    const said = (difference: Difference) => compareWords.difference(difference, (tick) => tick / 5040 + 1)
    expect(said({ kind: 'melody-moved', semitones: 2 })).toBe('melody a whole step up')
    expect(said({ kind: 'melody-note', before: 'A4', after: 'Bb4', tick: 5040 })).toBe('melody A4 became B♭4 on beat 2')
    expect(said({ kind: 'chord-time', symbol: 'G7', before: 10080, after: 15120 })).toBe('G7 comes on beat 4, not 3')
    expect(said({ kind: 'mark', after: 'on cue' })).toBe('“on cue” stands here')
    expect(said({ kind: 'mark', before: 'on cue' })).toBe('“on cue” no longer stands here')
    expect(said({ kind: 'bars', before: 1, after: 3 })).toBe('1 bar became 3')
    expect([-1, 12, -5, 14].map(moveWords)).toEqual([
      'a half step down',
      'an octave up',
      'a fourth down',
      'an octave and a whole step up',
    ])
  })

  it('key, metre, line-up and running order once, from where they hold', { timeout: 20_000 }, () => {
    expect(tell(state(), state({ key: 'Ab major' })).whole).toContain('Key: F major became A♭ major, a minor third up')
    const lift = option('lift', ({ params }) => params['semitones'] === 2)
    const lifted = tell(state(), state({ locks: [lockOf(lift)] }))
    expect(lifted.whole.find((text) => text.startsWith('Key'))).toMatch(
      /^Key: F major became G major, a whole step up, from Last chorus, (B|last A), bar 1 on$/,
    )
    const seven = option('groove', ({ params }) => params['metre'] === '7/4')
    const grooved = tell(state(), state({ locks: [lockOf(seven)] }))
    expect(grooved.whole).toContain('Metre: 4/4 became 7/4')
    expect([grooved.count, grooved.bars]).toEqual(['No bar has other chords or other notes.', []])
    const [, ...rest] = start.lineup
    const flute = { id: 'flute', instrument: 'flute', name: 'Flute', role: 'lead' as const }
    expect(tell(state(), state({ lineup: [flute, ...rest] })).whole).toEqual([
      'Line-up: Flute joins',
      'Line-up: Lead no longer plays',
      'Line-up: Flute has the tune, not Lead',
    ])
    const roadmap = start.roadmap.map((pass) => (pass.kind === 'solo' ? { ...pass, times: 2 } : pass))
    expect(tell(state(), state({ roadmap })).whole[0]).toBe(
      'Running order: Solos: A A B A, whoever likes, once became A A B A, whoever likes, twice',
    )
    expect(tell(state(), state({ roadmap: [...start.roadmap].reverse() })).whole).toEqual([
      'Running order: it goes First chorus, Solos, Last chorus',
    ])
  })

  it('what an opening adds is one stretch', () => {
    const opening = option('opening', ({ effects }) => effects?.addedBars === 4)
    const { bars, whole, count } = tell(state(), state({ locks: [lockOf(opening)] }))
    expect(bars).toEqual([['Opening, bars 1–4', '4 new bars']])
    expect(whole[0]).toMatch(/^Opening: /)
    expect(count).toBe('4 bars new; 48 bars as before.')
  })
})
