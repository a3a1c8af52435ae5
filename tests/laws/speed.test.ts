/** Speed on one core: all options of a 32-bar tune, a recompile of form, chords and melody, and one with every part. Prints what it measured. */
import { describe, expect, it } from 'vitest'
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

const median = (values: readonly number[]): number =>
  [...values].sort((a, b) => a - b)[Math.floor(values.length / 2)] as number
/** Milliseconds of processor time: the promise is for one core, whatever else the machine is doing. */
const timed = (work: () => void): number => {
  const start = process.cpuUsage()
  work()
  const { user, system } = process.cpuUsage(start)
  return (user + system) / 1000
}

describe('[LW4] fast enough to answer while the band waits', () => {
  const source = DEMO_TUNES[0] as (typeof DEMO_TUNES)[number]
  const read = readTune('abc', source.abc)
  const tune = (read as { value: Tune }).value
  const base = defaultPlan(tune)
  const long = { ...base, roadmap: base.roadmap.map((pass) => (pass.kind === 'solo' ? { ...pass, times: 4 } : pass)) }

  it('all options of the 32-bar tune', () => {
    const all = (): void => {
      for (const kind of ['groove', 'opening', 'harmony', 'lift', 'ending'] satisfies DecisionKind[])
        proposeOptions(tune, kind, base)
    }
    all()
    const ms = median([timed(all), timed(all), timed(all)])
    console.log(`all options of ${source.title}: ${ms.toFixed(0)} ms (promise < 1000)`)
    expect(ms).toBeLessThan(1000)
  })

  it('a recompile of about 200 bars', () => {
    const bars = compile(long).arrangement.bars.length
    for (let round = 0; round < 5; round++) compileForm(long)
    const form = median(Array.from({ length: 9 }, () => timed(() => compileForm(long))))
    const full = median(Array.from({ length: 5 }, () => timed(() => compile(long))))
    console.log(
      `${bars} bars: form, chords, melody ${form.toFixed(1)} ms (promise < 30), with every part ${full.toFixed(1)} ms (promise < 150)`,
    )
    expect(bars).toBeGreaterThanOrEqual(190)
    expect(form).toBeLessThan(30)
    expect(full).toBeLessThan(150)
  })
})
