/** What is written of the all-combinations sample, judged by the schema, by Verovio and by our reader. Rows that cover every pair
 *  of the first five options of each decision (TOP=… for another number), on each demo tune; the first six of a tune, all with LONG=1. */
import { it } from 'vitest'
import { type Sampled, combinationSample } from '../../outside/combination-sample.js'
import { filesOf, readBackFaults, verovioFaults } from '../../outside/judge-written.js'
import { ABSENT_SCHEMAS, schemaFaults } from '../../outside/open-schema.js'
import { figure } from '../figure.js'

const TOP = Number(process.env['TOP'] ?? 5)
const ROWS = process.env['LONG'] === '1' ? Infinity : 6

it('the sample', async () => {
  const failing = { schema: 0, verovio: 0, back: 0 }
  let files = 0
  let tried = 0
  const tell = ({ name }: Sampled, faults: readonly string[]): number => {
    if (faults.length > 0) console.log(`${name}: ${faults.slice(0, 3).join('; ')}`)
    return faults.length > 0 ? 1 : 0
  }
  for (const sampled of combinationSample(TOP, ROWS)) {
    tried++
    const written = filesOf(sampled.arrangement)
    files += Object.keys(written).length
    if (ABSENT_SCHEMAS.length === 0) failing.schema += tell(sampled, await schemaFaults(written))
    failing.verovio += tell(sampled, await verovioFaults(sampled.arrangement))
    failing.back += tell(sampled, readBackFaults(sampled.arrangement))
  }
  const note = `${tried} arrangements of the demo tunes for all line-ups, score and parts, written and concert, linear and folded: ${files} files`
  const holds = (what: string, count: number): void =>
    figure({ id: 'MX22', what, value: tried - count, unit: '', target: { exactly: tried }, note })
  if (ABSENT_SCHEMAS.length === 0)
    holds('arrangements whose every file is valid against the W3C schema', failing.schema)
  else console.log(`the schema was not asked because absent: ../shared/schemas/${ABSENT_SCHEMAS.join(', ')}`)
  holds(
    'arrangements Verovio opens without a warning and plays as the schedule does, linear and folded',
    failing.verovio,
  )
  holds('arrangements that read back to identical printed content, linear and folded', failing.back)
}, 36_000_000)
