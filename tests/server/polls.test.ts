/** Votes: one a voter, seen by whom the poll allows, counted right. */
import { createRequire } from 'node:module'
import { join } from 'node:path'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import {
  type Board,
  type Person,
  type RunningServer,
  cleanUp,
  newBoard,
  ROOT,
  personAt,
  runCommand,
  startServer,
  until,
} from './harness.js'
import { LAST_CHORUS, NO_LIFT, SONG, optionOf } from './music.js'

let server: RunningServer
let board: Board
let leader: Person
let member: Person
let listener: Person
beforeAll(async () => {
  server = await startServer()
  board = await newBoard(server, 'Boat shed', SONG)
  leader = await personAt(server, board.links.leader)
  member = await personAt(server, board.links.member)
  listener = await personAt(server, board.links.listener)
})
afterAll(cleanUp)

const CHOICES = [
  { id: 'one', title: 'One' },
  { id: 'two', title: 'Two' },
  { id: 'three', title: 'Three' },
]
async function open(fields: object = {}): Promise<string> {
  const answer = await leader.command('openPoll', {
    question: 'Which?',
    method: 'single',
    options: CHOICES,
    audience: 'everyone',
    tally: 'always',
    ...fields,
  })
  expect(answer.status, JSON.stringify(answer.body)).toBe(200)
  return answer.body.pollId
}
const vote = (person: Person, pollId: string, choices: unknown, ballotId = 'ballot-1') =>
  person.call('POST', `/api/polls/${pollId}/ballots`, { ballotId, choices })
const see = (person: Person, pollId: string) => person.call('GET', `/api/polls/${pollId}`)

describe('[PO1] ballots', () => {
  it('one a voter: fifty raced from one session count once, and the last one stands', async () => {
    const pollId = await open()
    const answers = await Promise.all(
      Array.from({ length: 50 }, (_, index) => vote(listener, pollId, [CHOICES[index % 3]?.id], `ballot-${index}`)),
    )
    expect(answers.every((answer) => answer.status === 200)).toBe(true)
    const { body } = await see(listener, pollId)
    expect(body.tally.voters).toBe(1)
    expect(Object.values(body.tally.counts).reduce((sum: number, count) => sum + Number(count), 0)).toBe(1)
    await vote(listener, pollId, ['two'], 'last')
    await vote(member, pollId, ['two'])
    const seen = (await see(member, pollId)).body
    expect(seen.tally).toMatchObject({
      voters: 2,
      counts: { one: 0, two: 2, three: 0 },
      counted: 'browsers, not people',
    })
    expect(seen.mine).toEqual(['two'])
  })

  it('approval and score count as they should', async () => {
    const approval = await open({ method: 'approval' })
    await vote(leader, approval, ['one', 'three'])
    await vote(member, approval, ['three'])
    expect((await see(leader, approval)).body.tally.counts).toEqual({ one: 1, two: 0, three: 2 })
    const score = await open({ method: 'score', byRole: true })
    await vote(leader, score, { one: 5, two: 1 })
    await vote(listener, score, { one: 2, three: 4 })
    expect((await see(leader, score)).body.tally).toMatchObject({
      counts: { one: 7, two: 1, three: 4 },
      byRole: { band: { one: 5, two: 1, three: 0 }, listeners: { one: 2, two: 0, three: 4 } },
    })
  })

  it('what cannot be counted is 422: unknown options, two in a single choice, scores out of range, wrong shapes', async () => {
    const single = await open()
    for (const choices of [['nine'], ['one', 'two'], ['one', 'one'], [], 'one', { one: 3 }, null]) {
      expect((await vote(member, single, choices)).status, JSON.stringify(choices)).toBe(422)
    }
    const score = await open({ method: 'score' })
    for (const choices of [
      { one: 6 },
      { one: -1 },
      { one: 1.5 },
      { one: '3' },
      { nine: 1 },
      ['one'],
      { __proto__: 1 },
    ]) {
      const status = (await vote(member, score, choices)).status
      expect(status === 422 || Object.keys(choices).length === 0, JSON.stringify(choices)).toBe(true)
    }
    expect((await see(member, single)).body.tally.voters).toBe(0)
  })

  it('votes of personal links are people', async () => {
    const pollId = await open({ audience: 'invited' })
    const { body } = await leader.command('issueLink', { role: 'listener', personal: true })
    const [here, there] = [await personAt(server, body.link), await personAt(server, body.link)]
    await vote(here, pollId, ['one'])
    await vote(there, pollId, ['three'])
    expect((await see(here, pollId)).body.tally).toMatchObject({
      voters: 1,
      counts: { one: 0, two: 0, three: 1 },
      counted: 'people',
    })
  })
})

