/** The attack list against a running server, short: `npm run bench -- sync` runs the long one. */
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { PATIENT, QUICK } from './attacks.js'
import { type Felt, openField, suffer, table } from './field.js'
import { cleanUp } from './harness.js'

const LIMIT_MS = 100

let field: Awaited<ReturnType<typeof openField>>
const all: Felt[] = []
beforeAll(async () => {
  field = await openField(false)
})
afterAll(async () => {
  console.log(table(all))
  expect(field.server.child.exitCode).toBeNull()
  await field.neighbour.end()
  cleanUp()
})

function holds(felt: Felt, ends: readonly number[]): void {
  expect(ends, felt.what).toContain(felt.code)
  expect(felt.counted, `${felt.what}: counted`).toBeGreaterThan(0)
  // The suite may share its machine: what is held here is the server's own share of the wait; the bench holds the wait itself.
  expect(felt.busyMs, `${felt.what}: the longest wait next door`).toBeLessThan(LIMIT_MS)
}

describe('[AB1] [AB3] attacks on one room, felt in another', () => {
  for (const attack of QUICK) {
    it(`${attack.what}: ended with ${attack.ends.join(' or ')}, counted, and nobody next door waits`, async () => {
      const [felt] = await suffer(field, [attack], LIMIT_MS, true)
      if (!felt) throw new Error('nothing was felt')
      all.push(felt)
      holds(felt, attack.ends)
    })
  }

  it('the patient ones, all at once', async () => {
    const felt = await suffer(field, PATIENT, LIMIT_MS, true)
    all.push(...felt)
    for (const [index, one] of felt.entries()) holds(one, PATIENT[index]?.ends ?? [])
  })
})
