/** What is final stays final, one voter counts once, and nobody without a link gets in: tries made, and how many of them came through. */
import { readFileSync, readdirSync } from 'node:fs'
import { join } from 'node:path'
import { afterAll, beforeAll, it } from 'vitest'
import { memberAtEveryDoor, racedBallots, strangerAtEveryDoor, type Tried } from '../../server/attempts.js'
import {
  type Board,
  cleanUp,
  newBoard,
  type Person,
  personAt,
  type RunningServer,
  startServer,
} from '../../server/harness.js'
import { LAST_CHORUS, NO_LIFT, SONG } from '../../server/music.js'
import { figure } from '../figure.js'
import { quantile } from './load.js'

const VOTERS = 12
const BALLOTS = 10
const REVOKED = 10

let server: RunningServer
let board: Board
let leader: Person
beforeAll(async () => {
  server = await startServer({ env: { SESSIONS_PER_MINUTE: '100000' } })
  board = await newBoard(server, 'Boat shed', SONG)
  leader = await personAt(server, board.links.leader, 'Maro')
})
afterAll(cleanUp)

const none = (id: string, what: string, { tries, broken }: Tried, note = '') =>
  figure({
    id,
    what,
    value: broken.length,
    unit: '',
    target: { exactly: 0 },
    note: [`of ${tries}`, note, ...broken].filter(Boolean).join('; '),
  })

it('[LK1] a member at every door', async () => {
  const member = await personAt(server, board.links.member)
  await leader.command('lock', {
    slot: { decision: 'lift', at: LAST_CHORUS },
    option: NO_LIFT,
    baseSeq: await leader.seq(),
  })
  none(
    'LK1',
    'tries of a member that changed a lock, the tune, line-up, running order or a poll, or were not refused',
    await memberAtEveryDoor(leader, member),
    'commands, replays, made-up cookies, crafted updates, transport, forged rows',
  )
})

it('[PO1] ballots raced', async () => {
  const voters = await Promise.all(Array.from({ length: VOTERS }, () => personAt(server, board.links.listener)))
  const raced = await racedBallots(leader, voters, BALLOTS)
  none(
    'PO1',
    'tallies that differ from a count of our own, single ballots that left the server',
    raced,
    `raced ballots of ${VOTERS} voters`,
  )
})

it('[AC1] no content without a link', async () => {
  const other = await newBoard(server, 'Elsewhere')
  none(
    'AC1',
    'tries without a valid link that were answered with a board',
    await strangerAtEveryDoor(server, board, other),
    'addresses, sockets and sessions with no key, made-up ones and one of another board',
  )
  const tokens = Object.values(board.links).map((link) => link.split('#')[1] ?? '')
  const stored = readdirSync(server.dataDir)
    .filter((name) => name !== 'secret')
    .map((name) => readFileSync(join(server.dataDir, name), 'latin1'))
  const seen = tokens.filter((token) =>
    [...stored, server.stdout(), server.stderr()].some((text) => text.includes(token)),
  )
  figure({
    id: 'AC1',
    what: 'tokens that stand in the store or the log in clear',
    value: seen.length,
    unit: '',
    target: { exactly: 0 },
    note: `of ${tokens.length}, ${stored.length} files and the log looked through`,
  })
  figure({
    id: 'AC1',
    what: 'shortest token of a link',
    value: Math.min(...tokens.map((token) => Buffer.from(token, 'base64url').length * 8)),
    unit: 'bits',
    target: { atLeast: 128 },
  })
})

it('[AC3] a link taken back', async () => {
  const took: number[] = []
  for (let index = 0; index < REVOKED; index++) {
    const { body } = await leader.command('issueLink', { role: 'member' })
    const wire = (await personAt(server, body.link)).socket()
    await wire.opened
    const began = performance.now()
    await leader.command('revokeLink', { linkId: body.linkId })
    const { code } = await wire.closed
    took.push(code === 4401 ? performance.now() - began : Infinity)
  }
  figure({
    id: 'AC3',
    what: 'from taking a link back to the end of its sockets, the slowest',
    value: quantile(took, 1),
    unit: 'ms',
    target: { atMost: 1000 },
    note: `${REVOKED} links, each closed with 4401`,
  })
})
