/** A modified client with a member's or a listener's link: nobody else's identity, and for a listener no draft at all. */
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import * as Y from 'yjs'
import { entriesOf } from './attempts.js'
import { type Board, type Person, type RunningServer, cleanUp, newBoard, personAt, startServer } from './harness.js'
import { presenceFrame } from './hostile-bytes.js'
import { SONG } from './music.js'

const MARK = 'known-to-the-band-only'

let server: RunningServer
let board: Board
let leader: Person
beforeAll(async () => {
  server = await startServer()
  board = await newBoard(server, 'Boat shed', SONG)
  leader = await personAt(server, board.links.leader, 'Maro')
})
afterAll(cleanUp)

describe('[LK1] nobody else’s identity', () => {
  it('not in presence, in the draft, in shared playback, nor at a poll', async () => {
    const member = await personAt(server, board.links.member, 'Tove')
    const [own, watcher, rogue] = [leader.socket(), leader.socket(), member.socket()]
    await Promise.all([own, watcher, rogue].map((wire) => wire.hear((message) => message.type === 19)))
    const doc = new Y.Doc()
    doc.clientID = 4711
    doc.getText('notes').insert(0, MARK)
    own.sendSync(2, Y.encodeStateAsUpdate(doc))
    own.send(presenceFrame([[4711, 1, '{"name":"Maro"}']]))
    await watcher.hear((message) => message.type === 1 && Buffer.from(message.payload ?? []).includes('Maro'))
    // Presence under the leader's id.
    rogue.send(presenceFrame([[4711, 50, '{"name":"forged"}']]))
    rogue.sendJson(18, {
      playing: false,
      startsAt: 0,
      fromTick: 0,
      tempoScale: 1,
      planHash: 'x',
      by: { userId: leader.userId, name: 'Maro' },
    })
    const played = await watcher.hear((message) => message.type === 18)
    expect(played.json.by).toEqual({ userId: member.userId, name: 'Tove' })
    await new Promise((resolve) => setTimeout(resolve, 300))
    expect(
      watcher.heard.some((message) => message.type === 1 && Buffer.from(message.payload ?? []).includes('forged')),
    ).toBe(false)
    // A ballot with somebody else's name on it is one's own.
    const { body } = await leader.command('openPoll', {
      question: 'Which?',
      method: 'single',
      audience: 'everyone',
      tally: 'always',
      options: [
        { id: 'a', title: 'A' },
        { id: 'b', title: 'B' },
      ],
    })
    const ballots = `/api/polls/${body.pollId}/ballots`
    await leader.call('POST', ballots, { ballotId: 'mine', choices: ['a'] })
    await member.call('POST', ballots, {
      ballotId: 'mine',
      choices: ['b'],
      voter: leader.userId,
      userId: leader.userId,
    })
    const seen = (await leader.call('GET', `/api/polls/${body.pollId}`)).body
    expect([seen.mine, seen.tally.counts]).toEqual([['a'], { a: 1, b: 1 }])
    // An edit under the leader's client id ends the connection and stays out.
    const forged = new Y.Doc()
    Y.applyUpdate(forged, Y.encodeStateAsUpdate(doc))
    forged.clientID = 4711
    const before = Y.encodeStateVector(forged)
    forged.getText('notes').insert(0, 'forged ')
    rogue.sendSync(2, Y.encodeStateAsUpdate(forged, before))
    expect((await rogue.closed).code).toBe(4400)
    for (const wire of [own, watcher]) wire.socket.close()
  })
})

