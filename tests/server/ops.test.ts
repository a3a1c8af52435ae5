/** Running it: the environment, readiness, draining, a full disk, export and import, the demo. */
import { chmodSync, copyFileSync, readdirSync, readFileSync, statSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import SqliteDatabase from 'better-sqlite3'
import { afterAll, describe, expect, it } from 'vitest'
import * as Y from 'yjs'
import { fillAndFree } from './full-disk.js'
import { Person, cleanUp, freshFolder, newBoard, personAt, runCommand, startServer, until } from './harness.js'
import { LAST_CHORUS, NO_LIFT, SONG } from './music.js'

afterAll(cleanUp)

async function oneBoard() {
  const server = await startServer()
  const board = await newBoard(server, 'Packed', SONG)
  const leader = await personAt(server, board.links.leader, 'Maro')
  return { server, board, leader, boardId: board.boardId }
}

describe('[OP2] the environment', () => {
  it('a broken value ends the start with exit code 2 and one line naming the variable', async () => {
    const broken: readonly (readonly [string, string])[] = [
      ['PORT', 'abc'],
      ['PORT', '70000'],
      ['HOST', 'not a host'],
      ['LOG_LEVEL', 'loud'],
      ['OPEN_BOARD_CREATION', 'maybe'],
      ['TRUST_PROXY', 'yes'],
      ['PUBLIC_URL', 'band.example'],
      ['PUBLIC_URL', 'https://band.example/path'],
      ['DATABASE_URL', 'postgres://x'],
      ['REDIS_URL', 'redis://x'],
      ['MAX_BOARDS', '-1'],
      ['SAVE_EVERY_MS', '1.5'],
      ['ROOM_IDLE_MS', 'x'],
      ['METRICS_FROM', '10.0.0.0/33'],
      ['SOCKET_MESSAGES_PER_SECOND', '0'],
      ['DATA_DIR', '/dev/null/boards'],
      ['SECRET_FILE', '/dev/null/secret'],
    ]
    for (const [name, value] of broken) {
      const { code, stdout, stderr } = await runCommand(['serve'], {
        PORT: '0',
        DATA_DIR: freshFolder(),
        [name]: value,
      })
      expect([name, value, code], stderr + stdout).toEqual([name, value, 2])
      expect(stderr.trim().split('\n')).toHaveLength(1)
      expect(stderr).toContain(name)
      expect(stderr).not.toMatch(/\bat .*\.js/)
    }
  })

  it('a port in use is said in one line', async () => {
    const server = await startServer()
    const { code, stderr } = await runCommand(['serve', '--port', String(server.port), '--data', freshFolder()])
    expect(code).toBe(2)
    expect(stderr).toContain('in use')
    await server.stop()
  })

  it('board creation can be closed, boards counted, and the secret is made private', async () => {
    const closed = await startServer({ env: { OPEN_BOARD_CREATION: 'false' } })
    expect((await new Person(closed).call('POST', '/api/boards', { title: 'x' })).status).toBe(403)
    expect(statSync(join(closed.dataDir, 'secret')).mode & 0o777).toBe(0o600)
    await closed.stop()
    const small = await startServer({ env: { MAX_BOARDS: '1' } })
    await newBoard(small)
    expect((await new Person(small).call('POST', '/api/boards', { title: 'x' })).status).toBe(503)
    await small.stop()
  })
})

describe('[OP1] life and death', () => {
  it('SIGTERM: sockets hear draining and close with 1013, everything received is on disk, exit 0 within ten seconds', async () => {
    const dataDir = freshFolder()
    const server = await startServer({ dataDir, env: { SAVE_EVERY_MS: '1000' } })
    const board = await newBoard(server)
    const person = await personAt(server, board.links.member)
    const wire = person.socket()
    await wire.hear((message) => message.type === 0)
    const doc = new Y.Doc()
    doc.getText('notes').insert(0, 'the last word')
    wire.sendSync(2, Y.encodeStateAsUpdate(doc))
    wire.sendJson(16, { t0: 1 })
    await wire.hear((message) => message.type === 16)
    const began = Date.now()
    const code = await server.stop('SIGTERM')
    expect(code).toBe(0)
    expect(Date.now() - began).toBeLessThan(10_000)
    expect((await wire.closed).code).toBe(1013)
    expect(wire.heard.some((message) => message.type === 20 && message.json.code === 'draining')).toBe(true)
    const again = await startServer({ dataDir })
    const reader = person.at(again).provider()
    await until(() => reader.doc.getText('notes').toJSON() === 'the last word', 'the last word is there')
    reader.destroy()
    await again.stop()
  })

  it('readyz, healthz and metrics answer', async () => {
    const server = await startServer()
    const board = await newBoard(server)
    const wire = (await personAt(server, board.links.member)).socket()
    await wire.hear((message) => message.type === 19)
    const person = new Person(server)
    expect((await person.call('GET', '/healthz')).status).toBe(200)
    expect((await person.call('GET', '/readyz')).status).toBe(200)
    const { body } = await person.call('GET', '/metrics')
    expect(body).toMatch(/^chartloft_sockets 1$/m)
    expect(body).toMatch(/^chartloft_rooms 1$/m)
    for (const name of ['chartloft_refused_total', 'chartloft_saved_seconds_bucket', 'process_cpu_seconds_total'])
      expect(body).toContain(name)
    wire.socket.close()
    await server.stop()
  })

  it('a full disk: commands are 503 disk, edits are not called saved, nothing is half-written, and it goes on when there is room', async () => {
    const dataDir = freshFolder()
    let server = await startServer({ dataDir, env: { MAX_DATA_MB: '1' } })
    const board = await newBoard(server)
    let member = await personAt(server, board.links.member)
    const leader = await personAt(server, board.links.leader)
    let saved = 0
    let refused = false
    for (let count = 0; count < 60 && !refused; count++) {
      const wire = member.socket()
      await wire.hear((message) => message.type === 0 && message.step === 0)
      const doc = new Y.Doc()
      doc.getMap('cards').set(`card-${count}`, 'x'.repeat(30_000))
      wire.sendSync(2, Y.encodeStateAsUpdate(doc))
      const first = await wire.hear((message) => message.type === 17 || message.type === 20)
      if (first.type === 17) saved++
      else {
        expect(first.json.code).toBe('disk')
        refused = true
      }
      wire.socket.close()
    }
    expect(refused).toBe(true)
    expect(saved).toBeGreaterThan(0)
    const answer = await leader.command('nameVersion', { name: 'x'.repeat(80) })
    if (answer.status !== 200) expect(answer.body.error.code).toBe('disk')
    await until(
      async () =>
        (await leader.command('openPlace', { slot: { decision: 'harmony', at: { passId: 'p'.repeat(100) } } }))
          .status === 503,
      'commands are refused too',
    )
    expect((await leader.call('GET', `/api/boards/${board.boardId}/ledger`)).status).toBe(200)
    expect((await new Person(server).call('GET', '/healthz')).status).toBe(200)
    await server.stop('SIGKILL')
    server = await startServer({ dataDir, env: { MAX_DATA_MB: '64' } })
    member = member.at(server)
    const reader = member.provider()
    await until(() => reader.synced, 'the board opens')
    expect(reader.doc.getMap('cards').size).toBeGreaterThanOrEqual(saved)
    expect((await leader.at(server).command('nameVersion', { name: 'room again' })).status).toBe(200)
    reader.destroy()
    await server.stop()
  })

  it('a disk that has room again: edits go on without a restart, and all that was called saved is there', async () => {
    const { refused, saved, wrong, backAfterMs } = await fillAndFree()
    expect(wrong).toEqual([])
    expect(refused).toBeGreaterThan(0)
    expect(saved).toBeGreaterThan(0)
    expect(backAfterMs).toBeLessThan(10_000)
  })

  it('a data folder that cannot be written: one line that names it, exit code 2, and nothing of it is changed', async () => {
    const { server, leader, boardId } = await oneBoard()
    await server.stop()
    const { dataDir } = server
    const contents = () => readdirSync(dataDir).map((name) => [name, readFileSync(join(dataDir, name)).toString('hex')])
    const before = contents()
    for (const [name] of before) chmodSync(join(dataDir, String(name)), 0o400)
    chmodSync(dataDir, 0o500)
    const out = join(freshFolder(), 'board.json')
    for (const args of [
      ['serve', '--port', '0', '--data', dataDir],
      ['export', boardId, '--data', dataDir, '--out', out],
      ['link', boardId, '--data', dataDir],
    ]) {
      const { code, stdout, stderr } = await runCommand(args, {}, false)
      expect([args[0], code], stderr + stdout).toEqual([args[0], 2])
      expect(stderr.trim().split('\n')).toHaveLength(1)
      expect(stderr).toContain(dataDir)
    }
    expect(contents()).toEqual(before)
    // With the right to write back, all of it is there.
    chmodSync(dataDir, 0o700)
    for (const [name] of before) chmodSync(join(dataDir, String(name)), 0o600)
    const again = await startServer({ dataDir })
    expect((await leader.at(again).command('nameVersion', { name: 'after all' })).status).toBe(200)
    await again.stop()
  })

  it('a copy by VACUUM INTO of a running server opens elsewhere with everything saved until then', async () => {
    const { server, board, leader, boardId } = await oneBoard()
    const writer = leader.provider()
    await until(() => writer.synced, 'synced')
    writer.doc.getText('notes').insert(0, 'in the copy')
    const drafted = async () =>
      Buffer.from((await leader.call('GET', `/api/boards/${boardId}/export`)).body.draft, 'base64').includes(
        'in the copy',
      )
    await until(drafted, 'the edit is saved')
    const { entries } = (await leader.call('GET', `/api/boards/${boardId}/ledger`)).body
    const dataDir = freshFolder()
    const live = new SqliteDatabase(join(server.dataDir, 'chartloft.sqlite'), { readonly: true, fileMustExist: true })
    live.prepare('VACUUM INTO ?').run(join(dataDir, 'chartloft.sqlite'))
    live.close()
    copyFileSync(join(server.dataDir, 'secret'), join(dataDir, 'secret'))
    // What comes afterwards is the original's alone.
    expect((await leader.command('nameVersion', { name: 'after the copy' })).status).toBe(200)
    writer.destroy()
    await server.stop('SIGKILL')
    const copy = await startServer({ dataDir })
    const there = leader.at(copy)
    expect((await there.call('GET', `/api/boards/${boardId}/ledger`)).body.entries).toEqual(entries)
    const reader = there.provider()
    await until(() => reader.doc.getText('notes').toJSON() === 'in the copy', 'the draft is there')
    reader.destroy()
    // Links are the same, and it goes on being written.
    expect((await new Person(copy).enter(board.links.member)).status).toBe(200)
    expect((await there.command('nameVersion', { name: 'in the copy' })).status).toBe(200)
    await copy.stop()
  })

  it('rooms empty out and come back', async () => {
    const server = await startServer({ env: { ROOM_IDLE_MS: '100' } })
    const board = await newBoard(server)
    const person = await personAt(server, board.links.member)
    const first = person.provider()
    first.doc.getText('notes').insert(0, 'kept')
    await until(() => first.synced, 'synced')
    const rooms = async () => /^chartloft_rooms (\d+)$/m.exec((await person.call('GET', '/metrics')).body)?.[1]
    expect(await rooms()).toBe('1')
    first.destroy()
    await until(async () => (await rooms()) === '0', 'the room is gone')
    const again = person.provider()
    await until(() => again.doc.getText('notes').toJSON() === 'kept', 'the draft is back')
    again.destroy()
    await server.stop()
  })
})

describe('[OP3] board files', () => {
  it('export and import carry everything but tokens and ballots; old links are dead, new ones work', async () => {
    const server = await startServer()
    const board = await newBoard(server, 'Packed', SONG)
    const leader = await personAt(server, board.links.leader, 'Maro')
    await leader.command('lock', { slot: { decision: 'lift', at: LAST_CHORUS }, option: NO_LIFT, baseSeq: 1 })
    const { body: poll } = await leader.command('openPoll', {
      question: 'Which?',
      method: 'single',
      audience: 'everyone',
      tally: 'always',
      options: [
        { id: 'a', title: 'A' },
        { id: 'b', title: 'B' },
      ],
    })
    await leader.call('POST', `/api/polls/${poll.pollId}/ballots`, { ballotId: 'one', choices: ['b'] })
    const provider = leader.provider()
    await until(() => provider.synced, 'synced')
    provider.doc.getText('notes').insert(0, 'bring the brushes')
    provider.destroy()
    let file = (await leader.call('GET', `/api/boards/${board.boardId}/export`)).body
    await until(async () => {
      file = (await leader.call('GET', `/api/boards/${board.boardId}/export`)).body
      return Buffer.from(file.draft, 'base64').length > 10
    }, 'the notes are in the file')
    expect(file).toMatchObject({
      format: 'chartloft-board',
      version: 1,
      boardId: board.boardId,
      title: 'Packed',
      polls: [{ pollId: poll.pollId, tally: { voters: 1, counts: { a: 0, b: 1 } } }],
    })
    expect(file.ledger).toHaveLength(3)
    expect(JSON.stringify(file)).not.toContain(leader.userId.replace('u_', 'ballot_'))
    const imported = await leader.call('POST', '/api/boards/import', file)
    expect(imported.status).toBe(201)
    expect(imported.body.boardId).not.toBe(board.boardId)
    const chief = await personAt(server, imported.body.links.leader)
    const { entries } = (await chief.call('GET', `/api/boards/${chief.boardId}/ledger`)).body
    expect(entries.slice(0, 2)).toEqual(file.ledger.slice(0, 2))
    expect(entries.at(-1).command).toMatchObject({ kind: 'importBoard', from: board.boardId })
    const [old] = (await chief.call('GET', `/api/boards/${chief.boardId}/polls`)).body.polls
    expect(old).toMatchObject({ question: 'Which?', open: false, tally: { voters: 1, counts: { a: 0, b: 1 } } })
    const copy = chief.provider()
    await until(() => copy.doc.getText('notes').toJSON() === 'bring the brushes', 'the draft came along')
    copy.destroy()
    await server.stop()
  })

  it('on a stopped server’s folder: export, import into another with the same id, and a new leader link without the old secret', async () => {
    const server = await startServer()
    const board = await newBoard(server, 'Packed', SONG)
    await server.stop()
    const out = join(freshFolder(), 'board.json')
    expect((await runCommand(['export', board.boardId, '--data', server.dataDir, '--out', out])).code).toBe(0)
    const dataDir = freshFolder()
    const imported = await runCommand(['import', out, '--data', dataDir])
    expect(imported.code).toBe(0)
    const answer = JSON.parse(imported.stdout.trim().split('\n').at(-1) ?? '')
    expect(answer.boardId).toBe(board.boardId)
    const again = await runCommand(['import', out, '--data', dataDir])
    expect(JSON.parse(again.stdout.trim().split('\n').at(-1) ?? '').boardId).not.toBe(board.boardId)
    writeFileSync(join(dataDir, 'secret'), Buffer.alloc(32, 7))
    const link = await runCommand(['link', board.boardId, '--role', 'leader', '--data', dataDir])
    expect(link.stdout.trim()).toMatch(new RegExp(`^http://127.0.0.1:8080/b/${board.boardId}#[A-Za-z0-9_-]{43}$`))
    const other = await startServer({ dataDir })
    expect((await new Person(other).enter(answer.links.leader)).status).toBe(401)
    const leader = await personAt(other, link.stdout.trim())
    expect((await leader.call('GET', `/api/boards/${board.boardId}/ledger`)).body.entries[0].command.title).toBe(
      'Packed',
    )
    // A link made beside the running server is taken up by its next command.
    expect((await runCommand(['link', board.boardId, '--role', 'member', '--data', dataDir])).code).toBe(0)
    expect((await leader.command('nameVersion', { name: 'beside' })).status).toBe(200)
    const { entries } = (await leader.call('GET', `/api/boards/${board.boardId}/ledger`)).body
    expect(entries.map((entry: { seq: number }) => entry.seq)).toEqual(
      entries.map((_entry: unknown, index: number) => index + 1),
    )
    await other.stop()
  })

  it('what cannot be exported or imported is one line and exit code 2', async () => {
    const folder = freshFolder()
    writeFileSync(join(folder, 'no.json'), '{"format":"other"}')
    writeFileSync(join(folder, 'broken.json'), '{')
    for (const args of [
      ['export', 'no-such-board', '--data', folder, '--out', join(folder, 'x.json')],
      ['import', join(folder, 'no.json'), '--data', folder],
      ['import', join(folder, 'broken.json'), '--data', folder],
      ['import', join(folder, 'absent.json'), '--data', folder],
      ['link', 'no-such-board', '--data', folder],
      ['export'],
    ]) {
      const { code, stderr } = await runCommand(args)
      expect([args[0], code], stderr).toEqual([args[0], 2])
      expect(stderr.trim().split('\n')).toHaveLength(1)
    }
  })
})

const linksIn = (text: string) =>
  [...text.matchAll(/^(leader|member|listener): (http:\/\/127\.0\.0\.1:\d+)(\/b\/[^ \n]+)$/gm)].map((found) => [
    found[1],
    found[3],
  ])

describe('[OP4] the demo', () => {
  it('is made once, with one choice locked, one in voting, others open, and prints its links each time', async () => {
    const dataDir = freshFolder()
    let server = await startServer({ dataDir, args: ['--demo'] })
    await until(() => linksIn(server.stdout()).length === 3, 'three links')
    const links = linksIn(server.stdout())
    expect(links.map(([role]) => role)).toEqual(['leader', 'member', 'listener'])
    const leader = await personAt(server, String(links[0]?.[1]))
    const wire = leader.socket()
    const { state } = (await wire.hear((message) => message.type === 19)).json
    expect(state.tune.title).toBe('Lantern Slip')
    expect(state.lineup).toHaveLength(5)
    expect(state.locks.map((lock: { slot: { decision: string } }) => lock.slot.decision)).toEqual(['groove'])
    expect(state.polls).toMatchObject([{ open: true, slot: { decision: 'lift' } }])
    expect(state.places.map((place: { decision: string }) => place.decision).sort()).toEqual(['harmony', 'lift'])
    const listener = await personAt(server, String(links[2]?.[1]))
    const poll = (await listener.call('GET', `/api/polls/${state.polls[0].pollId}`)).body
    expect(poll.options.length).toBeGreaterThanOrEqual(2)
    expect(poll.options.every((option: { arrangement?: object }) => option.arrangement !== undefined)).toBe(true)
    await server.stop()
    server = await startServer({ dataDir, args: ['--demo'] })
    await until(() => linksIn(server.stdout()).length === 3, 'three links again')
    expect(linksIn(server.stdout())).toEqual(links)
    expect(readFileSync(join(dataDir, 'secret'))).toHaveLength(32)
    await server.stop()
  })
})
