/** A server in use for long: it must not grow, slow down, lose anything, or keep what has gone. SOAK=30 for thirty minutes. */
import { afterAll, it } from 'vitest'
import { cleanUp } from '../../server/harness.js'
import { figure } from '../figure.js'
import { quantile } from './load.js'
import { soak } from './soak.js'

const MINUTES = Number(process.env['SOAK'] ?? (process.env['LONG'] ? 30 : 0.4))

afterAll(cleanUp)

const middle = (values: readonly number[]) => quantile(values, 0.5)

it(`[ME1] [DU1] [DU2] ${MINUTES} minutes of use`, { timeout: MINUTES * 60_000 + 180_000 }, async () => {
  const seconds = MINUTES * 60
  const told = await soak(seconds)
  const { memoryKb, savedMs, sockets, handles } = told
  const span = (from: number, to: number) =>
    memoryKb.slice(Math.floor(memoryKb.length * from), Math.ceil(memoryKb.length * to))
  // The first quarter is a process that warms up; what leaks goes on growing after it.
  const [early, late] = [middle(span(0.25, 0.5)), middle(span(0.75, 1))]
  const aMinute = (late - early) / (MINUTES / 2)
  const use = `${MINUTES} min, 30 editors: ${told.edits} edits, ${told.reconnects} reconnects, ${told.commands} commands, ${told.ballots} ballots`
  const zero = (id: string, what: string, value: number, note: string) =>
    figure({ id, what: `in use: ${what}`, value, unit: '', target: { exactly: 0 }, note })
  figure({
    id: 'ME1',
    what: 'in use: memory of the last quarter over the second',
    value: (100 * (late - early)) / early,
    unit: '%',
    target: { atMost: 10 },
    note: `${(early / 1024).toFixed(1)} to ${(late / 1024).toFixed(1)} MB resident, ${aMinute.toFixed(0)} KB a minute; ${use}`,
  })
  figure({
    id: 'DU1',
    what: 'in use: saved-ack p95',
    value: savedMs.p95,
    unit: 'ms',
    target: { atMost: 50 },
    note: `first quarter ${savedMs.firstQuarter.toFixed(1)} ms, last quarter ${savedMs.lastQuarter.toFixed(1)} ms; ${use}`,
  })
  figure({
    id: 'DU1',
    what: 'in use: saved-ack p95, last quarter over first',
    value: savedMs.lastQuarter / savedMs.firstQuarter,
    unit: '×',
    target: { atMost: 1.5 },
    note: use,
  })
  zero('DU1', 'last edits of people that are not on disk after a crash', told.lost, `of 30; ${use}`)
  zero(
    'CO1',
    'last edits of people that did not reach everybody',
    told.undelivered,
    `of 900; ${told.deliveries} messages delivered`,
  )
  zero('DU2', 'commands lost or refused, tallies wrong', told.wrong.length, told.wrong.slice(0, 3).join('; ') || use)
  zero('ME1', 'sockets still counted after everybody left', sockets.after - sockets.before, use)
  zero(
    'ME1',
    'file handles more than at the start',
    Math.max(0, handles.after - handles.before),
    `${handles.before} at the start, ${handles.after} at the end`,
  )
})
