/** What somebody tries who may not: a member at what is final, a voter at the count, a stranger at the door. Tests and bench look at what came of it. */
import type { LedgerEntry } from '@chartloft/shared-theory'
import * as Y from 'yjs'
import { type Board, newId, Person, personAt, type RunningServer, Wire } from './harness.js'
import { LAST_CHORUS, NO_LIFT, SONG } from './music.js'

/** Tries made, and those that were not refused or changed something, in words. */
export interface Tried {
  readonly tries: number
  readonly broken: readonly string[]
}

const LIFT = { decision: 'lift', at: LAST_CHORUS } as const

export const entriesOf = async (person: Person): Promise<LedgerEntry[]> =>
  (await person.call('GET', `/api/boards/${person.boardId}/ledger?after=0`)).body.entries

/** Every door a member has, on a board whose lift is locked: commands, the draft, presence, the transport, a forged row, a made-up cookie. */
export async function memberAtEveryDoor(leader: Person, member: Person): Promise<Tried> {
  const broken: string[] = []
  let tries = 0
  const expectStatus = (what: string, found: number, wanted: number) => {
    tries++
    if (found !== wanted) broken.push(`${what}: ${found}, not ${wanted}`)
  }
  const before = JSON.stringify(await entriesOf(leader))
  const baseSeq = await leader.seq()
  const bodies: readonly [string, object][] = [
    ['lock', { slot: LIFT, option: NO_LIFT, baseSeq }],
    ['unlock', { slot: LIFT, reason: 'mine now', baseSeq }],
    ['setTune', { ...SONG, encoding: 'utf8', baseSeq }],
    ['setKey', { key: 'C major' }],
    ['setLineup', { lineup: [], baseSeq }],
    ['setRoadmap', { roadmap: [], baseSeq }],
    ['setEdits', { edits: [] }],
    ['restoreVersion', { toSeq: 1, baseSeq }],
    ['openPoll', {}],
    ['closePoll', { pollId: 'x' }],
    ['issueLink', { role: 'leader' }],
    ['revokeLink', { linkId: 'x' }],
    ['setRights', { rights: 'own' }],
    ['openPlace', { slot: LIFT }],
    ['closePlace', { slot: LIFT }],
    ['markPrinted', {}],
    ['lock', { slot: LIFT, role: 'leader', by: { role: 'leader' } }],
  ]
  for (const [kind, fields] of bodies) expectStatus(kind, (await member.command(kind, fields)).status, 403)
  expectStatus('createBoard', (await member.command('createBoard', { title: 'x' })).status, 400)
  const [known] = (await entriesOf(leader)).filter((entry) => entry.by.role === 'leader')
  if (known?.command.commandId)
    expectStatus(
      'a command replayed',
      (await member.command('unlock', { slot: LIFT, reason: 'x' }, known.command.commandId)).status,
      403,
    )
  const forged = await member.call(
    'POST',
    `/api/boards/${member.boardId}/commands`,
    { commandId: newId(), kind: 'unlock', slot: LIFT, reason: 'x', baseSeq },
    { cookie: `loft_${member.boardId}=${'A'.repeat(43)}` },
  )
  expectStatus('a made-up cookie', forged.status, 401)
  const wire = member.socket()
  await wire.opened
  const doc = new Y.Doc()
  doc.getMap('locks').set('lift', 'up-7')
  doc.getMap('options').set('lift', { locked: true })
  wire.sendSync(2, Y.encodeStateAsUpdate(doc))
  await wire.hear((message) => message.type === 17 && message.json.n === 1)
  wire.sendJson(18, {
    playing: false,
    startsAt: 0,
    fromTick: 0,
    tempoScale: 1,
    planHash: 'forged',
    slot: 'lift',
    optionId: 'up-7',
  })
  await wire.hear((message) => message.type === 18)
  wire.sendJson(19, { seq: 99, command: { kind: 'unlock', slot: LIFT } })
  expectStatus('a forged ledger row', (await wire.closed).code, 4400)
  tries += 2
  if (JSON.stringify(await entriesOf(leader)) !== before) broken.push('the ledger is another one')
  return { tries, broken }
}

