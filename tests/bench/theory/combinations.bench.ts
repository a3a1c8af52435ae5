/** All combinations of the first five options of all five decisions on three tunes, and drawn ones on a hundred tunes nobody chose. */
import { expect, it } from 'vitest'
import { DEMO_TUNES } from '@chartloft/demo'
import { madeTune } from '../../fixtures/made-tunes.js'
import { type Trial, allRows, drawnRows, faultsOf, planOf, trialOf } from '../../laws/combination-laws.js'
import { traditionalTunes, tuneOfAbc } from '../../laws/harmonise-laws.js'
import { figure } from '../figure.js'

/** One plan in so many has every part played. */
const PLAYED = 25
const PLANS_PER_TUNE = 5
const SEED = 4711

function faultsOfRows(
  trial: Trial,
  rows: Iterable<readonly number[]>,
): { readonly tried: number; readonly wrong: readonly string[] } {
  let tried = 0
  const wrong: string[] = []
  for (const row of rows)
    wrong.push(...faultsOf(trial, planOf(trial, row), tried++ % PLAYED === 0 ? 'band' : 'form').slice(0, 1))
  return { tried, wrong }
}

for (const { title, abc } of DEMO_TUNES.slice(0, 3))
  it(
    title,
    () => {
      const trial = trialOf(tuneOfAbc(abc), 5)
      const { tried, wrong } = faultsOfRows(trial, allRows(trial))
      figure({
        id: 'LW2',
        what: `combinations of the first five options of five decisions that are whole: ${title}`,
        value: tried - wrong.length,
        unit: '',
        target: { atLeast: tried },
        note: `of ${tried}; no exception, no new error or hard clash, an origin in every bar, unfold(fold(x)) = x; one in ${PLAYED} with every part`,
      })
      expect(wrong.slice(0, 20)).toEqual([])
    },
    3_600_000,
  )

it('a hundred tunes', () => {
  const tunes = [...traditionalTunes(), ...Array.from({ length: 40 }, (_, index) => madeTune(1000 + index))]
  const found = tunes.map((tune) => {
    const trial = trialOf(tune)
    return faultsOfRows(trial, drawnRows(trial, PLANS_PER_TUNE, SEED))
  })
  const tried = found.reduce((sum, one) => sum + one.tried, 0)
  const wrong = found.flatMap((one) => one.wrong)
  figure({
    id: 'LW2',
    what: 'drawn combinations that are whole on traditional and generated tunes',
    value: tried - wrong.length,
    unit: '',
    target: { atLeast: tried },
    note: `${PLANS_PER_TUNE} plans on each of ${tunes.length} tunes, seed ${SEED}`,
  })
  expect(wrong.slice(0, 30)).toEqual([])
}, 3_600_000)
