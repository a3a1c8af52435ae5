import { describe, expect, it } from 'vitest'
import { compileForm, defaultPlan } from '../compile/index.js'
import type { Chosen, DecisionKind, HandEdit, Option, Plan } from '../contract/index.js'
import { proposeOptions } from '../propose/index.js'
import { readTune } from '../read/index.js'
import { must } from '../units/index.js'
import { comparePlans } from './compare.js'
import type { Comparison, WholeChange } from './shape.js'

const A = '"F"c2A2 F2A2 | "Gm7"B2G2 "C7"E2G2 | "F"A2c2 "D7"f2d2 | "Gm7"B2d2 "C7"c2B2 |'
const B = '"Bb"d2f2 d2B2 | "Bbm6"_d2f2 d2B2 | "F"c2f2 c2A2 | "G7"d2B2 "C7"G2B2 |'
const CLOSE = '"F"A2c2 f2a2 | "Gm7"g2e2 "C7"c2e2 | "F"f4 "C7"c4 | "F"f8 |]'
const read = readTune('abc', `X:1\nT:Hay Loft\nM:4/4\nL:1/8\nQ:1/4=132\nK:F\n${A}\n${A}\n${B}\n${CLOSE}\n`)
const TUNE = must(read.ok ? read.value : undefined, 'the tune reads')
const PLAN = defaultPlan(TUNE)
const BARS = compileForm(PLAN).bars
const FIRST = must(BARS[0], 'a first bar')

const known = new Map<DecisionKind, readonly Option[]>()
function optionsOf(kind: DecisionKind): readonly Option[] {
  const options = known.get(kind) ?? proposeOptions(TUNE, kind, PLAN)
  known.set(kind, options)
  return options
}
const optionWhere = (kind: DecisionKind, is: (option: Option) => boolean): Option =>
  must(optionsOf(kind).find(is), `an option for the ${kind}`)
const withOption = (option: Option, plan: Plan = PLAN): Plan => ({
  ...plan,
  chosen: [...plan.chosen, { kind: option.kind, option, ...(option.at ? { at: option.at } : {}) } satisfies Chosen],
})
const chordEdit = (bar: number, symbol: string, startTick = 0, pass = 'chorus-1'): HandEdit => ({
  kind: 'chord',
  at: { pass, sectionId: FIRST.sectionId, bar },
  metre: FIRST.metre,
  startTick,
  symbol,
})
const kinds = ({ whole }: Comparison): readonly string[] => whole.map(({ kind }) => kind)
const told = <K extends WholeChange['kind']>({ whole }: Comparison, kind: K) =>
  whole.filter((change): change is Extract<WholeChange, { kind: K }> => change.kind === kind)

describe('[CP1] bar by bar', () => {
  it('a plan and itself have nothing to tell', () => {
    for (const option of [...optionsOf('groove'), ...optionsOf('ending'), ...optionsOf('opening')].slice(0, 12)) {
      const { whole, changes, counts } = comparePlans(withOption(option), withOption(option))
      expect([whole, changes, counts.changed, counts.added, counts.gone]).toEqual([[], [], 0, 0, 0])
    }
  })

  it('one chord is one bar, with what gave way to what', () => {
    const found = comparePlans(PLAN, { ...PLAN, edits: [chordEdit(1, 'Dbmaj7')] })
    expect(found.whole).toEqual([])
    expect(found.counts).toMatchObject({ changed: 1, added: 0, gone: 0, alike: BARS.length - 1 })
    expect(found.changes).toEqual([
      {
        kind: 'changed',
        before: [1],
        after: [1],
        differences: [{ kind: 'chords', before: ['Gm7'], after: ['Dbmaj7'] }],
        again: 0,
      },
    ])
  })

  it('melody: a note named, a line moved, another rhythm', () => {
    const notes = must(BARS[0], 'bar 1').melody.map(({ source: _source, ...note }) => note)
    const melody = (changed: typeof notes): Plan => ({
      ...PLAN,
      edits: [
        {
          kind: 'melody',
          at: { pass: FIRST.pass, sectionId: FIRST.sectionId, bar: 0 },
          metre: FIRST.metre,
          notes: changed,
        },
      ],
    })
    const differences = (changed: typeof notes) =>
      comparePlans(PLAN, melody(changed)).changes.map((one) => one.differences)
    expect(
      differences(notes.map((note, index) => (index === 1 ? { ...note, midi: note.midi + 1, name: 'Bb4' } : note))),
    ).toEqual([[{ kind: 'melody-note', before: 'A4', after: 'Bb4', tick: 5040 }]])
    expect(
      differences(notes.map((note) => ({ ...note, midi: note.midi + 12, name: note.name.replace('4', '5') }))),
    ).toEqual([[{ kind: 'melody-moved', semitones: 12 }]])
    expect(differences(notes.map((note, index) => (index === 0 ? { ...note, durationTicks: 2520 } : note)))).toEqual([
      [{ kind: 'melody-rhythm' }],
    ])
    expect(differences([])).toEqual([[{ kind: 'melody-gone' }]])
  })

  it('the harmony’s bars and no others', () => {
    const option = optionWhere('harmony', ({ recipe }) => recipe !== 'as-written')
    const found = comparePlans(PLAN, withOption(option))
    expect(told(found, 'choice')).toMatchObject([{ decision: 'harmony', after: option.title, isEdited: false }])
    expect(found.changes.length).toBeGreaterThan(0)
    const changed = new Set(found.changes.flatMap(({ after }) => after))
    for (const [index, bar] of found.after.entries())
      if (bar.provenance.decision !== 'harmony') expect(changed.has(index)).toBe(false)
  })

  it('the same in every repetition of a pass is told once', () => {
    const roadmap = PLAN.roadmap.map((pass) => (pass.kind === 'solo' ? { ...pass, times: 3 } : pass))
    const plan = { ...PLAN, roadmap }
    const solo = must(
      roadmap.find(({ kind }) => kind === 'solo'),
      'a solo',
    ).id
    const edits = [solo, `${solo}#2`, `${solo}#3`].map((pass) => chordEdit(0, 'Ebmaj7', 0, pass))
    const found = comparePlans(plan, { ...plan, edits })
    expect(found.counts.changed).toBe(3)
    expect(found.changes).toMatchObject([{ kind: 'changed', again: 2 }])
  })
})

