/** What the validator promises: every fault found, hardly a false alarm, quick enough for every edit. */
import { it } from 'vitest'
import { DEMO_TUNES } from '@chartloft/demo'
import { LINEUPS, type Plan, compile, defaultPlan, proposeOptions, validate } from '@chartloft/shared-theory'
import { FAMILIES, familyLines, injectFaults } from '../../laws/faults/inject.js'
import { alarmLines, demoAlarms, fourPartAlarms } from '../../laws/faults/false-alarms.js'
import { tuneOf } from '../../laws/faults/scene.js'
import { figure, processorMs } from '../figure.js'

/** SEED= puts others in. */
const seed = Number(process.env['SEED'] ?? 10_000)

it('ten thousand faults', () => {
  const count = process.env['LONG'] ? 10_000 : 1200
  const report = injectFaults(count, seed, process.env['LONG'] ? 96 : 24)
  const put = [...report.byFamily.values()].reduce((sum, tally) => sum + tally.put, 0)
  const same = [...report.byFamily.values()].reduce((sum, tally) => sum + tally.same, 0)
  console.log(familyLines(report))
  if (report.missed.length > 0) console.log(report.missed.slice(0, 40).join('\n'))
  for (const family of FAMILIES) {
    const tally = report.byFamily.get(family)
    figure({
      id: family,
      what: `faults of family ${family} found in their bar`,
      value: ((tally?.caught ?? 0) / (tally?.put ?? 1)) * 100,
      unit: '%',
      target: { exactly: 100 },
      note: `${tally?.put ?? 0} put in, ${[...report.byShape.keys()].filter((name) => name.startsWith(`${family} `)).length} shapes, seed ${seed}`,
    })
  }
  figure({
    id: 'VA15',
    what: `faults of ${put} missed`,
    value: report.missed.length,
    unit: '',
    target: { exactly: 0 },
    note: `${same} more left the music as right as before and are not counted`,
  })
})

it('false alarms', () => {
  const four = fourPartAlarms()
  console.log(alarmLines(four))
  for (const { name, bars, alarmed, errors } of four) {
    figure({
      id: 'VA16',
      what: `bars with a false alarm, ${name}`,
      value: (alarmed / bars) * 100,
      unit: '%',
      target: { atMost: 2 },
      note: `${alarmed} of ${bars} bars`,
    })
    figure({
      id: 'VA16',
      what: `false errors, ${name}`,
      value: errors,
      unit: '',
      target: { exactly: 0 },
      note: `${bars} bars`,
    })
  }
  const demo = demoAlarms()
  console.log(alarmLines([demo]))
  figure({
    id: 'VA16',
    what: `bars with a false alarm, ${demo.name}`,
    value: (demo.alarmed / demo.bars) * 100,
    unit: '%',
    target: { atMost: 2 },
    note: `${demo.alarmed} of ${demo.bars} bars`,
  })
  figure({
    id: 'VA16',
    what: `false errors, ${demo.name}`,
    value: demo.errors,
    unit: '',
    target: { exactly: 0 },
    note: `${demo.bars} bars`,
  })
})

/** 192 bars: the first demo tune with four solo choruses. */
function longPlan(lineup: string, isLifted: boolean): Plan {
  const tune = tuneOf(DEMO_TUNES[0]?.abc ?? '')
  const plain = defaultPlan(tune)
  const roadmap = plain.roadmap.map((pass) => (pass.kind === 'solo' ? { ...pass, times: 4, backgrounds: true } : pass))
  const plan: Plan = { ...plain, lineup: LINEUPS[lineup] ?? plain.lineup, roadmap }
  const option = proposeOptions(tune, 'lift', plan).find(({ params }) => params['semitones'] === 2)
  return isLifted && option ? { ...plan, chosen: [{ kind: 'lift', option }] } : plan
}

it('speed', () => {
  for (const lineup of ['quartet-lead', 'septet']) {
    for (const isLifted of [false, true]) {
      const plan = longPlan(lineup, isLifted)
      const { arrangement } = compile(plan)
      for (let warm = 0; warm < 20; warm++) validate(arrangement, { plan })
      const checking = processorMs(() => validate(arrangement, { plan }), 15)
      // A lift is held against what the plan makes, so checking one holds a compile.
      const making = isLifted ? processorMs(() => compile(plan), 15) : 0
      figure({
        id: 'VA14',
        what: `validate ${arrangement.bars.length} bars with their plan, ${lineup}${isLifted ? ', lifted, beyond one compile' : ''}`,
        value: checking - making,
        unit: 'ms',
        target: { atMost: 30 },
        note: `processor time, medians of 15, warm${isLifted ? `: ${checking.toFixed(1)} ms, a compile ${making.toFixed(1)} ms` : ''}`,
      })
    }
  }
})