describe('[PO2] who sees what', () => {
  it('the audience: band, everyone, invited', async () => {
    const [band, everyone, invited] = [
      await open({ audience: 'band' }),
      await open(),
      await open({ audience: 'invited' }),
    ]
    expect((await see(listener, band)).status).toBe(403)
    expect((await vote(listener, band, ['one'])).status).toBe(403)
    expect((await see(listener, everyone)).status).toBe(200)
    expect((await see(listener, invited)).status).toBe(403)
    const listed = (await listener.call('GET', `/api/boards/${board.boardId}/polls`)).body.polls.map(
      (poll: { pollId: string }) => poll.pollId,
    )
    expect(listed).toContain(everyone)
    expect(listed).not.toContain(band)
    expect(listed).not.toContain(invited)
    const other = await newBoard(server, 'Elsewhere')
    expect((await see(await personAt(server, other.links.member), everyone)).status).toBe(401)
  })

  it('a hidden tally is absent everywhere until its rule lets it be seen', async () => {
    const pollId = await open({ tally: 'afterVote' })
    await vote(listener, pollId, ['one'])
    expect((await see(member, pollId)).body).not.toHaveProperty('tally')
    expect((await see(listener, pollId)).body.tally.voters).toBe(1)
    const after = await open({ tally: 'afterClose' })
    await vote(leader, after, ['one'])
    expect((await see(leader, after)).body).not.toHaveProperty('tally')
    const exported = (await leader.call('GET', `/api/boards/${board.boardId}/export`)).body
    expect(exported.polls.find((poll: { pollId: string }) => poll.pollId === after)).toEqual({ pollId: after })
    const ledger = JSON.stringify((await leader.call('GET', `/api/boards/${board.boardId}/ledger`)).body)
    expect(ledger).not.toContain('"voters"')
    expect(ledger).not.toContain('ballot')
    await leader.command('closePoll', { pollId: after })
    expect((await see(leader, after)).body.tally.voters).toBe(1)
  })

  it('options with music can be played in place: a few bars that stand by themselves', async () => {
    const options = [
      { id: 'stay', title: 'No lift', option: NO_LIFT },
      { id: 'as-is', title: 'The same', option: { ...NO_LIFT, id: 'again' } },
    ]
    const pollId = await open({ options, slot: { decision: 'lift', at: LAST_CHORUS } })
    const { body } = await see(listener, pollId)
    for (const option of body.options) {
      const { bars } = option.arrangement
      expect(bars.length).toBeGreaterThanOrEqual(8)
      expect(bars.length).toBeLessThanOrEqual(20)
      expect(bars.map((bar: { barIndex: number }) => bar.barIndex)).toEqual(
        bars.map((_bar: unknown, index: number) => index),
      )
      expect(Object.keys(bars[0].parts)).toEqual(option.arrangement.lineup.map((part: { id: string }) => part.id))
    }
    const broken = await leader.command('openPoll', {
      question: 'x',
      method: 'single',
      audience: 'band',
      tally: 'always',
      options: [
        { id: 'a', title: 'A', option: optionOf('ending', 'no-such-recipe') },
        { id: 'b', title: 'B' },
      ],
    })
    expect(broken.status).toBe(422)
  })
})

describe('[PO3] closing', () => {
  it('by the leader: ballots are 409 after', async () => {
    const pollId = await open()
    expect((await leader.command('closePoll', { pollId })).status).toBe(200)
    const late = await vote(member, pollId, ['one'])
    expect(late.status).toBe(409)
    expect(late.body.error.code).toBe('closed')
    expect((await leader.command('closePoll', { pollId })).status).toBe(409)
  })

  it('by its time on the server’s clock, with a row of the server’s own', async () => {
    const pollId = await open({ closesAt: Date.now() + 700 })
    expect((await vote(member, pollId, ['one'])).status).toBe(200)
    await until(async () => (await vote(member, pollId, ['two'])).status === 409, 'closed in time')
    expect((await see(member, pollId)).body).toMatchObject({ open: false, tally: { counts: { one: 0 } } })
    await until(async () => {
      const { entries } = (await member.call('GET', `/api/boards/${board.boardId}/ledger`)).body
      const last = entries.at(-1)
      return last.command.kind === 'closePoll' && last.command.pollId === pollId && last.by.role === 'server'
    }, 'the ledger says so')
  })
})

