/** What is final: commands in the order permission, freshness, music; a ledger that replays; choices nobody but the leader can change. */
import { foldLedger, readTune, writeTuneFile } from '@chartloft/shared-theory'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { entriesOf, memberAtEveryDoor } from './attempts.js'
import {
  type Board,
  type Person,
  type RunningServer,
  cleanUp,
  newBoard,
  newId,
  personAt,
  startServer,
  until,
} from './harness.js'
import { LAST_CHORUS, NO_LIFT, SAME_CHORDS, SONG, optionOf } from './music.js'

let server: RunningServer
let board: Board
let leader: Person
let member: Person
beforeAll(async () => {
  server = await startServer()
  board = await newBoard(server, 'Boat shed', SONG)
  leader = await personAt(server, board.links.leader, 'Maro')
  member = await personAt(server, board.links.member, 'Tove')
})
afterAll(cleanUp)

const LIFT = { decision: 'lift', at: LAST_CHORUS } as const

describe('[CM1] accepted commands', () => {
  it('a lock is answered with its seq, told to everybody, and holds the option, its bars and the tune’s hash', async () => {
    const wire = member.socket()
    const snapshot = await wire.hear((message) => message.type === 19)
    expect(snapshot.json.state.tune.title).toBe('Lantern Slip')
    const base = await leader.seq()
    const answer = await leader.command('lock', {
      slot: LIFT,
      option: NO_LIFT,
      baseSeq: base,
      why: 'the singer is high enough',
    })
    expect(answer.body).toEqual({ seq: base + 1 })
    const told = await wire.hear((message) => message.type === 19 && message.json.seq === base + 1)
    expect(told.json.by).toMatchObject({ userId: leader.userId, name: 'Maro', role: 'leader' })
    expect(told.json.command).toMatchObject({
      kind: 'lock',
      slot: LIFT,
      option: NO_LIFT,
      why: 'the singer is high enough',
    })
    expect(told.json.command.bars).toHaveLength(8)
    expect(told.json.command.tuneHash).toMatch(/^[0-9a-f]{14}$/)
    wire.socket.close()
  })

  it('the ledger is dense from 1, begins with createBoard, and folds to the state of message 19 byte for byte', async () => {
    await leader.command('nameVersion', { name: 'after Tuesday' })
    await leader.command('setKey', { key: 'C major' })
    const entries = await entriesOf(member)
    expect(entries.map((entry) => entry.seq)).toEqual(entries.map((_entry, index) => index + 1))
    expect(entries[0]?.command.kind).toBe('createBoard')
    const wire = member.socket()
    const { json } = await wire.hear((message) => message.type === 19)
    expect(JSON.stringify(foldLedger(entries))).toBe(JSON.stringify(json.state))
    wire.socket.close()
  })

  it('the same command again has the same answer and no new row, also a link’s token', async () => {
    const commandId = newId()
    const first = await leader.command('issueLink', { role: 'member', label: 'Bass' }, commandId)
    const before = await leader.seq()
    const again = await leader.command('issueLink', { role: 'member', label: 'Bass' }, commandId)
    expect(again).toMatchObject({ status: 200, body: first.body })
    expect(await leader.seq()).toBe(before)
  })

  it('the same id for something else is a conflict; from a member it is forbidden first', async () => {
    const commandId = newId()
    await leader.command('setRights', { rights: 'own' }, commandId)
    const before = await leader.seq()
    expect((await leader.command('setRights', { rights: 'licensed' }, commandId)).body.error.code).toBe('conflict')
    expect((await member.command('setRights', { rights: 'own' }, commandId)).status).toBe(403)
    expect(await leader.seq()).toBe(before)
  })

  it('twenty at once under one id make one row', async () => {
    const before = await leader.seq()
    const commandId = newId()
    const answers = await Promise.all(
      Array.from({ length: 20 }, () => leader.command('nameVersion', { name: 'race' }, commandId)),
    )
    expect(new Set(answers.map((answer) => JSON.stringify([answer.status, answer.body])))).toEqual(
      new Set([JSON.stringify([200, { seq: before + 1 }])]),
    )
    expect(await leader.seq()).toBe(before + 1)
  })

  it('a member may name a version, twenty an hour', async () => {
    const own = await newBoard(server, 'Names')
    const namer = await personAt(server, own.links.member)
    const statuses: number[] = []
    for (let count = 0; count < 21; count++)
      statuses.push((await namer.command('nameVersion', { name: `v${count}` })).status)
    expect(statuses).toEqual([...Array.from({ length: 20 }, () => 200), 429])
  })
})