describe('[CP2] bars find their counterparts', () => {
  it('joined into 7/4: the metre is told once and no bar is', () => {
    const found = comparePlans(PLAN, withOption(optionWhere('groove', ({ params }) => params['metre'] === '7/4')))
    expect(told(found, 'metre')).toMatchObject([{ before: '4/4', after: '7/4', isAll: true }])
    expect(found.changes).toEqual([])
    expect(found.counts).toMatchObject({ changed: 0, added: 0, gone: 0 })
  })

  it('a chord changed under 7/4 is found in the joined bar', () => {
    const seven = optionWhere('groove', ({ params }) => params['metre'] === '7/4')
    const found = comparePlans(PLAN, withOption(seven, { ...PLAN, edits: [chordEdit(2, 'Ebmaj7')] }))
    expect(found.changes).toMatchObject([{ kind: 'changed', before: [2, 3], after: [1] }])
  })

  it('an opening is one stretch of new bars, taken out one of bars gone, another one an exchange', () => {
    const [one, other] = optionsOf('opening').filter(({ effects }) => effects?.addedBars === 4)
    const [first, second] = [withOption(must(one, 'one')), withOption(must(other, 'other'))]
    expect(comparePlans(PLAN, first)).toMatchObject({
      changes: [{ kind: 'added', before: [], after: [0, 1, 2, 3] }],
      counts: { added: 4, changed: 0, alike: BARS.length },
    })
    expect(comparePlans(first, PLAN)).toMatchObject({
      changes: [{ kind: 'gone', before: [0, 1, 2, 3], after: [] }],
      counts: { gone: 4, alike: BARS.length },
    })
    expect(comparePlans(first, second).changes).toMatchObject([
      { kind: 'replaced', before: [0, 1, 2, 3], after: [0, 1, 2, 3] },
    ])
  })

  it('a chord rewritten in the opening is a bar changed, not one gone and one new', () => {
    const opening = withOption(optionWhere('opening', ({ effects }) => effects?.addedBars === 4))
    const edit: HandEdit = {
      kind: 'chord',
      at: { pass: 'opening', sectionId: 'opening', bar: 2 },
      metre: FIRST.metre,
      startTick: 0,
      symbol: 'Abmaj7',
    }
    const found = comparePlans(opening, { ...opening, edits: [edit] })
    expect(found.counts).toMatchObject({ changed: 1, added: 0, gone: 0 })
    expect(found.changes).toMatchObject([{ kind: 'changed', before: [2], after: [2] }])
  })

  it('a tag plays bars again: they are new, and the tune’s own stay themselves', () => {
    const tag = optionWhere('ending', ({ title }) => title.startsWith('Tag, 3'))
    const found = comparePlans(PLAN, withOption(tag))
    expect(found.counts.gone).toBe(0)
    expect(found.counts.added).toBe(found.after.length - found.before.length)
    expect(found.changes.some(({ kind }) => kind === 'added')).toBe(true)
  })

  it('every bar of both sides is counted once, whatever was chosen', { timeout: 20_000 }, () => {
    for (const kind of ['groove', 'opening', 'harmony', 'lift', 'ending'] as const) {
      for (const option of optionsOf(kind).slice(0, 8)) {
        const { counts, before, after } = comparePlans(PLAN, withOption(option))
        expect(counts.alike + counts.changed + counts.added, option.title).toBe(after.length)
        if (kind !== 'groove') expect(counts.added - counts.gone, option.title).toBe(after.length - before.length)
      }
    }
  })
})

