/** The rules of the music, each with a test that names it. */
import { it } from 'vitest'
import { isTested, written } from '../../architecture/rules.js'
import { figure } from '../figure.js'

it('rules without a test', () => {
  const rules = written.get('shared-theory') ?? []
  const bare = rules.filter((rule) => !isTested('shared-theory', rule))
  figure({
    id: 'AR5',
    what: 'rules of the music that no test names',
    value: bare.length,
    unit: '',
    target: { exactly: 0 },
    note: `${rules.length} rules in shared-theory/SPEC.md${bare.length > 0 ? `; without: ${bare.slice(0, 10).join(', ')}` : ''}`,
  })
})
