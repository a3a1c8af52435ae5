/** How long proposing and compiling take, and what they need of memory. */
import { execFileSync } from 'node:child_process'
import { fileURLToPath } from 'node:url'
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

/** Run by itself on the built packages, so that what is measured is the music and Node, not the runner of the tests. */
const MEMORY_OF = `
import { DEMO_TUNES } from '@chartloft/demo'
import { compile, defaultPlan, proposeOptions, readTune } from '@chartloft/shared-theory'
const tune = readTune('abc', DEMO_TUNES[0].abc).value
const plan = defaultPlan(tune)
const long = { ...plan, roadmap: plan.roadmap.map((pass) => (pass.kind === 'solo' ? { ...pass, times: 4 } : pass)) }
const bare = process.resourceUsage().maxRSS / 1024
const offers = ${JSON.stringify(KINDS)}.map((kind) => proposeOptions(tune, kind, plan))
const bars = compile(long).arrangement.bars.length
console.log(JSON.stringify({ bare, peak: process.resourceUsage().maxRSS / 1024, bars, options: offers.flat().length }))
`

it('memory', () => {
  const { NODE_OPTIONS: _, ...env } = process.env
  const answer = execFileSync(process.execPath, ['--input-type=module', '-e', MEMORY_OF], {
    cwd: fileURLToPath(new URL('../..', import.meta.url)),
    env,
    encoding: 'utf8',
  })
  const { bare, peak, bars, options } = JSON.parse(answer) as Record<'bare' | 'peak' | 'bars' | 'options', number>
  figure({
    id: 'LW4',
    what: 'memory after all options of a 32-bar tune and a long compile',
    value: peak,
    unit: 'MB',
    target: { atMost: 150 },
    note: `peak resident size of a process of its own on the built packages; ${options} options, ${bars} bars with every part; ${bare.toFixed(0)} MB with everything loaded and nothing done`,
  })
})
