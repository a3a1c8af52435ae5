/** Whatever comes in: the offender goes with the right code, nobody else notices, the process lives. */
import { connect } from 'node:net'
import * as encoding from 'lib0/encoding'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import * as Y from 'yjs'
import {
  type Board,
  Person,
  type RunningServer,
  cleanUp,
  newBoard,
  personAt,
  startServer,
  syncBytes,
  until,
} from './harness.js'
import { bytes, presenceFrame as awareness, textFrame as text } from './hostile-bytes.js'
import { SONG } from './music.js'

let server: RunningServer
let board: Board
let member: Person
beforeAll(async () => {
  server = await startServer({ env: { MAX_SOCKETS_PER_ADDRESS: '1000', ABUSES_PER_MINUTE: '1000' } })
  board = await newBoard(server, 'Storm', SONG)
  member = await personAt(server, board.links.member)
})
afterAll(async () => {
  expect(server.child.exitCode).toBeNull()
  expect((await new Person(server).call('GET', '/healthz')).status).toBe(200)
  cleanUp()
})

const varUint = (value: number): number[] => {
  const encoder = encoding.createEncoder()
  encoding.writeVarUint(encoder, value)
  return [...encoding.toUint8Array(encoder)]
}
const nested = (depth: number): string => `${'['.repeat(depth)}${']'.repeat(depth)}`

const BAD_FRAMES: readonly (readonly [what: string, frame: Uint8Array])[] = [
  ['nothing at all', bytes()],
  ['an unknown type', bytes(7)],
  ['a server’s own type', text(17, '{"sv":"","n":1}')],
  ['a ledger message', text(19, '{}')],
  ['an auth message', bytes(2, 0, 0)],
  ['a type cut off', bytes(0x80)],
  ['an over-long varint', bytes(0x80, 0x80, 0x80, 0x80, 0x80, 0x80, 0x80, 0x80, 0x80, 1)],
  ['a varint longer than it needs to be', bytes(0x80, 0x00)],
  ['a sync message without a step', bytes(0)],
  ['an unknown sync step', bytes(0, 3, 0)],
  ['a block cut off', bytes(0, 2, 5, 1, 2)],
  ['a block of four gigabytes', bytes(0, 2, ...varUint(2 ** 32))],
  ['bytes left over', bytes(0, 0, 1, 0, 9)],
  ['a state vector that does not decode', bytes(0, 0, 2, 0xff, 0xff)],
  ['an update of noise', syncBytes(2, bytes(1, 1, 255, 255, 255, 255, 15, 0, 200, 1, 2, 3))],
  ['an update of a billion structs', syncBytes(2, bytes(1, ...varUint(2 ** 30), 1, 0))],
  ['an update with an impossible clock', syncBytes(2, bytes(1, 1, 5, 0, 0, ...varUint(2 ** 52), 0))],
  ['an update that deletes what never was', syncBytes(2, bytes(0, 1, 9, 1, 0, ...varUint(2 ** 30)))],
  ['JSON that is none', text(16, '{t0')],
  ['a clock without a time', text(16, '{"t0":"now"}')],
  ['a clock that is null', text(16, 'null')],
  ['a transport of the wrong shape', text(18, '{"playing":"yes"}')],
  ['a transport of no numbers', text(18, '{"playing":true,"startsAt":null,"fromTick":0,"tempoScale":1,"planHash":""}')],
  ['a transport nested deep', text(18, nested(5000))],
  ['a presence entry that is no JSON', awareness([[1, 1, '{']])],
  ['a presence entry that is a number', awareness([[1, 1, '3']])],
  ['a presence entry of 5 KiB', awareness([[1, 1, JSON.stringify({ x: 'x'.repeat(5000) })]])],
  ['ten thousand presence entries', awareness(Array.from({ length: 10_000 }, (_, id) => [id, 1, '{}'] as const))],
  ['five people at once', awareness(Array.from({ length: 5 }, (_, id) => [id + 1000, 1, '{}'] as const))],
]

