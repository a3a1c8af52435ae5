/** What delivering edits costs against the stock y-websocket server, measured side by side in one interleaved run. */
import { afterAll, beforeAll, it } from 'vitest'
import { cleanUp, freshFolder } from '../../server/harness.js'
import { figure } from '../figure.js'
import { type Delivered, type Load, type Subject, deliver, ourServer, quantile, stockServer } from './load.js'

const ROUNDS = 5
const LOADS: readonly (Load & { readonly what: string })[] = [
  { what: '30 editors in one room at 20 edits/s', rooms: 1, editors: 30, rate: 20, seconds: 6 },
  { what: '200 rooms of 3 at 2 edits/s', rooms: 200, editors: 3, rate: 2, seconds: 6 },
]

const NAMES = ['stock', 'saving', 'ours'] as const
type Name = (typeof NAMES)[number]

let subjects: { readonly [name in Name]: Subject }
beforeAll(async () => {
  subjects = { stock: await stockServer(), saving: await stockServer(freshFolder()), ours: await ourServer() }
})
afterAll(async () => {
  for (const name of NAMES) await subjects[name].stop()
  cleanUp()
})

for (const load of LOADS) {
  it(`[ME1] ${load.what}`, async () => {
    const runs: { readonly [name in Name]: Delivered[] } = { stock: [], saving: [], ours: [] }
    for (let round = 0; round < ROUNDS; round++) {
      for (const name of round % 2 === 0 ? NAMES : NAMES.toReversed())
        runs[name].push(await deliver(subjects[name], load))
    }
    const median = (of: readonly Delivered[], field: 'p50Ms' | 'p95Ms' | 'cpuMicrosPerDelivery'): number =>
      quantile(
        of.map((run) => run[field]),
        0.5,
      )
    const compare = (field: 'p50Ms' | 'cpuMicrosPerDelivery', unit: string): string =>
      `${median(runs.ours, field).toFixed(2)} against ${median(runs.stock, field).toFixed(2)} ${unit}, medians of ${ROUNDS} interleaved runs`
    figure({
      id: 'ME1',
      what: `${load.what}: p50 delivery, ours to stock`,
      value: median(runs.ours, 'p50Ms') / median(runs.stock, 'p50Ms'),
      unit: '×',
      target: { atMost: 1.5 },
      note: compare('p50Ms', 'ms'),
    })
    figure({
      id: 'ME1',
      what: `${load.what}: processor time per delivery, ours (saving to disk) to stock`,
      value: median(runs.ours, 'cpuMicrosPerDelivery') / median(runs.stock, 'cpuMicrosPerDelivery'),
      unit: '×',
      target: { atMost: 1.3 },
      note: `${compare('cpuMicrosPerDelivery', 'µs')}; the stock server saving to its own store, without syncing, ${median(runs.saving, 'cpuMicrosPerDelivery').toFixed(2)} µs`,
    })
    figure({
      id: 'ME1',
      what: `${load.what}: deliveries that did not come`,
      value: runs.ours.reduce((sum, { missing }) => sum + missing, 0),
      unit: '',
      target: { exactly: 0 },
      note: `of ${runs.ours.reduce((sum, { deliveries }) => sum + deliveries, 0)} that came`,
    })
    if (load.rooms === 1) {
      figure({
        id: 'DU1',
        what: `${load.what}: saved-ack p95`,
        value: quantile(
          runs.ours.map(({ savedP95Ms }) => savedP95Ms ?? Number.POSITIVE_INFINITY),
          0.5,
        ),
        unit: 'ms',
        target: { atMost: 50 },
        note: 'from sending to the message that says it is on disk; median of the runs',
      })
    }
  })
}
