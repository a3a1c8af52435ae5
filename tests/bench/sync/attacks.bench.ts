/** The attack list at full size against a running server: how each ended, whether it was counted, and how long anybody waited in another room. */
import { afterAll, beforeAll, it } from 'vitest'
import { PATIENT, QUICK } from '../../server/attacks.js'
import { type Felt, openField, suffer, table } from '../../server/field.js'
import { cleanUp } from '../../server/harness.js'
import { figure } from '../figure.js'

const LIMIT_MS = 100

let field: Awaited<ReturnType<typeof openField>>
const all: Felt[] = []
beforeAll(async () => {
  field = await openField(true)
})
afterAll(async () => {
  console.log(table(all))
  await field.neighbour.end()
  cleanUp()
})

it('[AB1] the attack list', async () => {
  const wrong: string[] = []
  for (const attack of [...QUICK, ...PATIENT]) {
    try {
      const [felt] = await suffer(field, [attack], LIMIT_MS, false)
      if (!felt) continue
      all.push(felt)
      if (!attack.ends.includes(felt.code)) wrong.push(`${felt.what}: ended with ${felt.code}`)
      if (felt.counted <= 0) wrong.push(`${felt.what}: not counted`)
    } catch (error) {
      wrong.push(`${attack.what}: ${error instanceof Error ? error.message : String(error)}`)
    }
  }
  const worst = all.toSorted((a, b) => b.waitMs - a.waitMs)[0]
  const busiest = all.toSorted((a, b) => b.busyMs - a.busyMs)[0]
  figure({
    id: 'AB1',
    what: 'attacks not ended with their code, or not counted',
    value: wrong.length,
    unit: '',
    target: { exactly: 0 },
    note: [`of ${QUICK.length + PATIENT.length}`, ...wrong].join('; '),
  })
  figure({
    id: 'AB1',
    what: 'the longest wait for an edit in another room while a board is attacked',
    value: worst?.waitMs ?? Infinity,
    unit: 'ms',
    target: { atMost: LIMIT_MS },
    note: `at "${worst?.what}", ${worst?.quietMs.toFixed(0)} ms in the quiet second before; an attack felt longer is tried again, twice at most`,
  })
  figure({
    id: 'AB1',
    what: 'of such a wait, the most the server itself was at work',
    value: busiest?.busyMs ?? Infinity,
    unit: 'ms',
    target: { atMost: LIMIT_MS },
    note: `at "${busiest?.what}"; processor time of its main thread between sending and delivery`,
  })
  figure({
    id: 'AB1',
    what: 'exits of the server under attack',
    value: field.server.child.exitCode === null ? 0 : 1,
    unit: '',
    target: { exactly: 0 },
  })
})