describe('[AB1] frames', () => {
  for (const [what, frame] of BAD_FRAMES) {
    it(`${what}: closed with 4400 after a notice, others hear nothing`, async () => {
      const watcher = (await personAt(server, board.links.leader)).socket()
      await watcher.opened
      const wire = member.socket()
      await wire.opened
      wire.send(frame)
      expect((await wire.closed).code).toBe(4400)
      expect(wire.heard.some((message) => message.type === 20 && message.json.code === 'bad_message')).toBe(true)
      watcher.sendJson(16, { t0: 1 })
      await watcher.hear((message) => message.type === 16)
      watcher.socket.close()
    })
  }

  it('text instead of bytes is 4400', async () => {
    const wire = member.socket()
    await wire.opened
    wire.socket.send('hello')
    expect((await wire.closed).code).toBe(4400)
  })

  it('a frame of more than a mebibyte is 4413', async () => {
    const wire = member.socket()
    await wire.opened
    wire.send(new Uint8Array(1024 * 1024 + 1))
    expect((await wire.closed).code).toBe(4413)
  })

  it('a flood is 4429', async () => {
    const wire = member.socket()
    await wire.opened
    for (let count = 0; count < 2000; count++) wire.sendJson(16, { t0: count })
    expect((await wire.closed).code).toBe(4429)
  })

  it('a reader that stops reading holds nobody up, and has the whole state once it reads again', async () => {
    const own = await newBoard(server, 'Slow')
    const slow = (await personAt(server, own.links.leader)).socket()
    await slow.hear((message) => message.type === 19)
    slow.socket.pause()
    const writers = await Promise.all(Array.from({ length: 3 }, () => personAt(server, own.links.member)))
    const doc = new Y.Doc()
    for (const [index, person] of writers.entries()) {
      const wire = person.socket()
      await wire.hear((message) => message.type === 0)
      const mine = new Y.Doc()
      let sent = 0
      mine.on('update', (update: Uint8Array) => {
        wire.sendSync(2, update)
        sent++
      })
      for (let count = 0; count < 20; count++) mine.getMap('cards').set(`w${index}`, `${count}-${'x'.repeat(400_000)}`)
      await wire.hear((message) => message.type === 17 && message.json.n === sent)
      wire.socket.close()
    }
    slow.socket.resume()
    const apply = () => {
      for (const message of slow.heard.splice(0))
        if (message.type === 0 && message.step !== 0) Y.applyUpdate(doc, message.payload as Uint8Array)
      return writers.every((_, index) => String(doc.getMap('cards').get(`w${index}`)).startsWith('19-'))
    }
    await until(apply, 'the slow reader has everything')
    expect(slow.socket.readyState).toBe(slow.socket.OPEN)
    slow.socket.close()
  })

  it('a draft does not outgrow 8 MiB: 4413 with a notice, and what is in it stays', async () => {
    const own = await newBoard(server, 'Full')
    const person = await personAt(server, own.links.member)
    let code = 0
    for (let count = 0; count < 14 && code === 0; count++) {
      const wire = person.socket()
      await wire.opened
      const doc = new Y.Doc()
      doc.getMap('cards').set(`card-${count}`, 'x'.repeat(900_000))
      wire.sendSync(2, Y.encodeStateAsUpdate(doc))
      const ended = await Promise.race([wire.closed, wire.hear((message) => message.type === 17).then(() => undefined)])
      if (ended) code = ended.code
      else wire.socket.close()
    }
    expect(code).toBe(4413)
    const reader = person.socket()
    await reader.hear((message) => message.type === 0 && message.step === 0)
    reader.sendSync(0, Y.encodeStateVector(new Y.Doc()))
    const state = await reader.hear((message) => message.type === 0 && message.step === 1)
    const doc = new Y.Doc()
    Y.applyUpdate(doc, state.payload as Uint8Array)
    expect(doc.getMap('cards').size).toBeGreaterThanOrEqual(8)
    reader.socket.close()
  })

  it('half-open connections and broken handshakes leave nothing behind', async () => {
    const lines = [
      'GET /ws/x HTTP/1.1\r\nHost: a\r\n',
      'GET / HTTP/9.9\r\n\r\n',
      '\u0016\u0003\u0001',
      'GET /ws/x HTTP/1.1\r\nHost: a\r\nUpgrade: websocket\r\nConnection: Upgrade\r\n\r\n',
      'POST /api/boards HTTP/1.1\r\nHost: a\r\nContent-Length: 99999999999\r\n\r\n',
    ]
    await Promise.all(
      lines.map(
        (line) =>
          new Promise<void>((resolve) => {
            const socket = connect(server.port, '127.0.0.1', () => {
              socket.write(line)
              setTimeout(() => socket.destroy(), 150)
            })
            socket.on('error', () => undefined)
            socket.on('close', () => resolve())
          }),
      ),
    )
    expect((await new Person(server).call('GET', '/readyz')).status).toBe(200)
  })
})

const leaderOf = () => personAt(server, board.links.leader)

