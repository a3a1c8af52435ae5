/** The form found without its labels. The bench prints the figures at full sample. */
import { describe, expect, it } from 'vitest'
import { formTunes, measureForms } from './form-laws.js'

describe('[LW11] form found without labels', () => {
  it('of tunes made to twenty-six forms, and what a section changes when it comes again', () => {
    const { tunes, exact, misses, misnamed, byForm } = measureForms(formTunes(20, 100))
    console.log(`${exact} of ${tunes} forms exact`)
    if (process.env['ODD_PRINT']) {
      console.log(misses.join('\n'))
      console.log(
        Object.entries(byForm)
          .map(([name, [right, of]]) => `${name}: ${right}/${of}`)
          .join('\n'),
      )
    }
    expect(misnamed.slice(0, 20)).toEqual([])
    expect(exact / tunes).toBeGreaterThan(0.9)
  })
})
