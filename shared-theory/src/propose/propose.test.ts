import { describe, expect, it } from 'vitest'
import { DEMO_TUNES } from '@chartloft/demo'
import { SLACK_TIDE } from '../../../tests/fixtures/worked-tunes.js'
import { validate } from '../check/index.js'
import { compileForm, defaultPlan } from '../compile/index.js'
import type { Chosen, DecisionKind, Option, Plan, Tune, Wish } from '../contract/index.js'
import { readTune } from '../read/index.js'
import {
  defaultPlace,
  explainAbsent,
  findOption,
  keysForRange,
  optionAliases,
  parsePlace,
  proposeOptions,
} from './index.js'

const KINDS: readonly DecisionKind[] = ['groove', 'opening', 'harmony', 'lift', 'ending']

function tuneOf(abc: string): Tune {
  const read = readTune('abc', abc)
  if (!read.ok) throw new Error(JSON.stringify(read.issues))
  return read.value
}
const tunes = DEMO_TUNES.map(({ abc }) => tuneOf(abc))
const [lantern, bell] = tunes as [Tune, Tune]
const plan = defaultPlan(lantern)
const chosenOf = (option: Option): Chosen => ({ kind: option.kind, option, ...(option.at ? { at: option.at } : {}) })
const withOption = (base: Plan, option: Option): Plan => ({ ...base, chosen: [...base.chosen, chosenOf(option)] })
const formOf = (base: Plan): string => {
  const { bars, groove } = compileForm(base)
  return JSON.stringify([groove, bars.map(({ provenance: _provenance, ...bar }) => bar)])
}
const proposed = new Map<Tune, Map<DecisionKind, Option[]>>()
/** Options of a tune's default plan are worked out once. */
function optionsOf(kind: DecisionKind, base = plan): Option[] {
  if (base.chosen.length > 0 || base.edits.length > 0 || base.lineup.length === 1)
    return proposeOptions(base.tune, kind, base)
  const known = proposed.get(base.tune) ?? new Map<DecisionKind, Option[]>()
  const options = known.get(kind) ?? proposeOptions(base.tune, kind, base)
  proposed.set(base.tune, known.set(kind, options))
  return options
}
const must = (option: Option | undefined): Option => {
  if (!option) throw new Error('no such option')
  return option
}

describe('[PR1] at least five options a decision, every one different in its compiled bars', () => {
  for (const tune of tunes) {
    for (const kind of KINDS) {
      it(`${tune.title}: ${kind}`, () => {
        const base = defaultPlan(tune)
        const options = optionsOf(kind, base)
        expect(options.length).toBeGreaterThanOrEqual(5)
        expect(new Set(options.map((option) => formOf(withOption(base, option)))).size).toBe(options.length)
      })
    }
  }
})

describe('[GD6] a jazz band would turn to these first', () => {
  const firstFive = (tune: Tune) =>
    optionsOf('groove', defaultPlan(tune))
      .slice(0, 5)
      .map(({ params }) => params['groove'])
  it('a medium swing song: waltz, bossa, a ballad, samba, seven; a blues gets its shuffle, a ballad stays one', () => {
    expect(new Set(firstFive(lantern))).toEqual(
      new Set(['jazz-waltz', 'bossa', 'ballad-even', 'samba', 'seven-4-even']),
    )
    expect(firstFive(tunes[2]).slice(0, 2)).toContain('shuffle')
    expect(firstFive(tunes[3]).slice(0, 1)).toEqual(['ballad-even'])
  })
  it('no two of one kind among the first five', () => {
    const kinds: Record<string, string> = {
      'ballad-swing': 'ballad',
      'ballad-even': 'ballad',
      'ballad-6-8': 'ballad',
      'seven-4-even': 'seven',
      'seven-4-fast': 'seven',
    }
    for (const tune of tunes) {
      const five = firstFive(tune).map((groove) => kinds[String(groove)] ?? groove)
      expect(new Set(five).size).toBe(5)
    }
  })
})