describe('[AB2] requests', () => {
  it('bodies that are too large, too deep, no JSON or of the wrong shape say so', async () => {
    const leader = await leaderOf()
    const path = `/api/boards/${board.boardId}/commands`
    const seq = await leader.seq()
    const answers: readonly (readonly [string, number, string])[] = [
      ['{"commandId":', 400, 'bad_request'],
      ['[]', 400, 'bad_request'],
      ['null', 400, 'bad_request'],
      ['"lock"', 400, 'bad_request'],
      [JSON.stringify({ kind: 'lock' }), 400, 'bad_request'],
      [JSON.stringify({ commandId: 'short', kind: 'setRights', rights: 'own' }), 400, 'bad_request'],
      [JSON.stringify({ commandId: 'x'.repeat(65), kind: 'setRights', rights: 'own' }), 400, 'bad_request'],
      [JSON.stringify({ commandId: 'has space in it', kind: 'setRights', rights: 'own' }), 400, 'bad_request'],
      [JSON.stringify({ commandId: 'abcdefgh', kind: 'constructor' }), 400, 'bad_request'],
      [JSON.stringify({ commandId: 'abcdefgh', kind: '__proto__' }), 400, 'bad_request'],
      [JSON.stringify({ commandId: 'abcdefgh', kind: 'setRights', rights: 'all' }), 400, 'bad_request'],
      [JSON.stringify({ commandId: 'abcdefgh', kind: 'lock', baseSeq: 1.5 }), 400, 'bad_request'],
      [`{"commandId":"abcdefgh","kind":"setEdits","edits":${nested(70)}}`, 400, 'bad_request'],
      [`{"commandId":"abcdefgh","kind":"setEdits","edits":${nested(100_000)}}`, 400, 'bad_request'],
      [`{"commandId":"abcdefgh","kind":"nameVersion","name":"${'x'.repeat(1024 * 1024)}"}`, 413, 'too_large'],
    ]
    for (const [body, status, code] of answers) {
      const answer = await leader.call('POST', path, body)
      expect(answer.status, body.slice(0, 80)).toBe(status)
      expect(answer.body.error.code).toBe(code)
      expect(answer.body.error.message.length).toBeGreaterThan(10)
    }
    expect((await leader.call('POST', path, 'x', { 'content-type': 'text/plain' })).status).toBe(400)
    expect((await leader.call('PUT', path, '{}')).status).toBe(400)
    expect(await leader.seq()).toBe(seq)
  })

  it('tunes that are none, or too much, are refused in words and stall nobody', async () => {
    const leader = await leaderOf()
    const bomb = `<?xml version="1.0"?><!DOCTYPE x [<!ENTITY a "aaaaaaaaaa">${Array.from({ length: 12 }, (_, level) => `<!ENTITY ${'b'.repeat(level + 1)} "${`&${level === 0 ? 'a' : 'b'.repeat(level)};`.repeat(10)}">`).join('')}]><score-partwise>&bbbbbbbbbbbb;</score-partwise>`
    const tunes = [
      { format: 'abc', data: '' },
      { format: 'abc', data: 'MThd\u0000\u0000' },
      { format: 'abc', data: 'X:1\nK:C\n' },
      { format: 'musicxml', data: bomb },
      { format: 'musicxml', data: '<a>'.repeat(50_000) },
      { format: 'musicxml', data: SONG.data },
      { format: 'midi', data: Buffer.from('MThd not really').toString('base64'), encoding: 'base64' },
      { format: 'midi', data: '!!!!' },
      { format: 'tune', data: '{}' },
      { format: 'tune', data: `{"bars":${'['.repeat(100_000)}` },
      { format: 'tune', data: '{"bars":[{"chords":[{}],"melody":9}],"sections":[{}]}' },
    ]
    for (const tune of tunes) {
      const answer = await leader.call('POST', '/api/boards', { title: 'x', tune })
      expect(
        answer.status,
        `${tune.format} ${tune.data.slice(0, 40)} ${JSON.stringify(answer.body).slice(0, 200)}`,
      ).toBe(422)
      expect(answer.body.error.issues.length).toBeGreaterThan(0)
    }
    expect((await leader.call('POST', '/api/boards', { title: 'x', tune: { format: 'doc', data: 'x' } })).status).toBe(
      400,
    )
    expect((await leader.call('POST', '/api/boards', { title: ' ' })).status).toBe(400)
  })

  it('paths that lead out of the app folder lead nowhere', async () => {
    for (const path of [
      '/../../../etc/passwd',
      '/%2e%2e/%2e%2e/package.json',
      '/..%2f..%2fpackage.json',
      '/%00',
      '/%zz.js',
      '//evil.example/x.js',
      '/assets/%5c..%5cpackage.json',
    ]) {
      const answer = await new Person(server).call('GET', path)
      expect(JSON.stringify(answer.body), path).not.toContain('workspaces')
      expect([200, 400, 404, 503], path).toContain(answer.status)
    }
  })

  it('board files that are none are refused with the place', async () => {
    const leader = await leaderOf()
    const good = (await leader.call('GET', `/api/boards/${board.boardId}/export`)).body
    const bad: readonly [string, object][] = [
      ['format', { ...good, format: 'other' }],
      ['ledger', { ...good, ledger: [] }],
      ['seq', { ...good, ledger: [{ ...good.ledger[0], seq: 2 }] }],
      [
        'tune',
        { ...good, ledger: [{ ...good.ledger[0], command: { ...good.ledger[0].command, tune: { version: 1 } } }] },
      ],
      [
        'kind',
        {
          ...good,
          ledger: [good.ledger[0], { ...good.ledger[0], seq: 2, command: { commandId: 'abcdefgh', kind: 'runCode' } }],
        },
      ],
      [
        'role',
        {
          ...good,
          ledger: [
            good.ledger[0],
            {
              seq: 2,
              at: 1,
              by: { userId: 'u', name: 'n', role: 'member' },
              command: { commandId: 'abcdefgh', kind: 'setRights', rights: 'own' },
            },
          ],
        },
      ],
      ['draft', { ...good, draft: Buffer.from('noise noise noise').toString('base64') }],
    ]
    for (const [place, file] of bad) {
      const answer = await leader.call('POST', '/api/boards/import', file)
      expect([400, 422], place).toContain(answer.status)
      expect(JSON.stringify(answer.body), place).toContain(place)
    }
  })
})
