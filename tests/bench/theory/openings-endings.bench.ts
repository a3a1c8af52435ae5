/** Openings and endings: how many, how unlike, and whether they keep their promises among all grooves, harmonies and lifts. */
import { it } from 'vitest'
import { DEMO_TUNES } from '@chartloft/demo'
import { proposeOptions, readTune, type Tune } from '@chartloft/shared-theory'
import { madeTune } from '../../fixtures/made-tunes.js'
import { oddTune } from '../../fixtures/odd-tunes.js'
import { bareChorus, groundsFor, listFaults, measureAll } from '../../laws/opening-ending-laws.js'
import { figure } from '../figure.js'

const KINDS = ['opening', 'ending'] as const
const MADE = 60
const ODD = 300

const demoTunes = DEMO_TUNES.map(({ abc }): Tune => {
  const read = readTune('abc', abc)
  if (!read.ok) throw new Error(JSON.stringify(read.issues))
  return read.value
})

it('every option of every demo tune after every groove, the first harmonies and lifts, and all together', () => {
  for (const kind of KINDS) {
    let made = 0
    const fallbacks: string[] = []
    const broken: string[] = []
    for (const tune of demoTunes) {
      const plan = bareChorus(tune)
      const found = measureAll(plan, kind, groundsFor(tune, plan, 30), proposeOptions(tune, kind, plan))
      made += found.made
      fallbacks.push(...found.fallbacks)
      broken.push(...found.broken)
    }
    figure({
      id: 'OPEN1',
      what: `${kind}s that break a promise among other choices`,
      value: broken.length,
      unit: '',
      target: { exactly: 0 },
      note: `${made} plans of ${demoTunes.length} tunes${broken.length > 0 ? `; first: ${broken[0]}` : ''}`,
    })
    figure({
      id: 'OPEN1',
      what: `${kind}s that cannot be played among other choices and say so`,
      value: (100 * fallbacks.length) / made,
      unit: '%',
      target: { atMost: 1 },
      note: `${fallbacks.length} of ${made}${fallbacks.length > 0 ? `; first: ${fallbacks[0]}` : ''}`,
    })
  }
})

it('how many there are', () => {
  const majors = [...demoTunes, ...Array.from({ length: MADE }, (_, index) => madeTune(index + 1))].filter(({ key }) =>
    key.key.endsWith('major'),
  )
  for (const kind of KINDS) {
    const faults = majors.flatMap((tune) => listFaults(tune, bareChorus(tune), kind, 8))
    const counts = majors.map((tune) => proposeOptions(tune, kind, bareChorus(tune)).length)
    figure({
      id: 'OPEN2',
      what: `fewest ${kind}s on an ordinary major song`,
      value: Math.min(...counts),
      unit: '',
      target: { atLeast: 8 },
      note: `${majors.length} tunes; ${faults.length} lists too alike, too short or without their figures`,
    })
    figure({ id: 'OPEN2', what: `${kind} lists at fault`, value: faults.length, unit: '', target: { exactly: 0 } })
    const odd = Array.from({ length: ODD }, (_, index) => {
      const tune = oddTune(index + 1)
      return proposeOptions(tune, kind, bareChorus(tune)).length
    })
    figure({
      id: 'OPEN2',
      what: `fewest ${kind}s on any tune at all`,
      value: Math.min(...odd),
      unit: '',
      target: { atLeast: 5 },
      note: `${ODD} odd tunes, seeds 1–${ODD}; ${odd.filter((count) => count < 8).length} of them below 8`,
    })
  }
})
