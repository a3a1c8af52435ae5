import { describe, expect, it } from 'vitest'
import { madeTune } from '../../../tests/fixtures/made-tunes.js'
import type { Plan } from '../contract/index.js'
import { LIMITS } from '../units/index.js'
import { compileForm, defaultPlan, planShape } from './index.js'

const plan = defaultPlan(madeTune(3))
const broken = (change: object): Plan => ({ ...plan, ...change })
const pathsOf = (given: unknown): readonly string[] => planShape(given).issues.map(({ path }) => path)

describe('[CO8] the door', () => {
  it('a good plan is the same object, its JSON copy another with nothing to say', () => {
    expect(planShape(plan)).toEqual({ plan, issues: [] })
    expect(planShape(plan).plan).toBe(plan)
    expect(planShape(JSON.parse(JSON.stringify(plan))).issues).toEqual([])
  })
  it('names that are taken get a number, and the music stays', () => {
    const [first, ...others] = plan.roadmap
    const twice = broken({ roadmap: [first, first, { ...first, id: 'ending' }, ...others] })
    expect(planShape(twice).plan.roadmap.map(({ id }) => id)).toEqual([
      'chorus-1',
      'chorus-1-2',
      'ending-2',
      'solo-1',
      'chorus-last',
    ])
    expect(pathsOf(twice)).toEqual(['roadmap/1/id', 'roadmap/2/id'])
  })
  it('a bar that cannot be read is silent, the others keep their places', () => {
    const bars = plan.tune.bars.map((bar, index) => (index === 4 ? null : bar))
    const { plan: read, issues } = planShape(broken({ tune: { ...plan.tune, bars } }))
    expect(read.tune.bars[4]).toMatchObject({ barIndex: 4, metre: plan.tune.metre, melody: [], chords: [] })
    expect(read.tune.bars[5]).toBe(plan.tune.bars[5])
    expect(issues.map(({ path }) => path)).toContain('tune/bars/4')
  })
  it('a note past the bar, a chord out of order, a gap in a list', () => {
    const melody = [{ startTick: 0, durationTicks: 10 ** 9, midi: 60, name: 'C4' }]
    const bars = plan.tune.bars.map((bar, index) =>
      index === 4 ? { ...bar, melody, chords: [...bar.chords, ...bar.chords] } : bar,
    )
    expect(pathsOf(broken({ tune: { ...plan.tune, bars } }))).toEqual(['tune/bars/4/melody/0', 'tune/bars/4/chords/1'])
    const gap = Object.assign(Array.from({ length: 0 }), { 0: plan.lineup[0], 2: plan.lineup[2], 3: plan.lineup[3] })
    expect(planShape(broken({ lineup: gap })).plan.lineup).toHaveLength(3)
  })
  it('parts name files, and no object inherits from them', () => {
    const lineup = plan.lineup.map((part, index) => (index === 1 ? { ...part, id: '__proto__' } : part))
    expect(planShape(broken({ lineup })).plan.lineup[1]?.id).toBe('part-2')
    const many = Array.from({ length: 30 }, (_, index) => ({ ...plan.lineup[1], id: `p${index}` }))
    expect(planShape(broken({ lineup: many })).plan.lineup).toHaveLength(LIMITS.parts)
    expect(pathsOf(broken({ lineup: many }))).toEqual(['lineup'])
  })
  it('anything at all is a plan of some kind', () => {
    for (const given of [null, 7, 'plan', [], {}, { tune: 7 }]) {
      expect(compileForm(given as unknown as Plan).bars).toEqual([])
      expect(pathsOf(given)).toContain('tune')
    }
  })
})

describe('[CO9] no more than 2,000 bars', () => {
  it('passes beyond are not begun', () => {
    const roadmap = Array.from({ length: 64 }, (_, index) => ({ ...plan.roadmap[0], id: `c${index}`, times: 32 }))
    const { bars, issues } = compileForm(broken({ roadmap }))
    expect(bars).toHaveLength(LIMITS.arrangementBars)
    expect(issues.map(({ code, path }) => `${code} ${path}`)).toEqual(['CO2 roadmap'])
  })
  it('bars added by hand count', () => {
    const roadmap = Array.from({ length: 60 }, (_, index) => ({ ...plan.roadmap[0], id: `c${index}` }))
    const edits = roadmap.map(({ id }) => ({ kind: 'bars', at: { passId: id, sectionId: 'A1' }, bars: 64 }))
    const { bars, issues } = compileForm(broken({ roadmap, edits }))
    expect(bars).toHaveLength(LIMITS.arrangementBars)
    expect(issues.map(({ code, path }) => `${code} ${path}`)).toEqual(['CO2 roadmap'])
  })
})
