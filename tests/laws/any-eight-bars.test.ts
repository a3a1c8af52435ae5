/** [HA15] for tunes of every kind: a sample of the stretches that the bench measures whole. */
import { describe, expect, it } from 'vitest'
import { type Tune, compileForm, defaultPlan, proposeOptions } from '@chartloft/shared-theory'
import { nameOfOdd, oddRecipe, oddTune } from '../fixtures/odd-tunes.js'
import { exactness } from '../fixtures/exhaustive-lines.js'
import {
  demoTunes,
  ENOUGH,
  madeTunes,
  measure,
  moreTunes,
  nameOf,
  tally,
  WINDOW_BARS,
  windowsOf,
} from './eight-bars-laws.js'

/** Windows this far apart, so that the sample meets every section. */
const STEP = 24
const ODD_SEEDS = [3, 14, 35, 58, 70, 114, 134]

const barsOf = (tune: Tune): number => tune.sections.reduce((sum, { bars }) => sum + bars, 0)

describe('any eight bars', () => {
  for (const [name, tunes] of [
    ['our own tunes', [...demoTunes(), ...moreTunes()]],
    ['made tunes', madeTunes(4)],
  ] as const) {
    it(`[HA15] [HA2] ${name}: five new options or more, none with a clash the tune did not have`, () => {
      const { windows, few, wrong } = tally(tunes.flatMap((tune) => windowsOf(tune, STEP)))
      expect(windows).toBeGreaterThan(tunes.length)
      expect(few).toEqual([])
      expect(wrong).toEqual([])
    })
  }
  it('[HA15] [HA2] odd tunes: without chords, rests only, held notes, chromatic, any metre and mode', () => {
    let long = 0
    for (const seed of ODD_SEEDS) {
      const tune = oddTune(seed)
      const window = windowsOf(tune, STEP)[0]
      if (!window) continue
      const { distinct, wrong } = measure(window)
      const isLong = barsOf(tune) >= WINDOW_BARS
      if (isLong) long++
      expect(wrong, nameOf(window)).toEqual([])
      expect(distinct, nameOfOdd(oddRecipe(seed))).toBeGreaterThanOrEqual(isLong ? ENOUGH : 1)
    }
    expect(long).toBeGreaterThan(ODD_SEEDS.length / 2)
  })
  for (const [what, seed, fromBar] of [
    ['sixteenths that leave patterns no chord, across a change of key: further draws stand in', 7, 7],
    ['a stretch that ends without chords: a line arrives on the last chord before', 128, 9],
  ] as const) {
    it(`[HA15] [HA12] ${what}`, () => {
      const at = { passId: 'chorus-1', fromBar, bars: WINDOW_BARS }
      const { distinct, wrong } = measure({ tune: oddTune(seed), at })
      expect(wrong).toEqual([])
      expect(distinct).toBeGreaterThanOrEqual(ENOUGH)
    })
  }
  it('[HA23] chords for a tune without any are proposed, marked so, and told', () => {
    const tune = oddTune(114)
    const plan = defaultPlan(tune)
    const at = { passId: 'chorus-1', fromBar: 0, bars: 8 }
    const options = proposeOptions(tune, 'harmony', plan, at)
    const proposed = options.filter(({ recipe }) => recipe === 'proposed-chords')
    expect(proposed.length).toBeGreaterThanOrEqual(4)
    for (const option of options.filter(({ recipe }) => recipe !== 'as-written')) {
      const { bars } = compileForm({ ...plan, chosen: [{ kind: 'harmony', option, at }] })
      const fresh = bars.filter(({ provenance }) => provenance.optionId === option.id)
      expect(fresh.length, option.id).toBeGreaterThanOrEqual(6)
      const chords = fresh.flatMap((bar) => bar.chords).filter(({ chord }) => chord.root !== '')
      expect(
        chords.every(({ inferred }) => inferred === true),
        option.id,
      ).toBe(true)
      expect(
        option.reason.some(({ rule }) => rule === 'HA23'),
        option.id,
      ).toBe(true)
    }
  })
})

describe('the optimiser', () => {
  it('[FI5] finds the least cost: as cheap as trying every line, on 100 short ones', () => {
    const { compared, wrong } = exactness(100)
    expect(wrong).toEqual([])
    expect(compared).toBeGreaterThan(60)
  })
})