describe('[CM2] stale commands', () => {
  it('a target changed since is 409 stale and changes nothing; another target is not', async () => {
    const base = await leader.seq()
    expect((await leader.command('lock', { slot: LIFT, option: NO_LIFT, baseSeq: base })).status).toBe(200)
    const stale = await leader.command('lock', { slot: LIFT, option: NO_LIFT, baseSeq: base })
    expect(stale.status).toBe(409)
    expect(stale.body.error.code).toBe('stale')
    const other = await leader.command('lock', {
      slot: { decision: 'harmony', at: SAME_CHORDS.at },
      option: SAME_CHORDS,
      baseSeq: base,
    })
    expect(other.status).toBe(200)
    expect((await leader.command('restoreVersion', { toSeq: 1, baseSeq: base })).body.error.code).toBe('stale')
  })

  it('a command that needs a base and has none is 400', async () => {
    expect((await leader.command('lock', { slot: LIFT, option: NO_LIFT })).status).toBe(400)
    expect((await leader.command('unlock', { slot: LIFT, reason: 'x' })).status).toBe(400)
  })
})

describe('[CM3] what does not validate', () => {
  it('unlock without a reason, unknown recipes, wrong kinds and broken options are 422 with issues, and nothing changes', async () => {
    const baseSeq = await leader.seq()
    const bad: readonly [string, object][] = [
      ['unlock', { slot: LIFT, baseSeq }],
      ['unlock', { slot: LIFT, baseSeq, reason: '' }],
      ['unlock', { slot: LIFT, baseSeq, reason: 'x'.repeat(501) }],
      ['lock', { slot: { decision: 'ending' }, option: optionOf('ending', 'no-such-recipe'), baseSeq }],
      ['lock', { slot: { decision: 'ending' }, option: NO_LIFT, baseSeq }],
      ['lock', { slot: LIFT, option: { ...NO_LIFT, score: 7 }, baseSeq }],
      ['lock', { slot: LIFT, option: { ...NO_LIFT, handEdits: [{ kind: 'chord', at: 3 }] }, baseSeq }],
      ['lock', { slot: LIFT, option: 'up-2', baseSeq }],
      ['setRoadmap', { roadmap: [{ id: 'chorus-1', kind: 'chorus', sections: ['Z9'] }], baseSeq }],
      ['setLineup', { lineup: [], baseSeq }],
      ['setLineup', { lineup: [{ id: '../x', instrument: 'piano', name: 'P', role: 'chords' }], baseSeq }],
      ['setKey', { key: 'H dur' }],
      ['setTune', { format: 'abc', data: 'nothing of the kind', encoding: 'utf8', baseSeq }],
      ['restoreVersion', { toSeq: baseSeq + 5, baseSeq }],
    ]
    for (const [kind, fields] of bad) {
      const answer = await leader.command(kind, fields)
      expect(answer.status, `${kind} ${JSON.stringify(fields).slice(0, 120)}: ${JSON.stringify(answer.body)}`).toBe(422)
      expect(answer.body.error.code).toBe('invalid')
      expect(answer.body.error.issues.length).toBeGreaterThan(0)
    }
    expect(await leader.seq()).toBe(baseSeq)
  })
})

describe('[LK1] a locked choice', () => {
  it('is changed by nothing a member sends through any door', async () => {
    const { tries, broken } = await memberAtEveryDoor(leader, member)
    expect(broken).toEqual([])
    expect(tries).toBeGreaterThan(20)
  })

  it('is unlocked by the leader with a reason, and every former state can be had again as a new command', async () => {
    const own = await newBoard(server, 'History', SONG)
    const chief = await personAt(server, own.links.leader)
    await chief.command('lock', { slot: LIFT, option: NO_LIFT, baseSeq: 1 })
    const locked = foldLedger(await entriesOf(chief))
    expect(locked.locks).toHaveLength(1)
    expect((await chief.command('unlock', { slot: LIFT, reason: 'trying again', baseSeq: 2 })).status).toBe(200)
    expect(foldLedger(await entriesOf(chief)).locks).toEqual([])
    expect((await chief.command('unlock', { slot: LIFT, reason: 'again', baseSeq: 3 })).status).toBe(409)
    expect((await chief.command('restoreVersion', { toSeq: 2, baseSeq: 3 })).status).toBe(200)
    expect(foldLedger(await entriesOf(chief)).locks).toEqual(locked.locks)
    const wire = chief.socket()
    const { json } = await wire.hear((message) => message.type === 19)
    expect(JSON.stringify(json.state)).toBe(JSON.stringify(foldLedger(await entriesOf(chief))))
    wire.socket.close()
  })
})