describe('[LK1] what the leader did, sent again by a member', () => {
  it('a command with the leader’s own id is refused, tells nothing of its answer, and counts as the leader’s alone', async () => {
    const member = await personAt(server, board.links.member, 'Tove')
    const commandId = 'the-leaders-own-id'
    const fields = { name: 'Before the break' }
    const { status, body } = await leader.command('nameVersion', fields, commandId)
    expect(status).toBe(200)
    const before = await entriesOf(leader)
    for (const [kind, sent, refusedWith] of [
      ['nameVersion', fields, 409],
      ['markPrinted', {}, 403],
      ['setTune', { ...SONG, encoding: 'utf8', baseSeq: body.seq }, 403],
    ] as const) {
      const answer = await member.command(kind, sent, commandId)
      expect([kind, answer.status]).toEqual([kind, refusedWith])
      expect(answer.body.seq).toBeUndefined()
    }
    expect(await entriesOf(leader)).toEqual(before)
    // The leader's own repetition is still the one row.
    expect((await leader.command('nameVersion', fields, commandId)).body.seq).toBe(body.seq)
    expect(await entriesOf(leader)).toEqual(before)
  })

  it('an id a member used first for a refused command is still the leader’s to use', async () => {
    const member = await personAt(server, board.links.member, 'Tove')
    expect((await member.command('markPrinted', {}, 'taken-early')).status).toBe(403)
    expect((await leader.command('markPrinted', {}, 'taken-early')).status).toBe(200)
  })

  it('no tune is brought over the board: not by setTune, nor by a board file under the board’s own id', async () => {
    const member = await personAt(server, board.links.member, 'Tove')
    const before = await entriesOf(leader)
    const other = { ...SONG, data: SONG.data.replace(/^T:.*$/m, 'T:Another tune'), encoding: 'utf8' }
    expect((await member.command('setTune', { ...other, baseSeq: await leader.seq() })).status).toBe(403)
    const file = (await leader.call('GET', `/api/boards/${board.boardId}/export`)).body
    const forged = { ...file, title: 'Another tune', ledger: file.ledger.slice(0, 1) }
    const imported = await member.call('POST', '/api/boards/import', forged)
    expect(imported.status).toBe(201)
    expect(imported.body.boardId).not.toBe(board.boardId)
    for (const kind of ['importBoard', 'createBoard'])
      expect((await member.command(kind, { from: board.boardId, title: 'x', links: [] })).status).toBe(400)
    expect(await entriesOf(leader)).toEqual(before)
    const wire = leader.socket()
    const { state } = (await wire.hear((message) => message.type === 19)).json
    expect(state.tune.title).not.toBe('Another tune')
    wire.socket.close()
  })
})

describe('[AC1] a listener at every door', () => {
  it('is refused, and not a byte of the draft comes out', async () => {
    const listener = await personAt(server, board.links.listener)
    const seq = await leader.seq()
    const answers: string[] = []
    const api = `/api/boards/${board.boardId}`
    const doors: readonly (readonly [string, string, object?])[] = [
      ['GET', `${api}/ledger?after=0`],
      ['GET', `${api}/export`],
      ['DELETE', api, { title: 'Boat shed' }],
      ...[
        'lock',
        'unlock',
        'openPoll',
        'closePoll',
        'setLineup',
        'setRoadmap',
        'nameVersion',
        'restoreVersion',
        'issueLink',
        'revokeLink',
        'setRights',
        'setTune',
      ].map(
        (kind) =>
          ['POST', `${api}/commands`, { commandId: `listener-${kind}`, kind, name: 'x', role: 'leader' }] as const,
      ),
    ]
    for (const [method, path, body] of doors) {
      const answer = await listener.call(method, path, body)
      expect([answer.status, method, path, JSON.stringify(body)]).toEqual([403, method, path, JSON.stringify(body)])
      answers.push(JSON.stringify(answer.body))
    }
    for (const path of [`${api}/polls`, `/api/session?board=${board.boardId}`])
      answers.push(JSON.stringify((await listener.call('GET', path)).body))
    const wire = listener.socket()
    expect(await wire.opened).toBe(403)
    expect(wire.heard).toEqual([])
    expect(answers.join('')).not.toContain(MARK)
    expect(await leader.seq()).toBe(seq)
  })
})
