import { describe, expect, it } from 'vitest'
import { madeTune } from '../../../tests/fixtures/made-tunes.js'
import { LANTERN_SLIP } from '../../../tests/fixtures/worked-tunes.js'
import type { ArrangedBar, Chosen, HandEdit, Option, Plan } from '../contract/index.js'
import { LINEUPS } from '../instruments/index.js'
import { readTune } from '../read/index.js'
import { compile, compileForm, defaultPlan, nameOfBar } from './index.js'

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
  it('a later count begins from the tune, not from what an earlier one had cut', () => {
    const two: HandEdit = { kind: 'bars', at: { passId: 'solo-1', sectionId: 'B1' }, bars: 2 }
    const { bars, issues } = compileForm(withEdits([two, six]))
    expect(bars.filter(({ pass, sectionId }) => pass === 'solo-1' && sectionId === 'B1')).toEqual(
      compileForm(withEdits([six])).bars.filter(({ pass, sectionId }) => pass === 'solo-1' && sectionId === 'B1'),
    )
    expect(issues.map(({ code, path }) => `${code} ${path}`)).toEqual(['CO25 edits/0'])
  })
  it('in every repetition of the pass', () => {
    const roadmap = plan.roadmap.map((pass) => (pass.kind === 'solo' ? { ...pass, times: 3 } : pass))
    const given = { ...withEdits([six]), roadmap, lineup: LINEUPS['trio'] ?? plan.lineup }
    expect(['solo-1', 'solo-1#2', 'solo-1#3'].map((pass) => count(given, pass))).toEqual([6, 6, 6])
    expect(count(given, 'chorus-1')).toBe(8)
  })
})

