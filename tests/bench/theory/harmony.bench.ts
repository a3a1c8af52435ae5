/** New harmony: options on every eight bars of every tune we have, and the optimiser against enumeration. */
import { it } from 'vitest'
import { defaultPlan, proposeOptions, type Tune } from '@chartloft/shared-theory'
import { oddTune } from '../../fixtures/odd-tunes.js'
import { exactness } from '../../fixtures/exhaustive-lines.js'
import {
  demoTunes,
  ENOUGH,
  madeTunes,
  moreTunes,
  type Tally,
  tally,
  traditionalTunes,
  WINDOW_BARS,
  windowsOf,
} from '../../laws/eight-bars-laws.js'
import { figure, processorMs } from '../figure.js'

const barsOf = (tune: Tune): number => tune.sections.reduce((sum, { bars }) => sum + bars, 0)
const ODD = 160
const oddLong = (): readonly Tune[] =>
  Array.from({ length: ODD }, (_, n) => oddTune(n + 1)).filter((tune) => barsOf(tune) >= WINDOW_BARS)

const KINDS: readonly (readonly [name: string, tunes: () => readonly Tune[]])[] = [
  ['the demo tunes and three more', () => [...demoTunes(), ...moreTunes()]],
  ['the traditional tunes', traditionalTunes],
  ['14 made tunes', () => madeTunes(14)],
  [`the odd tunes of eight bars or more among ${ODD}`, oddLong],
]

for (const [name, tunes] of KINDS) {
  it(`eight bars of ${name}`, () => {
    const found: Tally = tally(tunes().flatMap((tune) => windowsOf(tune)))
    const note = `every one of ${found.windows} stretches of eight bars; as written is not counted, equal chords count once`
    figure({
      id: 'HA15',
      what: `fewest new options on any eight bars of ${name}`,
      value: found.least,
      unit: '',
      target: { atLeast: ENOUGH },
      note: found.few.length > 0 ? `${note}; ${found.few.slice(0, 5).join('; ')}` : note,
    })
    figure({
      id: 'HA2',
      what: `options with a clash the tune did not have, ${name}`,
      value: found.wrong.length,
      unit: '',
      target: { exactly: 0 },
      note: found.wrong.length > 0 ? found.wrong.slice(0, 5).join('; ') : note,
    })
  })
}

it('the optimiser is exact', () => {
  const { compared, refused, wrong } = exactness(1500)
  figure({
    id: 'FI5',
    what: 'short lines where the optimiser is not as cheap as trying every line',
    value: wrong.length,
    unit: '',
    target: { exactly: 0 },
    note: `${compared} lines of three chords, two or three roots each, and ${refused} that no chord carries (enumeration agrees)`,
  })
})

it('speed', () => {
  const tune = demoTunes()[0] as Tune
  const plan = defaultPlan(tune)
  const all = (): unknown => proposeOptions(tune, 'harmony', plan)
  all()
  figure({
    id: 'HA15',
    what: 'all harmony options of a 32-bar tune',
    value: processorMs(() => void all(), 9),
    unit: 'ms',
    target: { atMost: 400 },
    note: 'processor time, median of 9, warm',
  })
})
