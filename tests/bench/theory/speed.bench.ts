/** How long proposing and compiling take, and what they need of memory. */
import { it } from 'vitest'
import { DEMO_TUNES } from '@chartloft/demo'
import {
  type DecisionKind,
  type Tune,
  compile,
  compileForm,
  defaultPlan,
  proposeOptions,
  readTune,
} from '@chartloft/shared-theory'
import { figure, processorMs } from '../figure.js'

const KINDS: readonly DecisionKind[] = ['groove', 'opening', 'harmony', 'lift', 'ending']
const read = readTune('abc', DEMO_TUNES[0]!.abc)
const tune = (read as { value: Tune }).value
const plan = defaultPlan(tune)
const long = { ...plan, roadmap: plan.roadmap.map((pass) => (pass.kind === 'solo' ? { ...pass, times: 4 } : pass)) }

it('all options of a 32-bar tune', () => {
  const all = (): void => KINDS.forEach((kind) => proposeOptions(tune, kind, plan))
  all()
  figure({
    id: 'LW4',
    what: 'all options of a 32-bar tune with reasons',
    value: processorMs(all),
    unit: 'ms',
    target: { atMost: 1000 },
    note: 'processor time, median of 5, warm',
  })
})

it('a recompile', () => {
  const bars = compile(long).arrangement.bars.length
  for (let round = 0; round < 5; round++) compileForm(long)
  figure({
    id: 'LW4',
    what: `recompile of ${bars} bars: form, chords, melody`,
    value: processorMs(() => compileForm(long), 15),
    unit: 'ms',
    target: { atMost: 30 },
  })
  figure({
    id: 'LW4',
    what: `recompile of ${bars} bars with every part`,
    value: processorMs(() => compile(long), 9),
    unit: 'ms',
    target: { atMost: 150 },
  })
})

it('memory', () => {
  for (const kind of KINDS) proposeOptions(tune, kind, plan)
  compile(long)
  figure({
    id: 'LW4',
    what: 'memory of the whole process after all options and a long compile',
    value: process.resourceUsage().maxRSS / 1024,
    unit: 'MB',
    target: { atMost: 150 },
    note: 'peak resident size, test runner included',
  })
})
