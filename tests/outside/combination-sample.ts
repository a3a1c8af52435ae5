/** Arrangements of the all-combinations sample, with every part played: rows of options that cover every pair of them, on every demo tune. */
import { DEMO_BAND, DEMO_TUNES } from '@chartloft/demo'
import { type Arrangement, LINEUPS, type PartSpec, compile } from '@chartloft/shared-theory'
import { namesOf, planOf, trialOf } from '../laws/combination-laws.js'
import { pairwiseRows } from '../laws/covering.js'
import { tuneOfAbc } from '../laws/harmonise-laws.js'

export interface Sampled {
  readonly name: string
  readonly arrangement: Arrangement
}

/** Line-ups taken in turn. */
const BANDS: readonly (readonly PartSpec[] | undefined)[] = [undefined, DEMO_BAND.lineup, ...Object.values(LINEUPS)]

/** `top` options of each decision (all where Infinity), of the covering rows the first `rows`, on the first `tunes` of the demo. */
export function* combinationSample(top: number, rows = Infinity, tunes = DEMO_TUNES.length): Generator<Sampled> {
  let count = 0
  for (const { title, abc } of DEMO_TUNES.slice(0, tunes)) {
    const trial = trialOf(tuneOfAbc(abc), top)
    const all = pairwiseRows(trial.options.map((list) => list.length))
    for (const row of all.slice(0, rows)) {
      const lineup = BANDS[count++ % BANDS.length]
      const plan = planOf(trial, row)
      const { arrangement } = compile(lineup ? { ...plan, lineup } : plan)
      yield { name: `${title}: ${namesOf(plan)}${lineup ? ` for ${lineup.length}` : ''}`, arrangement }
    }
  }
}
