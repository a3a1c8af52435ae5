/** Ten thousand listeners open a poll with music in it, vote and look at the tally, at the pace this machine keeps: what each takes, whether all are
 *  counted, and, from the processor time measured, what it would be for them all to come within one minute. */
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { figure } from '../figure.js'
import { type PrivatePostgres, sayMissing, startPostgres } from '../../server/databases.js'
import {
  type Person,
  type RunningServer,
  cleanUp,
  drawFrom,
  freshFolder,
  newBoard,
  personAt,
  startServer,
} from '../../server/harness.js'
import { LAST_CHORUS, NO_LIFT, SONG } from '../../server/music.js'
import { cpuSeconds, percentile } from '../../server/machines.js'
import { join } from 'node:path'

const VOTERS = Number(process.env['VOTERS'] ?? 10_000)
/** Requests under way at once: what a proxy would let through. */
const AT_ONCE = 8
const hasPostgres = sayMissing('ten thousand ballots on Postgres', { postgres: true })
const seed = Number(process.env['SEED'] ?? 7)

interface Night {
  readonly perSecond: number
  /** Opening the page's data: the poll's state, and its options by their address. */
  readonly openP95: number
  readonly optionsKb: number
  readonly openCpuMs: number
  readonly ballotP95: number
  readonly lookP95: number
  /** Processor time of all server processes for a ballot with its share of looks. */
  readonly cpuMs: number
  readonly wrong: readonly string[]
}

async function inTurns<T>(items: readonly T[], act: (item: T, index: number) => Promise<void>): Promise<void> {
  let next = 0
  const row = async () => {
    for (let index = next++; index < items.length; index = next++) await act(items[index] as T, index)
  }
  await Promise.all(Array.from({ length: AT_ONCE }, row))
}

async function pollNight(servers: readonly RunningServer[]): Promise<Night> {
  const [first] = servers as [RunningServer]
  const board = await newBoard(first, 'Festival', SONG)
  const leader = await personAt(first, board.links.leader)
  const options = ['a', 'b', 'c'].map((id) => ({ id, title: id, option: { ...NO_LIFT, id } }))
  const opened = await leader.command('openPoll', {
    question: 'Which?',
    method: 'single',
    audience: 'everyone',
    tally: 'always',
    options,
    slot: { decision: 'lift', at: LAST_CHORUS },
  })
  expect(opened.status, JSON.stringify(opened.body)).toBe(200)
  const path = `/api/polls/${opened.body.pollId}`
  const draw = drawFrom(seed)
  const voters: Person[] = []
  await inTurns(Array.from({ length: VOTERS }), async (_nobody, index) => {
    voters.push(await personAt(servers[index % servers.length] as RunningServer, board.links.listener))
  })
  const openings: number[] = []
  let optionsKb = 0
  const beforeOpening = await cpuSeconds(servers)
  await inTurns(voters, async (person) => {
    const began = performance.now()
    const { optionsPath } = (await person.call('GET', `${path}/state`)).body
    const page = await fetch(person.server.url + optionsPath)
    optionsKb = Number(page.headers.get('content-length')) / 1024
    await page.arrayBuffer()
    openings.push(performance.now() - began)
  })
  const openCpuMs = (((await cpuSeconds(servers)) - beforeOpening) * 1000) / VOTERS
  const chosen = new Map<Person, string>()
  const [ballots, looks]: [number[], number[]] = [[], []]
  const wrong: string[] = []
  const timed = async (into: number[], person: Person, method: string, to: string, body?: object) => {
    const began = performance.now()
    const answer = await person.call(method, to, body)
    into.push(performance.now() - began)
    return answer
  }
  const vote = async (person: Person, index: number) => {
    const choice = options[Math.floor(draw() * 3)]?.id ?? 'a'
    const body = { ballotId: `ballot-${index}`, choices: [choice] }
    const { status } = await timed(ballots, person, 'POST', `${path}/ballots`, body)
    if (status === 200) chosen.set(person, choice)
    else wrong.push(`ballot ${index}: ${status}`)
    // Every fifth looks; every tenth changes their mind, or sends again what was not answered.
    if (index % 5 === 0) {
      const { status: seen } = await timed(looks, person, 'GET', path)
      if (seen !== 200) wrong.push(`look ${index}: ${seen}`)
    }
  }
  const before = await cpuSeconds(servers)
  const began = performance.now()
  await inTurns(voters, vote)
  const seconds = (performance.now() - began) / 1000
  const cpuMs = (((await cpuSeconds(servers)) - before) * 1000) / VOTERS
  const again = voters.filter((_voter, index) => index % 10 === 0)
  await inTurns(again, vote)
  expect((await leader.command('closePoll', { pollId: opened.body.pollId })).status).toBe(200)
  const counts = Object.fromEntries(
    options.map(({ id }) => [id, [...chosen.values()].filter((one) => one === id).length]),
  )
  for (const server of servers) {
    const { tally } = (await leader.at(server).call('GET', path)).body
    if (tally.voters !== VOTERS) wrong.push(`${tally.voters} voters counted`)
    if (JSON.stringify(tally.counts) !== JSON.stringify(counts))
      wrong.push(`counted ${JSON.stringify(tally.counts)}, given ${JSON.stringify(counts)}`)
  }
  return {
    perSecond: VOTERS / seconds,
    openP95: percentile(openings, 0.95),
    optionsKb,
    openCpuMs,
    ballotP95: percentile(ballots, 0.95),
    lookP95: percentile(looks, 0.95),
    cpuMs,
    wrong,
  }
}