describe('[PO5] the options under their own address', () => {
  const at = (path: string, headers: { readonly [name: string]: string } = {}) =>
    fetch(server.url + path, { headers: { 'accept-encoding': 'identity', ...headers } })
  const pathOf = async (pollId: string) => (await see(leader, pollId)).body.optionsPath as string

  it('are what the poll tells, for good: kept by any cache where the poll is for everyone', async () => {
    const options = [
      { id: 'stay', title: 'No lift', option: NO_LIFT },
      { id: 'other', title: 'Another', option: { ...NO_LIFT, id: 'again' } },
    ]
    const pollId = await open({ options, slot: { decision: 'lift', at: LAST_CHORUS } })
    const whole = (await see(listener, pollId)).body
    const { body: state } = await listener.call('GET', `/api/polls/${pollId}/state`)
    const { options: told, ...rest } = whole
    expect(state).toEqual(rest)
    expect(told[0].arrangement.bars.length).toBeGreaterThan(0)
    // No cookie: whoever was told the address was told of the poll.
    const page = await at(state.optionsPath)
    expect(page.status).toBe(200)
    expect(page.headers.get('cache-control')).toMatch(/^public, max-age=\d+, immutable$/)
    const tag = page.headers.get('etag') ?? ''
    expect(state.optionsPath).toContain(tag.replaceAll('"', ''))
    expect(await page.json()).toEqual({ options: told })
    const again = await at(state.optionsPath, { 'if-none-match': tag })
    expect([again.status, await again.text()]).toEqual([304, ''])
    const zipped = await at(state.optionsPath, { 'accept-encoding': 'gzip' })
    expect(zipped.headers.get('content-encoding')).toBe('gzip')
    expect(zipped.headers.get('etag')).not.toBe(tag)
    expect(Number(zipped.headers.get('content-length'))).toBeLessThan(Number(page.headers.get('content-length')) / 2)
    expect(await zipped.json()).toEqual({ options: told })
    const head = await fetch(server.url + state.optionsPath, { method: 'HEAD' })
    expect([head.status, await head.text()]).toEqual([200, ''])
    await vote(listener, pollId, ['stay'])
    expect(await pathOf(pollId)).toBe(state.optionsPath)
  })

  it('another hash is 404; those of a poll for the band or the invited need a session that sees it', async () => {
    const everyone = await open()
    expect((await at((await pathOf(everyone)).replace(/.$/, (last) => (last === 'A' ? 'B' : 'A')))).status).toBe(404)
    expect((await at((await pathOf(everyone)).replace(everyone, await open()))).status).toBe(404)
    for (const audience of ['band', 'invited']) {
      const path = await pathOf(await open({ audience }))
      expect((await at(path)).status).toBe(401)
      expect((await listener.call('GET', path)).status).toBe(403)
      const seen = await member.call('GET', path)
      expect(seen.status).toBe(200)
      expect(seen.headers.get('cache-control')).toMatch(/^private, /)
      expect(seen.body.options.map(({ id }: { id: string }) => id)).toEqual(CHOICES.map(({ id }) => id))
    }
  })

  it('are gone with their board', async () => {
    const gone = await newBoard(server, 'Gone')
    const chief = await personAt(server, gone.links.leader)
    const { body } = await chief.command('openPoll', {
      question: 'Which?',
      method: 'single',
      options: CHOICES,
      audience: 'everyone',
      tally: 'always',
    })
    const { optionsPath } = (await see(chief, body.pollId)).body
    expect((await at(optionsPath)).status).toBe(200)
    await chief.call('DELETE', `/api/boards/${gone.boardId}`, { title: 'Gone' })
    expect((await at(optionsPath)).status).toBe(404)
  })
})

describe('[PO6] recount', () => {
  it('proves the kept tallies of a board while its server runs, tells a wrong one, and mends it', async () => {
    const own = await startServer()
    const pier = await newBoard(own, 'Pier')
    const chief = await personAt(own, pier.links.leader)
    const { body } = await chief.command('openPoll', {
      question: 'Which?',
      method: 'score',
      options: CHOICES,
      audience: 'everyone',
      tally: 'always',
    })
    const others = await Promise.all(Array.from({ length: 20 }, () => personAt(own, pier.links.listener)))
    await Promise.all(
      others.map((person, index) => vote(person, body.pollId, { one: index % 6, two: 5 - (index % 6) })),
    )
    const recount = (...more: string[]) => runCommand(['recount', pier.boardId, '--data', own.dataDir, ...more])
    const first = await recount()
    expect([first.code, first.stdout]).toEqual([0, `${body.pollId}: 20 ballots, tally and recount are equal\n`])
    const Database = createRequire(join(ROOT, 'server/package.json'))('better-sqlite3') as new (path: string) => {
      exec(sql: string): void
      close(): void
    }
    const byHand = new Database(join(own.dataDir, 'chartloft.sqlite'))
    byHand.exec(`update tallies set counts = replace(counts, '"voters":20', '"voters":21')`)
    byHand.close()
    const second = await recount()
    expect(second.code).toBe(1)
    expect(second.stdout).toContain(`${body.pollId}: 20 ballots, but the tally says otherwise`)
    expect((await recount('--mend')).code).toBe(1)
    expect((await recount()).code).toBe(0)
    expect((await see(chief, body.pollId)).body.tally.voters).toBe(20)
    expect((await runCommand(['recount', 'no-such-board', '--data', own.dataDir])).code).toBe(2)
    await own.stop()
  })
})
