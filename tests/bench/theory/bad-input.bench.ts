/** Bad input at full sample. */
import { it } from 'vitest'
import { measureBadInput } from '../../laws/bad-input-laws.js'
import { figure } from '../figure.js'

it('broken values', () => {
  const { tried, faults, slowestMs } = measureBadInput(600, 18)
  if (faults.length > 0) console.log(faults.slice(0, 20).join('\n'))
  figure({
    id: 'CO13',
    what: 'broken tunes, plans, arrangements and folded scores that make a reader throw or give nonsense',
    value: faults.length,
    unit: '',
    target: { exactly: 0 },
    note: `${tried} values for thirteen readers, seed 18`,
  })
  figure({
    id: 'CO13',
    what: 'slowest answer to a broken value',
    value: slowestMs,
    unit: 'ms',
    target: { atMost: 2000 },
  })
})