describe('[CP3] told once', () => {
  it('another key for the whole, with its direction; no bar is told', () => {
    const found = comparePlans(PLAN, { ...PLAN, key: 'G major' })
    expect(told(found, 'key')).toMatchObject([{ before: 'F major', after: 'G major', semitones: 2, isAll: true }])
    expect(found.changes).toEqual([])
  })

  it('a lift from a section on, its prepared bars bar by bar', () => {
    const lift = optionWhere('lift', ({ params }) => params['semitones'] === 2)
    const found = comparePlans(PLAN, withOption(lift))
    const [key, ...others] = told(found, 'key')
    expect(others).toEqual([])
    expect(key).toMatchObject({ before: 'F major', after: 'G major', semitones: 2, isAll: false })
    const from = must(key, 'a stretch').from
    expect(found.after[from]?.sectionId).toBe(lift.at?.sectionId)
    for (const { after } of found.changes) expect(Math.min(...after)).toBeLessThan(from)
  })

  it('tempo, feel and length', () => {
    const groove = optionWhere('groove', ({ params }) => params['groove'] === 'bossa')
    const found = comparePlans(
      withOption(groove),
      withOption({ ...groove, id: 'slow', params: { ...groove.params, tempoBpm: 100 } }),
    )
    expect(told(found, 'tempo')).toMatchObject([{ after: 100, isAll: true }])
    expect(kinds(found)).toContain('length')
    expect(kinds(comparePlans(PLAN, withOption(groove)))).toContain('feel')
    expect(found.changes).toEqual([])
  })

  it('players who came, went and took the lead', () => {
    const [lead, ...rest] = PLAN.lineup
    const other = { id: 'flute', instrument: 'flute', name: 'Flute', role: 'lead' as const }
    const found = comparePlans(PLAN, { ...PLAN, lineup: [other, ...rest] })
    expect(kinds(found)).toEqual(['part-added', 'part-gone', 'lead'])
    expect(told(found, 'lead')).toMatchObject([{ before: { id: lead?.id }, after: { id: 'flute' } }])
    const renamed = PLAN.lineup.map((part) => ({ ...part, name: `${part.name} 1` }))
    expect(new Set(kinds(comparePlans(PLAN, { ...PLAN, lineup: renamed })))).toEqual(new Set(['part-changed']))
  })

  it('passes that came, went, moved or are played otherwise; their bars are not told one by one', () => {
    const solo = must(
      PLAN.roadmap.find(({ kind }) => kind === 'solo'),
      'a solo',
    )
    const without = { ...PLAN, roadmap: PLAN.roadmap.filter((pass) => pass !== solo) }
    const gone = comparePlans(PLAN, without)
    expect(told(gone, 'pass-gone')).toMatchObject([{ pass: { id: solo.id }, bars: 16 }])
    expect([gone.changes, gone.counts.gone]).toEqual([[], 16])
    expect(kinds(comparePlans(without, PLAN))).toContain('pass-added')
    const moved = comparePlans(PLAN, { ...PLAN, roadmap: [...PLAN.roadmap].reverse() })
    expect(kinds(moved)).toEqual(['pass-order'])
    expect(moved.changes).toEqual([])
    const twice = PLAN.roadmap.map((pass) => (pass === solo ? { ...pass, times: 2 } : pass))
    const longer = comparePlans(PLAN, { ...PLAN, roadmap: twice })
    expect(kinds(longer)).toEqual(['pass-changed', 'length'])
    expect([longer.changes, longer.counts.added]).toEqual([[], 16])
  })

  it('voicings set by hand, by the part that plays them', () => {
    const voicing: HandEdit = {
      kind: 'voicing',
      at: { pass: FIRST.pass, sectionId: FIRST.sectionId, bar: 0 },
      metre: FIRST.metre,
      startTick: 0,
      partId: 'piano',
      midi: [53, 57, 60, 64],
    }
    expect(comparePlans(PLAN, { ...PLAN, edits: [voicing] }).whole).toEqual([
      { kind: 'voicings', partId: 'piano', places: 1 },
    ])
    const other = { ...voicing, midi: [52, 57, 60, 65] }
    expect(kinds(comparePlans({ ...PLAN, edits: [voicing] }, { ...PLAN, edits: [other] }))).toEqual(['voicings'])
  })

  it('choices by decision, hand edits of one option told as such', () => {
    const [one, other] = optionsOf('ending')
    const [first, second] = [must(one, 'one'), must(other, 'other')]
    expect(told(comparePlans(withOption(first), withOption(second)), 'choice')).toEqual([
      { kind: 'choice', decision: 'ending', before: first.title, after: second.title, isEdited: false },
    ])
    const edited = { ...first, handEdits: [chordEdit(0, 'Fmaj7')] }
    expect(told(comparePlans(withOption(first), withOption(edited)), 'choice')).toMatchObject([{ isEdited: true }])
  })
})