function show(where: string, night: Night): void {
  const { perSecond, openP95, optionsKb, openCpuMs, ballotP95, lookP95, cpuMs, wrong } = night
  const note = `${VOTERS} listeners, ${AT_ONCE} requests at once, ${perSecond.toFixed(0)} ballots a second, ${cpuMs.toFixed(2)} ms of the servers’ processor time each, seed ${seed}`
  expect(wrong).toEqual([])
  figure({
    id: 'PO5',
    what: `opening the page, p95, ${where}`,
    value: openP95,
    unit: 'ms',
    target: { atMost: 50 },
    note: `state and options, ${optionsKb.toFixed(1)} KB as sent; ${openCpuMs.toFixed(2)} ms of the servers’ processor time each, nothing cached in front`,
  })
  figure({
    id: 'PO4',
    what: `of one core, for ten thousand who come within a minute, ${where}`,
    value: ((openCpuMs + cpuMs) * 10_000) / 60_000 / 0.01,
    unit: '%',
    target: { atMost: 100 },
    note: `on paper: (${openCpuMs.toFixed(2)} ms to open + ${cpuMs.toFixed(2)} ms to vote) × 10,000 ÷ 60 s; with a cache in front the options are asked for once`,
  })
  figure({
    id: 'PO4',
    what: `ballots lost or counted twice, ${where}`,
    value: wrong.length,
    unit: '',
    target: { exactly: 0 },
    note,
  })
  figure({ id: 'PO4', what: `a ballot, p95, ${where}`, value: ballotP95, unit: 'ms', target: { atMost: 50 }, note })
  figure({
    id: 'PO4',
    what: `a look at the tally, p95, ${where}`,
    value: lookP95,
    unit: 'ms',
    target: { atMost: 100 },
    note,
  })
}

describe('[PO4] ten thousand listeners', () => {
  const env = { SESSIONS_PER_MINUTE: '1000000' }
  let postgres: PrivatePostgres | undefined
  beforeAll(async () => {
    if (hasPostgres) postgres = await startPostgres()
  }, 120_000)
  afterAll(async () => {
    cleanUp()
    await postgres?.stop()
  }, 60_000)
  it('on one process with its file', async () => {
    const server = await startServer({ env: env })
    show('one process, SQLite', await pollNight([server]))
    await server.stop()
  })
  it.skipIf(!hasPostgres)('on two processes with Postgres', async () => {
    const shared = {
      ...env,
      DATABASE_URL: (await postgres?.newDatabase()) ?? '',
      SECRET_FILE: join(freshFolder(), 'secret'),
    }
    const servers = [await startServer({ env: shared }), await startServer({ env: shared })]
    show('two processes, Postgres', await pollNight(servers))
    for (const server of servers) await server.stop()
  })
})
