/** Seeded evenings on a bad network, with crashes: every draft ends alike, and nothing that was called saved is lost. */
import { describe, expect, it } from 'vitest'
import { evening } from './schedule.js'

/** CHAOS=10000 runs the promise's number; SEED starts elsewhere. */
const SCHEDULES = Number(process.env['CHAOS'] ?? (process.env['LONG'] ? 10_000 : 300))
const seed = Number(process.env['SEED'] ?? 1)

describe('[CO1] [CO2] [CO4] [DU1] any order of edits, delays, losses, reconnects and crashes', () => {
  it(`${SCHEDULES} seeded schedules from ${seed}`, { timeout: 3_600_000 }, async () => {
    const sum = { edits: 0, crashes: 0, promised: 0, forged: 0 }
    const wrong: string[] = []
    for (let index = 0; index < SCHEDULES; index++) {
      const told = await evening(seed + index)
      sum.edits += told.edits
      sum.crashes += told.crashes
      sum.promised += told.promised
      sum.forged += told.forged
      for (const line of told.wrong) wrong.push(`seed ${told.seed}: ${line}`)
    }
    console.log(
      `${SCHEDULES} schedules: ${sum.edits} edits, ${sum.crashes} crashes, ${sum.promised} saved edits and deletions kept, ${sum.forged} forged edits shown as nobody’s or their bringer’s, ${wrong.length} wrong`,
    )
    expect(sum.crashes).toBeGreaterThan(SCHEDULES / 2)
    expect(sum.forged).toBeGreaterThan(SCHEDULES / 50)
    expect(wrong.slice(0, 20)).toEqual([])
  })
})
