import { describe, expect, it } from 'vitest'
import { LANTERN_SLIP } from '../../../tests/fixtures/worked-tunes.js'
import type { ArrangedBar, Chosen, HandEdit, Option, Plan } from '../contract/index.js'
import { LINEUPS } from '../instruments/index.js'
import { readTune } from '../read/index.js'
import { compile, compileForm, defaultPlan } from './index.js'

const read = readTune('abc', LANTERN_SLIP)
if (!read.ok) throw new Error(read.issues[0]?.message)
const plan = defaultPlan(read.value)
const METRE = { beats: 4, beatType: 4 } as const
const at = { pass: 'chorus-last', sectionId: 'B1', bar: 1 }

const choice = (kind: Option['kind'], recipe: string, params: Option['params'], place?: Option['at']): Chosen => ({
  kind,
  option: {
    id: `${kind}-${recipe}`,
    kind,
    recipe,
    title: recipe,
    params,
    summary: '',
    reason: [],
    score: 1,
    ...(place ? { at: place } : {}),
  },
})
const lifted = choice(
  'lift',
  'sus-dominant',
  { semitones: 2, preparation: 'sus-dominant' },
  { passId: 'chorus-last', sectionId: 'B1' },
)
const withEdits = (edits: readonly HandEdit[], ...chosen: readonly Chosen[]): Plan => ({ ...plan, edits, chosen })
const barAt = (bars: readonly ArrangedBar[], place: typeof at): ArrangedBar =>
  bars.filter(({ pass, sectionId }) => pass === place.pass && sectionId === place.sectionId)[place.bar] as ArrangedBar
const chordsAt = (given: Plan, place = at): readonly string[] =>
  barAt(compileForm(given).bars, place).chords.map(({ chord }) => chord.symbol)

describe('[CO10] an edit was made in the key it was seen in', () => {
  const seenInF: HandEdit = { kind: 'chord', at, metre: METRE, key: 'F major', startTick: 0, symbol: 'Abm6' }
  it('made before the lift it moves with the lift', () => {
    expect(chordsAt(withEdits([seenInF]))).toEqual(['Abm6'])
    expect(chordsAt(withEdits([seenInF], lifted))).toEqual(['Bbm6'])
  })
  it('made after the lift it goes back down where the lift is taken away', () => {
    const seenInG: HandEdit = { ...seenInF, key: 'G major', symbol: 'Bbm6' }
    expect(chordsAt(withEdits([seenInG], lifted))).toEqual(['Bbm6'])
    expect(chordsAt(withEdits([seenInG]))).toEqual(['Abm6'])
  })
  it('the band in another key: chord, melody and voicing move, the voicing with the chord it was made for', () => {
    const notes = [{ startTick: 0, durationTicks: 10080, midi: 68, name: 'Ab4', grace: ['G4'] }]
    const edits: readonly HandEdit[] = [
      seenInF,
      { kind: 'melody', at, metre: METRE, key: 'F major', notes },
      {
        kind: 'voicing',
        at: { ...at, bar: 0 },
        metre: METRE,
        key: 'F major',
        over: 'Bbmaj7',
        startTick: 0,
        partId: 'piano',
        midi: [50, 57, 60, 65],
      },
    ]
    const { arrangement, issues } = compile({ ...withEdits(edits), key: 'D major' })
    expect(issues).toEqual([])
    const bar = barAt(arrangement.bars, at)
    expect(bar.chords.map(({ chord }) => chord.symbol)).toEqual(['Fm6'])
    expect(bar.melody).toEqual([{ startTick: 0, durationTicks: 10080, midi: 65, name: 'F4', grace: ['E4'] }])
    const piano = barAt(arrangement.bars, { ...at, bar: 0 }).parts['piano'] ?? []
    expect(new Set(piano.map(({ midi }) => midi))).toEqual(new Set([47, 54, 57, 62]))
  })
  it('an edit without a key stands as it is written', () => {
    const { key: _key, ...plain } = seenInF
    expect(chordsAt(withEdits([plain as HandEdit], lifted))).toEqual(['Abm6'])
  })
})

