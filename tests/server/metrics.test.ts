/** What an operator reads of one process: what it counts, and who may read it. */
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { type Board, type RunningServer, cleanUp, newBoard, newId, personAt, startServer, until } from './harness.js'
import { Editor, figureOf } from './machines.js'

let server: RunningServer
let board: Board
beforeAll(async () => {
  server = await startServer({ env: { TRUST_PROXY: '1', METRICS_FROM: '10.0.0.5, 172.16.0.0/12' } })
  board = await newBoard(server, 'Counted')
})
afterAll(cleanUp)

/** How much figures grow while something is done, by their names with labels. */
async function growth<const Names extends readonly string[]>(names: Names, act: () => Promise<unknown>) {
  const read = () => Promise.all(names.map((name) => figureOf(server, name)))
  const before = await read()
  await act()
  return (await read()).map((value, index) => value - (before[index] as number))
}

describe('[OP5] /metrics counts', () => {
  it('edits: deliveries, the time to being called saved, commits and the store’s calls', async () => {
    const people = await Promise.all([1, 2, 3].map(() => personAt(server, board.links.member)))
    const editors = people.map((person) => new Editor(person))
    await Promise.all(editors.map((editor) => editor.synced()))
    const [one, ...others] = editors as [Editor, ...Editor[]]
    // With the first edit goes word of whose it is.
    one.set('first')
    await until(() => one.saved.has('first') && others.every(({ cards }) => cards.has('first')), 'the first is told')
    const names = [
      'chartloft_deliveries_total',
      'chartloft_ack_seconds_count',
      'chartloft_ack_seconds_bucket{le="+Inf"}',
      'chartloft_ack_seconds_bucket{le="0.001"}',
      'chartloft_saved_seconds_count',
      'chartloft_store_seconds_count{method="appendUpdates"}',
      'chartloft_store_seconds_sum{method="appendUpdates"}',
    ] as const
    const [deliveries, acks, buckets, quick, commits, calls, seconds] = await growth(names, async () => {
      for (let count = 0; count < 10; count++) {
        one.set(`m${count}`)
        await until(() => one.saved.has(`m${count}`), 'saved')
      }
      await until(() => others.every(({ cards }) => cards.has('m9')), 'told')
    })
    // Each of ten edits, one after the other, to each of two others.
    expect(deliveries).toBe(20)
    expect(acks).toBe(10)
    expect(buckets).toBe(10)
    // None is on disk before the commit it waits for has begun, eight milliseconds after it came.
    expect(quick).toBe(0)
    expect(commits).toBe(10)
    expect(calls).toBe(10)
    expect(seconds).toBeGreaterThan(0)
    expect(await figureOf(server, 'chartloft_sockets')).toBe(3)
    expect(await figureOf(server, 'chartloft_rooms')).toBe(1)
    expect(await figureOf(server, 'chartloft_ledgers')).toBe(1)
    for (const { wire } of editors) wire.socket.close()
  })

  it('commands by what became of them, ballots, refusals', async () => {
    const leader = await personAt(server, board.links.leader)
    const listener = await personAt(server, board.links.listener)
    const names = [
      'chartloft_commands_total{kind="nameVersion",outcome="accepted"}',
      'chartloft_commands_total{kind="nameVersion",outcome="repeated"}',
      'chartloft_commands_total{kind="nameVersion",outcome="conflict"}',
      'chartloft_commands_total{kind="unlock",outcome="conflict"}',
      'chartloft_ballots_total',
      'chartloft_refused_total{reason="closed"}',
      'chartloft_store_seconds_count{method="putBallots"}',
    ] as const
    const grown = await growth(names, async () => {
      const commandId = newId()
      for (const name of ['x', 'x', 'y']) await leader.command('nameVersion', { name }, commandId)
      await leader.command('unlock', { slot: { decision: 'lift' }, reason: 'x', baseSeq: 1 })
      const options = ['a', 'b'].map((id) => ({ id, title: id }))
      const { pollId } = (
        await leader.command('openPoll', {
          question: '?',
          method: 'single',
          audience: 'everyone',
          tally: 'always',
          options,
        })
      ).body
      const vote = (choice: string) =>
        listener.call('POST', `/api/polls/${pollId}/ballots`, { ballotId: newId(), choices: [choice] })
      for (const choice of ['a', 'b', 'nothing']) await vote(choice)
      await leader.command('closePoll', { pollId })
      expect((await vote('a')).status).toBe(409)
    })
    expect(grown).toEqual([1, 1, 1, 1, 2, 1, 3])
  })

  it('sockets it ends, by code', async () => {
    const wire = (await personAt(server, board.links.member)).socket()
    await wire.hear((message) => message.type === 19)
    const names = ['chartloft_closed_total{code="4400"}', 'chartloft_closed_total{code="4401"}'] as const
    const grown = await growth(names, async () => {
      wire.send(Uint8Array.of(99))
      expect((await wire.closed).code).toBe(4400)
    })
    expect(grown).toEqual([1, 0])
  })

  it('for this machine, and for whom METRICS_FROM names; the address is the one a trusted proxy gives', async () => {
    const from = async (address: string) =>
      (await fetch(`${server.url}/metrics`, { headers: { 'x-forwarded-for': address } })).status
    expect(await (await fetch(`${server.url}/metrics`)).text()).toContain('process_cpu_seconds_total')
    expect(await Promise.all(['10.0.0.5', '172.20.1.1', '127.0.0.1'].map(from))).toEqual([200, 200, 200])
    expect(await Promise.all(['10.0.0.6', '192.168.1.1', '10.0.0.5, 203.0.113.9'].map(from))).toEqual([403, 403, 403])
  })
})