describe('[PR4] the first five harmonies go from a little to a lot', () => {
  for (const tune of tunes) {
    it(tune.title, () => {
      const distances = optionsOf('harmony', defaultPlan(tune))
        .slice(0, 5)
        .map(({ effects }) => effects?.distance ?? 0)
        .filter((distance) => distance > 0)
      expect(distances.length).toBeGreaterThanOrEqual(4)
      expect(distances.toSorted((a, b) => a - b)).toEqual(distances)
    })
  }
})

describe('[PR2] names and scores', () => {
  for (const kind of KINDS) {
    it(`${kind}: readable unique ids, falling scores, a sentence and a rule chain, effects that are true`, () => {
      const options = optionsOf(kind)
      expect(new Set(options.map(({ id }) => id)).size).toBe(options.length)
      expect(proposeOptions(lantern, kind, plan)).toEqual(options)
      expect(JSON.parse(JSON.stringify(options))).toEqual(options)
      const plain = compileForm(plan).bars.length
      for (const [index, option] of options.entries()) {
        expect(option.id).toMatch(/^[a-z0-9]+(-[a-z0-9]+)*$/)
        expect(option.kind).toBe(kind)
        expect(option.score).toBeLessThanOrEqual(options[index - 1]?.score ?? 1)
        expect(option.score).toBeGreaterThanOrEqual(0)
        expect(option.summary).toMatch(/\S.*\.$/)
        expect(option.reason.length).toBeGreaterThan(0)
        expect(option.effects?.addedBars).toBe(compileForm(withOption(plan, option)).bars.length - plain)
      }
    })
  }
  it('seconds follow bars and tempo', () => {
    const delayed = must(findOption(optionsOf('ending'), 'delayed-tonic'))
    // Two bars of four at 138 quarters a minute.
    expect(delayed.effects?.addedSeconds).toBeCloseTo((8 * 60) / 138, 2)
  })
})

describe('[PR3] what plays no part', () => {
  it('a choice of the same kind, and hand edits', { timeout: 30_000 }, () => {
    for (const kind of KINDS) {
      const options = optionsOf(kind)
      const last = must(options.at(-1))
      expect(optionsOf(kind, withOption(plan, last)), kind).toEqual(options)
    }
    const edited: Plan = {
      ...plan,
      edits: [
        {
          kind: 'chord',
          at: { pass: 'chorus-1', sectionId: 'A1', bar: 0 },
          metre: { beats: 4, beatType: 4 },
          startTick: 0,
          symbol: 'Gb7',
        },
      ],
    }
    expect(optionsOf('ending', edited)).toEqual(optionsOf('ending'))
  })
  it('a choice of another kind does: endings follow the lift', () => {
    const lifted = withOption(plan, must(findOption(optionsOf('lift'), 'up-2')))
    expect(must(optionsOf('ending', lifted)[0]).title).not.toBe(must(optionsOf('ending')[0]).title)
  })
})

describe('[PR4] the first five are unlike', () => {
  for (const kind of KINDS) {
    it(kind, () => {
      const families = optionsOf(kind)
        .slice(0, 5)
        .map(({ recipe, params }) => (kind === 'lift' ? String(params['semitones']) : recipe))
      expect(new Set(families).size).toBe(5)
    })
  }
})

