import { describe, expect, it } from 'vitest'
import { Trial } from '../../../../tests/fixtures/recipes.js'
import { passesOf, rowDifferences } from '../../../../tests/fixtures/rows.js'
import { ferryBell, lanternSlip, slackTide } from '../../../../tests/fixtures/worked-rows.js'
import type { ArrangedBar, Option, Tune } from '../../contract/index.js'
import { openingRecipes } from './index.js'

const trialOf = (tune: Tune): Trial =>
  new Trial(openingRecipes, tune, passesOf(tune, 'chorus-1'), { passId: 'chorus-1' })
const lantern = trialOf(lanternSlip())
const ferry = trialOf(ferryBell())
const slack = trialOf(slackTide())

function openingOf(trial: Trial, id: string, params: Option['params']): readonly ArrangedBar[] {
  const { bars, issues } = trial.apply(id, params)
  expect(issues).toEqual([])
  expect(bars.slice(-trial.bars.length)).toEqual(trial.bars)
  return bars.slice(0, bars.length - trial.bars.length)
}

/** The connection a musician reads in the rule chain of the offer with these params. */
function connection(trial: Trial, id: string, params: Option['params']): string {
  const offer = trial.offers(id).find((each) => JSON.stringify(each.params) === JSON.stringify(params))
  return offer?.reason.find(({ rule }) => rule === 'OP2')?.text ?? `no offer ${JSON.stringify(params)}`
}

const asRows = (chords: string): string =>
  chords
    .split('|')
    .map((bar, index) => `${index + 1} | ${bar.trim()} | -`)
    .join('\n')

interface Cell {
  readonly name: string
  readonly trial: Trial
  readonly id: string
  readonly params: Option['params']
  readonly len: number
  readonly chords: string
  readonly leads: string
}

const CELLS: readonly Cell[] = [
  {
    name: '[OP3] dominant pedal 8, rising',
    trial: lantern,
    id: 'dominant-pedal',
    params: { bars: 8, form: 'rising' },
    len: 4,
    chords: 'Fmaj7/C | Gm7/C | Am7/C | Gm7/C | Fmaj7/C | Gm7/C | Am7/C | C7sus',
    leads: 'C7sus leads to F∆ as its dominant',
  },
  {
    name: '[OP3] dominant pedal 8, alternating',
    trial: lantern,
    id: 'dominant-pedal',
    params: { bars: 8, form: 'alternating' },
    len: 4,
    chords: 'Fmaj7/C | Gbmaj7/C | Fmaj7/C | Gbmaj7/C | Fmaj7/C | Gbmaj7/C | Fmaj7/C | C7sus',
    leads: 'C7sus leads to F∆ as its dominant',
  },
  {
    name: '[OP3] dominant pedal 4: first three bars and the last',
    trial: lantern,
    id: 'dominant-pedal',
    params: { bars: 4, form: 'rising' },
    len: 4,
    chords: 'Fmaj7/C | Gm7/C | Am7/C | C7sus',
    leads: 'C7sus leads to F∆ as its dominant',
  },
  {
    name: '[OP3] dominant pedal in minor',
    trial: ferry,
    id: 'dominant-pedal',
    params: { bars: 8, form: 'rising' },
    len: 3,
    chords: 'Gm6/D | Am7b5/D | Bbmaj7/D | Am7b5/D | Gm6/D | Am7b5/D | Bbmaj7/D | D7b9',
    leads: 'D7(♭9) leads to Gm6 as its dominant',
  },
  {
    name: '[OP3] dominant pedal in a blues',
    trial: slack,
    id: 'dominant-pedal',
    params: { bars: 8, form: 'rising' },
    len: 4,
    chords: 'Bb7/F | Cm7/F | Dm7/F | Cm7/F | Bb7/F | Cm7/F | Dm7/F | F7sus',
    leads: 'F7sus leads to B♭7 as its dominant',
  },
  {
    name: '[OP4] vamp 4',
    trial: lantern,
    id: 'vamp',
    params: { bars: 4, form: 'I-bVII', connected: false },
    len: 4,
    chords: 'Fmaj7 | Ebmaj7 | Fmaj7 | Ebmaj7',
    leads: 'E♭∆ goes up a whole step to F∆, ♭VII to I',
  },
  {
    name: '[OP4] vamp 4, connected',
    trial: lantern,
    id: 'vamp',
    params: { bars: 4, form: 'I-bVII', connected: true },
    len: 4,
    chords: 'Fmaj7 | Ebmaj7 | Fmaj7 | Ebmaj7 C7sus@2',
    leads: 'C7sus leads to F∆ as its dominant',
  },
  {
    name: '[OP4] vamp in minor',
    trial: ferry,
    id: 'vamp',
    params: { bars: 4, form: 'i-IV', connected: false },
    len: 3,
    chords: 'Gm7 | C7 | Gm7 | C7',
    leads: 'C7 goes home to Gm6, IV to I',
  },
  {
    name: '[OP4] vamp in a blues',
    trial: slack,
    id: 'vamp',
    params: { bars: 2, form: 'I-bVII', connected: false },
    len: 4,
    chords: 'Bb7 | Ab7',
    leads: 'A♭7 goes up a whole step to B♭7, ♭VII to I',
  },
  {
    name: '[OP7] turnaround',
    trial: lantern,
    id: 'turnaround',
    params: { bars: 4 },
    len: 4,
    chords: 'Gm7 | C7 | Am7 D7b9 | Gm7 C7',
    leads: 'C7 leads to F∆ as its dominant',
  },
]

describe('worked openings', () => {
  for (const { name, trial, id, params, len, chords, leads } of CELLS) {
    it(`${name}, [OP2] the connection named`, () => {
      const made = openingOf(trial, id, params)
      expect(made).toHaveLength(params['bars'] as number)
      expect(rowDifferences(made, asRows(chords), { len })).toEqual([])
      expect(connection(trial, id, params)).toBe(leads)
    })
  }
})