describe('[CO11] nothing made by hand is lost in silence', () => {
  const said = (edits: readonly HandEdit[], ...chosen: readonly Chosen[]): readonly string[] =>
    compile(withEdits(edits, ...chosen)).issues.map(({ code, path, message }) => `${code} ${path} ${message}`)
  const voicing: HandEdit = {
    kind: 'voicing',
    at,
    metre: METRE,
    startTick: 0,
    partId: 'piano',
    midi: [50, 55, 61, 65],
  }

  it('an opening that is not chosen, or has its own length', () => {
    const eight: HandEdit = { kind: 'bars', at: 'opening', bars: 8 }
    expect(said([eight])).toEqual([
      'CO23 edits/0 The opening does not get the 8 bars asked for: no opening is chosen. Choose one, or take the edit back.',
    ])
    expect(said([eight], choice('opening', 'dominant-pedal', { bars: 4 }))).toEqual([])
    expect(compileForm(withEdits([eight], choice('opening', 'dominant-pedal', { bars: 4 }))).bars).toHaveLength(104)
  })
  it('a voicing for somebody who plays no chords, for a chord that is gone, for nobody', () => {
    expect(said([{ ...voicing, partId: 'bass' }])[0]).toMatch(
      /^CO24 edits\/0 Last chorus, B1, bar 2: your voicing for bass/,
    )
    expect(said([{ ...voicing, over: 'A7' }])).toEqual([
      'CO22 edits/0 Last chorus, B1, bar 2: your voicing for piano is set aside. It was made for A7, and Eb7 stands there now.',
    ])
    expect(said([{ ...voicing, over: 'Eb7' }])).toEqual([])
    expect(said([{ ...voicing, partId: 'kazoo' }])[0]).toContain("Nobody called 'kazoo' plays in this line-up.")
  })
  it('of two edits of one place the later stands, and that is said of the earlier', () => {
    const chord: HandEdit = { kind: 'chord', at, metre: METRE, startTick: 0, symbol: 'Am7' }
    const edits = [chord, { ...chord, symbol: 'Em7' }]
    expect(chordsAt(withEdits(edits))).toEqual(['Em7'])
    expect(said(edits)).toEqual([
      'CO25 edits/0 Last chorus, B1, bar 2: a later edit of the same place stands instead of this one.',
    ])
  })
  it('notes that overlap', () => {
    const note = { startTick: 0, durationTicks: 10080, midi: 60, name: 'C4' }
    const notes = [note, { ...note, startTick: 5040 }]
    expect(said([{ kind: 'melody', at, metre: METRE, notes }])[0]).toContain(
      'C4 begins before the note before it is over.',
    )
  })
  it('a bar of a section that has been cut', () => {
    const cut: HandEdit = { kind: 'bars', at: { passId: 'chorus-last', sectionId: 'B1' }, bars: 4 }
    const [first] = said([cut, { ...voicing, at: { ...at, bar: 5 } }])
    expect(first).toMatch(/^CO21 edits\/1 Last chorus, B1, bar 6: your voicing for piano is set aside\./)
  })
})

describe('[CO12] bars of a section are counted as the tune counts them', () => {
  const count = (given: Plan, pass: string): number =>
    compileForm(given).bars.filter((bar) => bar.pass === pass && bar.sectionId === 'B1').length
  const six: HandEdit = { kind: 'bars', at: { passId: 'solo-1', sectionId: 'B1' }, bars: 6 }
  const seven = choice('groove', 'seven-4-even', { groove: 'seven-4-even', metre: '7/4', tempoBpm: 150 })

  it('where two are joined, six are three, and an odd one is said', () => {
    expect(count(withEdits([six]), 'solo-1')).toBe(6)
    expect(compileForm(withEdits([], seven)).bars).toHaveLength(48)
    expect(count(withEdits([six], seven), 'solo-1')).toBe(3)
    const { issues } = compileForm(withEdits([{ ...six, bars: 5 }], seven))
    expect(issues.map(({ code, path }) => `${code} ${path}`)).toEqual(['CO23 edits/0'])
    expect(issues[0]?.message).toContain('5 bars of the tune')
  })
  it('in every repetition of the pass', () => {
    const roadmap = plan.roadmap.map((pass) => (pass.kind === 'solo' ? { ...pass, times: 3 } : pass))
    const given = { ...withEdits([six]), roadmap, lineup: LINEUPS['trio'] ?? plan.lineup }
    expect(['solo-1', 'solo-1#2', 'solo-1#3'].map((pass) => count(given, pass))).toEqual([6, 6, 6])
    expect(count(given, 'chorus-1')).toBe(8)
  })
})
