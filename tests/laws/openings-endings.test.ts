/** Openings and endings among other choices: every demo tune, every option, several grooves. LONG=1 for every groove and more tunes. */
import { describe, expect, it } from 'vitest'
import { DEMO_TUNES } from '@chartloft/demo'
import { proposeOptions, readTune, type Tune } from '@chartloft/shared-theory'
import { madeTune } from '../fixtures/made-tunes.js'
import { oddTune } from '../fixtures/odd-tunes.js'
import { bareChorus, groundsFor, listFaults, measureAll } from './opening-ending-laws.js'

const LONG = process.env['LONG'] === '1'

const demoTunes = DEMO_TUNES.map(({ abc }): Tune => {
  const read = readTune('abc', abc)
  if (!read.ok) throw new Error(JSON.stringify(read.issues))
  return read.value
})
const isMajor = (tune: Tune): boolean => tune.key.key.endsWith('major')

describe('[OPEN1] openings and endings keep their promises after every groove, harmony and lift', () => {
  for (const tune of demoTunes) {
    it(tune.title, () => {
      const plan = bareChorus(tune)
      const grounds = groundsFor(tune, plan, LONG ? 30 : 3)
      for (const kind of ['opening', 'ending'] as const) {
        const options = proposeOptions(tune, kind, plan)
        const { made, fallbacks, broken } = measureAll(plan, kind, grounds, options)
        expect(broken).toEqual([])
        expect(made).toBe(grounds.length * options.length)
        expect(fallbacks.length, fallbacks.slice(0, 5).join('\n')).toBeLessThanOrEqual(Math.floor(made / 100))
      }
    })
  }
})

describe('[OPEN1] the measure itself', () => {
  it('an opening taken for an ending has no fermata, an ending taken for an opening adds no bars before the tune', () => {
    const tune = demoTunes[0] as Tune
    const plan = bareChorus(tune)
    const openings = proposeOptions(tune, 'opening', plan).filter(({ recipe }) => recipe === 'vamp')
    const endings = proposeOptions(tune, 'ending', plan).filter(({ recipe }) => recipe === 'delayed-tonic')
    const asEndings = measureAll(plan, 'ending', [[]], openings)
    expect(asEndings.broken.filter((text) => text.includes('fermata'))).toHaveLength(openings.length)
    const asOpenings = measureAll(plan, 'opening', [[]], endings)
    expect(asOpenings.broken.filter((text) => text.includes('promised'))).toHaveLength(endings.length)
  })
})

describe('[OPEN2] lists of openings and endings', () => {
  it('eight or more of each on every demo tune and every made major tune', () => {
    const made = Array.from({ length: LONG ? 60 : 6 }, (_, index) => madeTune(index + 1)).filter(isMajor)
    for (const tune of [...demoTunes, ...made]) {
      const plan = bareChorus(tune)
      for (const kind of ['opening', 'ending'] as const) expect(listFaults(tune, plan, kind, 8)).toEqual([])
    }
  })
  it('five or more of each on any tune at all', () => {
    for (let seed = 1; seed <= (LONG ? 300 : 12); seed++) {
      const tune = oddTune(seed)
      const plan = bareChorus(tune)
      for (const kind of ['opening', 'ending'] as const) {
        const { length } = proposeOptions(tune, kind, plan)
        expect(length, `${kind}s, seed ${seed}`).toBeGreaterThanOrEqual(5)
      }
    }
  })
})

describe('[OPEN3] the length asked for', () => {
  it('16 bars, 3 bars and 2 bars come first where they are asked for', () => {
    const tune = demoTunes[0] as Tune
    const plan = bareChorus(tune)
    for (const [bars, recipes] of [
      [16, ['dominant-pedal', 'vamp', 'drums-alone', 'turnaround']],
      [3, ['dominant-pedal', 'vamp', 'drums-alone']],
      [2, ['dominant-pedal', 'turnaround', 'quote']],
    ] as const) {
      const list = proposeOptions(tune, 'opening', plan, undefined, { bars })
      for (const recipe of recipes)
        expect(
          list.some((option) => option.recipe === recipe && option.params['bars'] === bars),
          `${recipe} ${bars}`,
        ).toBe(true)
      expect(list[0]?.params['bars']).toBe(bars)
    }
    for (const bars of [1, 4, 12]) {
      const list = proposeOptions(tune, 'ending', plan, undefined, { bars })
      expect(list[0]?.params['bars'], `ending of ${bars}`).toBe(bars)
    }
    const four = proposeOptions(tune, 'ending', plan, undefined, { bars: 12 })
    expect(four.some(({ title }) => title === 'Tag, 4 times')).toBe(true)
  })
})
