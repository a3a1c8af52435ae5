/** Nothing that was called saved or accepted is lost, whenever the server is killed; and whatever happens on the way, all drafts end alike. */
import { afterAll, it } from 'vitest'
import { evening } from '../../chaos/schedule.js'
import { cleanUp } from '../../server/harness.js'
import { killRounds } from '../../server/kills.js'
import { figure } from '../figure.js'

/** LONG=1 runs the numbers of the promise, a good hour. */
const KILLS = process.env['LONG'] ? 200 : 24
const SCHEDULES = Number(process.env['CHAOS'] ?? (process.env['LONG'] ? 10_000 : 300))
const seed = Number(process.env['SEED'] ?? 1)

afterAll(cleanUp)

it('[DU1] [DU2] a server killed under load', { timeout: 1_800_000 }, async () => {
  const { savedEdits, savedDeletions, acceptedCommands, lostEdits, lostCommands, broken } = await killRounds(
    KILLS,
    seed,
  )
  const note = `${KILLS} kills at random moments, seed ${seed}`
  figure({
    id: 'DU1',
    what: 'saved edits lost to SIGKILL under load',
    value: lostEdits.length,
    unit: '',
    target: { exactly: 0 },
    note: `of ${savedEdits} edits and ${savedDeletions} deletions called saved; ${note}`,
  })
  figure({
    id: 'DU2',
    what: 'accepted commands lost to SIGKILL, ledgers not dense or not folding',
    value: lostCommands.length + broken.length,
    unit: '',
    target: { exactly: 0 },
    note: `of ${acceptedCommands} commands answered; ${note}`,
  })
})

it('[CO1] [CO4] seeded schedules', { timeout: 3_600_000 }, async () => {
  const sum = { edits: 0, crashes: 0, promised: 0, wrong: 0 }
  for (let index = 0; index < SCHEDULES; index++) {
    const { edits, crashes, promised, wrong } = await evening(seed + index)
    sum.edits += edits
    sum.crashes += crashes
    sum.promised += promised
    if (wrong.length > 0) sum.wrong++
  }
  figure({
    id: 'CO1',
    what: 'schedules of delays, losses, reconnects and crashes that end with drafts that differ, or lose what was saved',
    value: sum.wrong,
    unit: '',
    target: { exactly: 0 },
    note: `of ${SCHEDULES}, seeds from ${seed}: ${sum.edits} edits, ${sum.crashes} crashes, ${sum.promised} saved edits looked for`,
  })
})
