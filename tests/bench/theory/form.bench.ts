/** The form found without its labels, at full sample. */
import { it } from 'vitest'
import { findForm } from '@chartloft/shared-theory'
import { madeTune } from '../../fixtures/made-tunes.js'
import { writtenTunes } from '../../laws/fold-laws.js'
import { FORM_PLANS, type LabelledTune, formTunes, measureForms, measureTraditional } from '../../laws/form-laws.js'
import { figure, processorMs } from '../figure.js'

it('forms made to a plan', () => {
  const { tunes, exact, misnamed, byForm } = measureForms(formTunes(200, 1000))
  console.log(
    Object.entries(byForm)
      .map(([name, [right, of]]) => `${name}: ${right}/${of}`)
      .join('\n'),
  )
  figure({
    id: 'FO1',
    what: `forms found exactly without labels, over ${Object.keys(FORM_PLANS).length} forms`,
    value: (100 * exact) / tunes,
    unit: '%',
    target: { atLeast: 90 },
    note: `${tunes} generated tunes with varied repeats, seeds from 1000`,
  })
  figure({
    id: 'FO3',
    what: 'repeated sections whose named differences are not the bars that differ',
    value: misnamed.length,
    unit: '',
    target: { exactly: 0 },
  })
})

it('written tunes', () => {
  const written: LabelledTune[] = [
    ...writtenTunes().map((tune) => ({ name: 'written', tune })),
    ...Array.from({ length: 60 }, (_, seed) => ({ name: 'made', tune: madeTune(seed) })),
  ]
  const { tunes, exact, misses } = measureForms(written)
  console.log(misses.join('\n'))
  figure({
    id: 'FO1',
    what: 'forms of the demo, test and generated song tunes found exactly without labels',
    value: (100 * exact) / tunes,
    unit: '%',
    target: { atLeast: 90 },
    note: `${tunes} tunes`,
  })
})

it('traditional tunes', () => {
  const { tunes, exact, sameForm, misses } = measureTraditional()
  console.log(misses.join('\n'))
  figure({
    id: 'FO1',
    what: 'forms of traditional tunes found as players name them, in sections as they are or larger or smaller',
    value: (100 * sameForm) / tunes,
    unit: '%',
    target: { atLeast: 70 },
    note: `${tunes} tunes encoded from memory with their labels; ${exact} letter for letter`,
  })
})

it('speed', () => {
  const [tune] = writtenTunes()
  figure({
    id: 'FO1',
    what: 'form of a 32-bar tune',
    value: processorMs(() => findForm({ ...tune!, sections: [] }), 15),
    unit: 'ms',
    target: { atMost: 50 },
  })
})