describe('[CM4] tunes', () => {
  it('a board without a tune takes one later; locks need one', async () => {
    const own = await newBoard(server, 'Empty')
    const chief = await personAt(server, own.links.leader)
    const early = await chief.command('lock', { slot: LIFT, option: NO_LIFT, baseSeq: 1 })
    expect(early.status).toBe(422)
    expect(early.body.error.message).toContain('no tune')
    expect((await chief.command('setTune', { ...SONG, encoding: 'utf8', baseSeq: 1 })).status).toBe(200)
    const state = foldLedger(await entriesOf(chief))
    expect(state.tune?.title).toBe('Lantern Slip')
    expect(state.roadmap.map((pass) => pass.id)).toEqual(['chorus-1', 'solo-1', 'chorus-last'])
    expect(state.lineup.length).toBeGreaterThan(0)
    expect((await chief.command('lock', { slot: LIFT, option: NO_LIFT, baseSeq: 2 })).status).toBe(200)
    expect(
      (
        await chief.command('setTune', {
          format: 'abc',
          data: 'X:1\nT:Short\nM:4/4\nL:1/4\nK:C\n"C"CDEF|"G7"GFED|"C"C4|]\n',
          encoding: 'utf8',
          baseSeq: 3,
        })
      ).status,
    ).toBe(200)
    const changed = foldLedger(await entriesOf(chief))
    expect(changed.tune?.title).toBe('Short')
    expect(changed.locks[0]?.bars).toHaveLength(8)
    expect(changed.locks[0]?.tuneHash).toBe(
      state.tune && foldLedger((await entriesOf(chief)).slice(0, 3)).locks[0]?.tuneHash,
    )
  })

  it('a tune that does not read makes no board', async () => {
    const answer = await leader.call('POST', '/api/boards', {
      title: 'x',
      tune: { format: 'musicxml', data: '<score-partwise><part' },
    })
    expect(answer.status).toBe(422)
    expect(answer.body.error.issues[0].message).toBeTruthy()
  })
})

describe('[CM6] a tune that was put right', () => {
  const read = readTune('abc', 'X:1\nT:Slack Water\nM:4/4\nL:1/4\nK:F\nF G A c|B2 G2|A2 F2|F4|]')
  const tune = read.ok ? read.value : undefined

  it('comes as data, with what was proposed and what was not sure, and is the board’s tune', async () => {
    const answer = await leader.call('POST', '/api/boards', {
      title: 'Slack Water',
      tune: { format: 'tune', data: writeTuneFile({ ...tune!, rights: 'own' }) },
    })
    expect(answer.status).toBe(201)
    const owner = await personAt(server, answer.body.links.leader, 'Maro')
    const state = foldLedger(await entriesOf(owner))
    expect(state.tune).toEqual({ ...tune, rights: 'own' })
    expect(state.rights).toBe('own')
    expect(state.tune?.bars[0]?.chords[0]?.inferred).toBe(true)
  })

  it('is read like any file: what does not fit is 422 with its place', async () => {
    const lie = writeTuneFile(tune!).replace('"midi":65', '"midi":66')
    const answer = await leader.call('POST', '/api/boards', { title: 'x', tune: { format: 'tune', data: lie } })
    expect(answer.status).toBe(422)
    expect(answer.body.error.issues[0]).toMatchObject({ code: 'RD45', path: 'bars/0/melody' })
  })
})

describe('[CM5] links and prints', () => {
  it('a printed version is numbered', async () => {
    const first = await leader.command('markPrinted')
    const second = await leader.command('markPrinted')
    expect(second.body.version).toBe(first.body.version + 1)
  })

  it('a place opened, locked and unlocked is open again', async () => {
    const slot = { decision: 'harmony', at: { passId: 'chorus-last', sectionId: 'A3' } } as const
    await leader.command('openPlace', { slot })
    expect(foldLedger(await entriesOf(leader)).places).toContainEqual(slot)
    const baseSeq = await leader.seq()
    await leader.command('lock', { slot, option: { ...SAME_CHORDS, at: slot.at }, baseSeq })
    expect(foldLedger(await entriesOf(leader)).places).not.toContainEqual(slot)
    await leader.command('unlock', { slot, reason: 'once more', baseSeq: baseSeq + 1 })
    expect(foldLedger(await entriesOf(leader)).places).toContainEqual(slot)
  })
})

describe('[DU2] deleting', () => {
  it('takes the title, ends sockets with 4404 and leaves nothing', async () => {
    const own = await newBoard(server, 'To be gone')
    const chief = await personAt(server, own.links.leader)
    const wire = chief.socket()
    await wire.opened
    expect((await chief.call('DELETE', `/api/boards/${own.boardId}`, { title: 'something else' })).status).toBe(422)
    expect((await chief.call('DELETE', `/api/boards/${own.boardId}`, { title: 'To be gone' })).status).toBe(200)
    expect((await wire.closed).code).toBe(4404)
    expect((await chief.call('GET', `/api/boards/${own.boardId}/ledger`)).status).toBe(404)
    expect((await chief.call('POST', '/api/session', { token: own.links.leader.split('#')[1] })).status).toBe(401)
    await until(async () => (await chief.socket().opened) === 404, 'no socket either')
  })
})
