/** Grooves and re-barring at full sample. */
import { it } from 'vitest'
import { DEMO_TUNES } from '@chartloft/demo'
import { type Tune, defaultPlan, proposeOptions, readTune } from '@chartloft/shared-theory'
import { madeTune } from '../../fixtures/made-tunes.js'
import { MORE_TUNES } from '../../fixtures/more-tunes.js'
import { oddTune } from '../../fixtures/odd-tunes.js'
import { TRADITIONAL_TUNES } from '../../fixtures/traditional-tunes.js'
import { UNLIKE_TUNES } from '../../fixtures/unlike-tunes.js'
import { type Offered, groovesOffered, METRE_PAIRS } from '../../laws/groove-laws.js'
import { measureRebarring } from '../../laws/rebar-laws.js'
import { figure, processorMs } from '../figure.js'

const read = (abc: string): readonly Tune[] => {
  const made = readTune('abc', abc)
  return made.ok ? [made.value] : []
}
const WRITTEN = [
  ...DEMO_TUNES.map(({ abc }) => abc),
  ...MORE_TUNES,
  ...Object.values(UNLIKE_TUNES),
  ...TRADITIONAL_TUNES.map(({ abc }) => abc),
].flatMap(read)
const MADE = Array.from({ length: 70 }, (_, seed) => madeTune(seed))
const ODD = Array.from({ length: 240 }, (_, seed) => oddTune(seed))

it('re-barring', () => {
  const { done, tried, downbeats, strong, pairs, faults } = measureRebarring([...WRITTEN, ...MADE, ...ODD])
  console.log(faults.slice(0, 20).join('\n'))
  const note = `${WRITTEN.length} written, ${MADE.length} made, ${ODD.length} odd tunes; ${done} re-barrings of ${tried} tried`
  figure({
    id: 'LW20',
    what: 're-barrings that break a law or are not undone to the identical tune',
    value: faults.length,
    unit: '',
    target: { exactly: 0 },
    note,
  })
  figure({
    id: 'LW20',
    what: 'notes on downbeats that land on downbeats or group starts',
    value: Math.round((1000 * strong) / downbeats) / 10,
    unit: '%',
    target: { atLeast: 95 },
    note: `${downbeats} notes`,
  })
  figure({
    id: 'LW20',
    what: 'metre pairs of the rules reached',
    value: METRE_PAIRS.filter((pair) => pairs.has(pair)).length,
    unit: '',
    target: { exactly: METRE_PAIRS.length },
    note: `${pairs.size} pairs with those beyond`,
  })
}, 600_000)

it('grooves offered', () => {
  const offered = [...WRITTEN, ...MADE.slice(0, 35)].filter(({ bars }) => bars.length >= 8).map(groovesOffered)
  const least = (which: (each: Offered) => boolean) =>
    Math.min(...offered.filter(which).map(({ offered: count }) => count))
  const note = `${offered.length} tunes of eight bars or more`
  figure({
    id: 'LW21',
    what: 'grooves offered to a tune in four, at least',
    value: least(({ metre }) => metre === '4/4'),
    unit: '',
    target: { atLeast: 12 },
    note,
  })
  figure({
    id: 'LW21',
    what: 'grooves offered to a tune in three, at least',
    value: least(({ metre }) => metre === '3/4'),
    unit: '',
    target: { atLeast: 8 },
    note,
  })
  figure({
    id: 'LW21',
    what: 'grooves offered to a tune in another metre, at least',
    value: least(({ metre }) => metre !== '4/4' && metre !== '3/4'),
    unit: '',
    target: { atLeast: 5 },
    note,
  })
}, 600_000)

it('speed', () => {
  const tune = WRITTEN[0] as Tune
  const plan = defaultPlan(tune)
  const ms = processorMs(() => proposeOptions(tune, 'groove', plan))
  figure({ id: 'LW21', what: 'groove options of 32 bars', value: Math.round(ms), unit: 'ms', target: { atMost: 250 } })
})