/** Without a valid link: every address of a board and its socket, with nothing, with made-up keys, with the key of another board. */
export async function strangerAtEveryDoor(server: RunningServer, board: Board, other: Board): Promise<Tried> {
  const broken: string[] = []
  let tries = 0
  const value = (await personAt(server, other.links.leader)).cookie.split('=')[1] ?? ''
  const cookies = [
    '',
    `loft_${board.boardId}=${'a'.repeat(43)}`,
    `loft_${board.boardId}=${value}`,
    `loft_${board.boardId}=`,
  ]
  const paths = ['ledger', 'polls', 'export'].map((path) => `/api/boards/${board.boardId}/${path}`)
  paths.push(`/api/session?board=${board.boardId}`)
  for (const cookie of cookies) {
    const headers: Record<string, string> = cookie ? { cookie } : {}
    for (const path of paths) {
      tries++
      const { status } = await new Person(server).call('GET', path, undefined, headers)
      if (status !== 401) broken.push(`${path} with '${cookie.slice(0, 20)}': ${status}`)
    }
    for (const origin of [server.url, 'https://elsewhere.example']) {
      tries++
      const wire = new Wire(`${server.url.replace('http', 'ws')}/ws/${board.boardId}`, { origin, ...headers })
      const status = await wire.opened
      if (status !== 401 && status !== 403) broken.push(`a socket from ${origin}: ${status}`)
      wire.socket.terminate()
    }
  }
  for (const token of ['', 'x'.repeat(43), board.boardId, board.links.leader.slice(0, -1)]) {
    tries++
    const { status } = await new Person(server).call('POST', '/api/session', { token })
    if (status < 400) broken.push(`the token '${token.slice(0, 12)}': ${status}`)
  }
  return { tries, broken }
}

/** Voters who send ballots all at once, again and again, some of them twice: the tally against a count of our own. */
export async function racedBallots(leader: Person, voters: readonly Person[], each: number): Promise<Tried> {
  const options = ['one', 'two', 'three'].map((id) => ({ id, title: id }))
  const { body } = await leader.command('openPoll', {
    question: 'Which?',
    method: 'single',
    options,
    audience: 'everyone',
    tally: 'always',
  })
  const { pollId } = body
  const send = (voter: Person, ballotId: string, id: string) =>
    voter.call('POST', `/api/polls/${pollId}/ballots`, { ballotId, choices: [id] })
  const broken: string[] = []
  const answers = await Promise.all(
    voters.flatMap((voter, at) =>
      Array.from({ length: each }, (_, index) =>
        send(voter, `ballot-${Math.floor(index / 2)}`, options[(at + index) % 3]?.id ?? ''),
      ),
    ),
  )
  if (answers.some(({ status }) => status !== 200 && status !== 409)) broken.push('a ballot was answered strangely')
  const look = async (who: Person) => (await who.call('GET', `/api/polls/${pollId}`)).body
  const raced = (await look(leader)).tally
  if (raced.voters !== voters.length) broken.push(`${raced.voters} voters counted of ${voters.length}`)
  // A count of our own: what each voter is told stands for them.
  const mine = await Promise.all(voters.map(async (voter) => (await look(voter)).mine[0] as string))
  for (const { id } of options) {
    const own = mine.filter((choice) => choice === id).length
    if (raced.counts[id] !== own) broken.push(`${id}: ${raced.counts[id]} in the tally, ${own} by counting again`)
  }
  const everywhere = JSON.stringify([
    await entriesOf(leader),
    (await leader.call('GET', `/api/boards/${leader.boardId}/export`)).body,
    await look(leader),
  ])
  if (/ballot-\d/.test(everywhere)) broken.push('a single ballot left the server')
  return { tries: answers.length, broken }
}