describe('[PR5] what is offered stands, what is not is explained', () => {
  for (const tune of tunes) {
    it(
      `${tune.title}: no option brings an error of compiling or checking that the tune had not`,
      { timeout: 30_000 },
      () => {
        const base = defaultPlan(tune)
        for (const option of KINDS.flatMap((kind) => optionsOf(kind, base))) {
          const { bars, issues } = compileForm(withOption(base, option))
          const found = [...issues, ...validate({ version: 1, title: '', lineup: [], groove: '', bars })]
          expect(
            found.filter(({ severity }) => severity === 'error'),
            `${tune.title} ${option.id}`,
          ).toEqual([])
        }
      },
    )
  }
  it('each absent recipe has its sentence', { timeout: 30_000 }, () => {
    expect(explainAbsent(lantern, 'groove', plan)).toContainEqual({
      recipe: 'swing-medium',
      why: 'Medium swing is what the tune has as written.',
    })
    expect(explainAbsent(lantern, 'ending', plan)).toContainEqual({
      recipe: 'coda',
      why: 'The tune has no coda of its own.',
    })
    for (const kind of KINDS)
      for (const { why } of explainAbsent(bell, kind, defaultPlan(bell))) expect(why).toMatch(/^[A-Z'‘♭♯].*\.$/)
  })
})

describe('[PR6] a part out of range', () => {
  it('is named, costs rank, and says so', () => {
    const trumpet: Plan = { ...plan, lineup: [{ id: 'trumpet', instrument: 'trumpet', name: 'Trumpet', role: 'lead' }] }
    const up = (id: string): Option => must(findOption(optionsOf('lift', trumpet), id))
    // The melody's top F5 becomes A5, a whole step over the trumpet's G5.
    expect(up('up-4').effects?.outOfRange).toEqual(['trumpet'])
    expect(up('up-4').reason.at(-1)).toMatchObject({ rule: 'PR6' })
    expect(up('up-2').effects?.outOfRange).toBeUndefined()
  })
})

describe('[PR7] where a decision acts when nobody said', () => {
  it('the last 8 bars of the first chorus; before the last B of the last', () => {
    expect(defaultPlace(lantern, 'harmony', plan)).toEqual({ passId: 'chorus-1', sectionId: 'A3' })
    expect(defaultPlace(lantern, 'lift', plan)).toEqual({ passId: 'chorus-last', sectionId: 'B1' })
    expect(defaultPlace(lantern, 'groove', plan)).toBeUndefined()
    expect(defaultPlace(lantern, 'lift', { ...plan, roadmap: [] })).toBeUndefined()
  })
  it('a blues: its last eight bars; before its last chorus', () => {
    const blues = tuneOf(SLACK_TIDE)
    const sectionId = blues.sections[0]?.id
    expect(defaultPlace(blues, 'harmony', defaultPlan(blues))).toEqual({
      passId: 'chorus-1',
      sectionId,
      fromBar: 4,
      bars: 8,
    })
    expect(defaultPlace(blues, 'lift', defaultPlan(blues))).toEqual({ passId: 'chorus-last', sectionId })
  })
})

describe('[PR8] places as text', () => {
  const place = (text: string) => parsePlace(lantern, plan, text)
  it('reads', () => {
    expect(place('last-B')).toEqual({ ok: true, value: { passId: 'chorus-last', sectionId: 'B1' } })
    expect(place('last-a')).toEqual({ ok: true, value: { passId: 'chorus-last', sectionId: 'A3' } })
    expect(place('solo-1')).toEqual({ ok: true, value: { passId: 'solo-1' } })
    expect(place('chorus-1/A2')).toEqual({ ok: true, value: { passId: 'chorus-1', sectionId: 'A2' } })
    expect(place('chorus-1/A2:4+4')).toEqual({
      ok: true,
      value: { passId: 'chorus-1', sectionId: 'A2', fromBar: 4, bars: 4 },
    })
  })
  it('refuses with the places there are', () => {
    for (const text of ['', 'last-Q', 'encore', 'chorus-1/Z', 'chorus-1/A2:6+4', 'chorus-1/A2:0+0', 'a/b/c', '@@'])
      expect(place(text), text).toMatchObject({ ok: false, issues: [{ severity: 'error' }] })
    const refused = place('encore')
    expect(refused.ok ? '' : refused.issues[0]?.message).toContain('chorus-1, solo-1, chorus-last')
  })
})

const find = (kind: DecisionKind, name: string) => findOption(optionsOf(kind), name)

describe('[PR9] options by short names', () => {
  it('ids, aliases, recipes, grooves', () => {
    expect(find('groove', 'bossa')?.params['groove']).toBe('bossa')
    expect(find('groove', 'waltz')?.recipe).toBe('jazz-waltz')
    expect(find('groove', 'seven')?.params['metre']).toBe('7/4')
    // The tune is a medium swing as written.
    expect(find('groove', 'swing')?.recipe).toBe('as-written')
    expect(find('lift', 'up-2')?.params['semitones']).toBe(2)
    expect(find('lift', 'down-1')?.params['semitones']).toBe(-1)
    expect(find('lift', 'none')?.params['semitones']).toBe(0)
    expect(find('opening', 'pedal')?.recipe).toBe('dominant-pedal')
    expect(find('opening', 'none')?.recipe).toBe('none')
    expect(find('harmony', 'descent')?.recipe).toBe('chromatic-descent')
    expect(find('ending', 'delayed-tonic')?.recipe).toBe('delayed-tonic')
    expect(find('ending', 'tag')?.recipe).toBe('tag')
    for (const option of optionsOf('ending')) expect(find('ending', option.id)).toEqual(option)
    expect(find('ending', 'nonesuch')).toBeUndefined()
    expect(findOption([], 'tag')).toBeUndefined()
  })
  it('every alias finds something on one of the demo tunes', () => {
    for (const kind of KINDS) {
      const all = tunes.map((tune) => optionsOf(kind, defaultPlan(tune)))
      for (const name of optionAliases(kind))
        expect(
          all.some((options) => findOption(options, name)),
          `${kind}=${name}`,
        ).toBe(true)
    }
  })
})

describe('[PR10] keys for a range', () => {
  it('every key the compiler moves to, with its true range, those that fit first', () => {
    const fits = keysForRange(lantern, plan, [60, 77])
    expect(fits.map(({ semitones }) => semitones).toSorted((a, b) => a - b)).toEqual([
      -5, -4, -3, -2, -1, 0, 1, 2, 3, 4, 5, 6,
    ])
    for (const { key, lowMidi, highMidi, fits: isInside } of fits) {
      const midis = compileForm({ ...plan, key }).bars.flatMap(({ melody }) => melody.map(({ midi }) => midi))
      expect([Math.min(...midis), Math.max(...midis)], key).toEqual([lowMidi, highMidi])
      expect(isInside).toBe(lowMidi >= 60 && highMidi <= 77)
    }
    const firstOut = fits.findIndex((fit) => !fit.fits)
    expect(fits.slice(firstOut).every((fit) => !fit.fits)).toBe(true)
    for (const [index, fit] of fits.entries()) expect(fit.score).toBeLessThanOrEqual(fits[index - 1]?.score ?? 1)
  })
  it('counts lifts in', () => {
    const lifted = withOption(plan, must(findOption(optionsOf('lift'), 'up-2')))
    const tops = [plan, lifted].map(
      (base) => keysForRange(lantern, base, [60, 77]).find(({ semitones }) => semitones === 0)?.highMidi,
    )
    expect(tops).toEqual([77, 79])
  })
})

describe('[PR11] speed', () => {
  it('all options of a 32-bar tune in less than a second on one core', { timeout: 30_000 }, () => {
    const round = () => KINDS.flatMap((kind) => proposeOptions(lantern, kind, plan)).length
    round()
    const before = process.cpuUsage()
    const count = round()
    const { user, system } = process.cpuUsage(before)
    const ms = (user + system) / 1000
    expect(ms, `${count} options`).toBeLessThan(1000)
  })
})

describe('[PR12] what is wished for comes first', () => {
  const harmony = (wish: Wish) => proposeOptions(lantern, 'harmony', plan, undefined, wish)
  const mean = (options: readonly Option[]) =>
    options.slice(0, 5).reduce((sum, { effects }) => sum + (effects?.distance ?? 0), 0) / 5
  it('a little stays nearer the tune than the best do, a lot goes farther, and both say so', () => {
    const [little, best, lot] = [
      harmony({ distance: 'a little' }),
      optionsOf('harmony'),
      harmony({ distance: 'a lot' }),
    ]
    expect(mean(little)).toBeLessThan(mean(best))
    expect(mean(best)).toBeLessThan(mean(lot))
    expect(little[0]?.effects?.distance).toBeGreaterThan(0)
    expect(lot[0]?.reason.at(-1)).toEqual({ rule: 'PR12', text: 'ranked by distance: a lot was asked for' })
    for (const list of [little, lot])
      for (const [index, { score }] of list.entries()) expect(score).toBeLessThanOrEqual(list[index - 1]?.score ?? 1)
  })
  it('a length, and a lift, that were asked for lead the list', () => {
    const openings = proposeOptions(lantern, 'opening', plan, undefined, { bars: 4 })
    for (const { params } of openings.slice(0, 4)) expect(params['bars'] ?? 4).toBe(4)
    const lifts = proposeOptions(lantern, 'lift', plan, undefined, { semitones: -2 })
    expect(lifts[0]?.params['semitones']).toBe(-2)
  })
})
