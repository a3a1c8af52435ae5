/** What more options cost: working out what a poll plays, and a ledger of more rows. */
import { describe, it } from 'vitest'
import { type LedgerEntry, type Option, defaultPlan, foldLedger, proposeOptions } from '@chartloft/shared-theory'
import { pollExcerpts } from '../../../server/src/workers/jobs.js'
import { costsOf, cpuMs, grows } from './growth.js'
import { longTune } from './long-tunes.js'
import { BY, MADE, versionRows } from './rows.js'

const tune = longTune(2)
const plan = defaultPlan(tune)
const TUNE: LedgerEntry = {
  seq: 2,
  at: 2,
  by: BY,
  command: { commandId: 'c2', kind: 'setTune', tune },
}

describe('[GR1] by options', () => {
  it('the excerpts of a poll', async () => {
    const state = foldLedger([MADE, TUNE])
    const offered = (['ending', 'opening', 'groove'] as const).flatMap((kind) => proposeOptions(tune, kind, plan))
    const options = offered.slice(0, 12).map((option: Option) => ({ id: option.id, title: option.title, option }))
    const cost = (count: number) =>
      cpuMs(() => {
        const made = pollExcerpts(state, undefined, options.slice(0, count))
        if (!made.ok || made.value.length !== count)
          throw new Error(`no excerpts: ${JSON.stringify(made).slice(0, 300)}`)
      })
    cost(2)
    grows({
      what: 'the excerpts of a poll',
      by: 'options',
      unit: 'ms',
      points: await costsOf([2, 3, 6, 12], 3, cost),
      atMost: 1.3,
    })
  })

  it('reading a ledger', async () => {
    const cost = (count: number) => {
      const rows = versionRows(count)
      return cpuMs(() => void foldLedger(rows))
    }
    cost(100)
    grows({
      what: 'folding a ledger',
      by: 'rows',
      unit: 'ms',
      points: await costsOf([100, 200, 400, 800], 3, cost),
      atMost: 1.3,
    })
  })
})