describe('[CO14] an edit holds on to the bar of the tune it was made in', () => {
  const grooveOf = (groove: string, metre: string, maps?: readonly string[]): Chosen =>
    choice('groove', groove, { groove, metre, tempoBpm: 150, ...(maps ? { maps } : {}) })
  const seven = grooveOf('seven-4-even', '7/4')
  const five = grooveOf('five-4', '5/4')
  const long = grooveOf('samba', '4/4', ['44-long'])
  /** B1 of seven bars: where two are joined its last stands alone. */
  const shorter: Plan = {
    ...plan,
    tune: {
      ...plan.tune,
      sections: plan.tune.sections.map((section) => (section.id === 'B1' ? { ...section, bars: 7 } : section)),
    },
  }
  const under = (given: Plan, ...chosen: readonly Chosen[]): readonly ArrangedBar[] =>
    compileForm({ ...given, chosen }).bars
  const madeAt = (bars: readonly ArrangedBar[], place: number, startTick = 0): HandEdit => {
    const index = bars.findIndex(({ pass, sectionId }) => pass === at.pass && sectionId === at.sectionId) + place
    const name = nameOfBar(bars, index)
    if (!name) throw new Error('the bar has a name')
    return { kind: 'chord', at: name, metre: (bars[index] as ArrangedBar).metre, startTick, symbol: 'F#7#9' }
  }
  /** 'tune bar in B1, tick' of the edited chord. */
  const landsAt = (given: Plan, edit: HandEdit, ...chosen: readonly Chosen[]): string => {
    const { bars, issues } = compileForm({ ...given, chosen, edits: [edit] })
    if (issues.length > 0) return issues[0]?.message ?? ''
    const index = bars.findIndex(({ provenance }) => provenance.rule === 'CO7')
    const chord = bars[index]?.chords.find((placed) => placed.chord.symbol === 'F#7#9')
    const { ofSection, part } = nameOfBar(bars, index) ?? { ofSection: -1 }
    return `${ofSection}${part === undefined ? '' : `.${part}`} at ${chord?.startTick}`
  }

  it('names say which bar of the section, and which half of a doubled one', () => {
    const name = (bars: readonly ArrangedBar[], place: number) => (madeAt(bars, place) as { at: object }).at
    expect(name(under(plan), 5)).toEqual({ ...at, bar: 5, ofSection: 5 })
    expect(name(under(plan, seven), 2)).toEqual({ ...at, bar: 2, ofSection: 4 })
    expect(name(under(plan, long), 11)).toEqual({ ...at, bar: 11, ofSection: 5, part: 1 })
  })
  it('a bar alone among joined ones is found by the tune bar, under any groove', () => {
    const joined = under(shorter, seven)
    const edit = madeAt(joined, 3)
    expect((joined[0] as ArrangedBar).metre.beats).toBe(7)
    expect(edit).toMatchObject({ at: { bar: 3, ofSection: 6 }, metre: { beats: 4 } })
    expect(landsAt(shorter, edit, seven)).toBe('6 at 0')
    expect(landsAt(shorter, edit)).toBe('6 at 0')
    expect(landsAt(shorter, edit, five)).toBe('6 at 0')
    expect(landsAt(shorter, edit, long)).toBe('6.0 at 0')
  })
  it('through bars doubled in the same metre, there and back', () => {
    // Beat three of bar 6 is the first beat of the second half.
    expect(landsAt(plan, madeAt(under(plan), 5, 10080), long)).toBe('5.1 at 0')
    expect(landsAt(plan, madeAt(under(plan, long), 11), long)).toBe('5.1 at 0')
    expect(landsAt(plan, madeAt(under(plan, long), 11))).toBe('5 at 10080')
    expect(landsAt(plan, madeAt(under(plan, long), 0, 10080))).toBe('0 at 5040')
  })
  it('where the first bar of all stands alone in its own metre', () => {
    const mixed: Plan = {
      ...plan,
      tune: {
        ...plan.tune,
        bars: plan.tune.bars.map((bar, index) =>
          index === (plan.tune.sections[0]?.startBar ?? 0)
            ? { ...bar, metre: { beats: 2, beatType: 4 }, lengthTicks: 10080, melody: [], chords: [] }
            : bar,
        ),
      },
    }
    expect(
      under(mixed, five)
        .slice(0, 2)
        .map(({ metre }) => metre.beats),
    ).toEqual([2, 5])
    expect(landsAt(mixed, madeAt(under(mixed), 2, 5040), five)).toBe('2 at 10080')
  })
  it('a tune bar that is not played any more is said', () => {
    const edit = madeAt(under(plan), 7)
    expect(landsAt(shorter, edit)).toBe(
      'Last chorus, B1, bar 8: your chord F#7#9 is set aside. The bar it was made in is not played any more.',
    )
  })
  it('two bars that become one: the edit that gives way is named by its own bar', () => {
    const edits = [madeAt(under(plan), 4), madeAt(under(plan, seven), 2)]
    expect(
      compileForm({ ...plan, chosen: [seven], edits }).issues.map(({ path, message }) => `${path} ${message}`),
    ).toEqual([
      'edits/0 Last chorus, B1, bar 5: your edit of Last chorus, B1, bar 3, which is in the same place now, stands instead of this one.',
    ])
  })
  it('an edit that does not read is named by its bar', () => {
    const broken = { ...madeAt(under(plan), 2), symbol: 7 } as unknown as HandEdit
    expect(compileForm({ ...plan, edits: [broken] }).issues.map(({ message }) => message)).toEqual([
      "Last chorus, B1, bar 3: this hand edit can't be read and is set aside; make it again.",
    ])
  })
})

describe('[CO12] a groove that makes more bars of one', () => {
  it('six bars of 7/4 are twenty-four of 6/8', () => {
    const tune = madeTune(3)
    const six: HandEdit = { kind: 'bars', at: { passId: 'solo-1', sectionId: 'B1' }, bars: 6 }
    const ballad = choice('groove', 'ballad-6-8', { groove: 'ballad-6-8', metre: '6/8', tempoBpm: 75 })
    const { bars, issues } = compileForm({ ...defaultPlan(tune), edits: [six], chosen: [ballad] })
    expect(bars.filter(({ pass, sectionId }) => pass === 'solo-1' && sectionId === 'B1')).toHaveLength(24)
    expect(issues).toEqual([])
  })
})
