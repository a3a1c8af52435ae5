/** Everything the promise AB1 names, and what comes in over HTTP, done to a running server: each attack ends as it should, is counted, and is not
 *  felt in another room. The short forms run in `npm test`, the long ones in `npm run bench -- sync`. */
import { connect } from 'node:net'
import * as Y from 'yjs'
import { type Field, pause, rawRequest, yieldLoop } from './field.js'
import { bytes, manyDeletions, manyPieces, presenceFrame, textFrame, withoutTheFirst } from './hostile-bytes.js'
import { Person, newBoard, newId, personAt, syncBytes, until } from './harness.js'

export interface Attack {
  readonly what: string
  /** How it must end: a close code, an HTTP status, or 1006 for a line that is simply cut. */
  readonly ends: readonly number[]
  /** The line of /metrics that must rise. */
  readonly counted: string
  /** Answers how it ended. */
  readonly run: (field: Field) => Promise<number>
}

const closed = (code: number): string => `chartloft_closed_total{code="${code}"}`
const refused = (reason: string): string => `chartloft_refused_total{reason="${reason}"}`

/** Sends frames on one member's socket until it is closed. */
const frames = (what: string, code: number, make: (field: Field) => Iterable<Uint8Array>): Attack => ({
  what,
  ends: [code],
  counted: closed(code),
  async run(field) {
    const wire = field.member.socket()
    await wire.opened
    let count = 0
    for (const frame of make(field)) {
      if (wire.socket.readyState !== wire.socket.OPEN) break
      wire.send(frame)
      if (++count % 50 === 0) await yieldLoop()
    }
    return (await wire.closed).code
  },
})

/** Many HTTP calls at once; the status of the first that was refused as expected. */
const calls = (
  what: string,
  status: number,
  reason: string,
  make: (field: Field) => Iterable<() => Promise<{ readonly status: number }>>,
): Attack => ({
  what,
  ends: [status],
  counted: refused(reason),
  async run(field) {
    const seen: number[] = []
    for (const call of make(field)) {
      seen.push(-1)
      const at = seen.length - 1
      void call().then(
        (answer) => (seen[at] = answer.status),
        () => (seen[at] = 0),
      )
      if (at % 20 === 19) await yieldLoop()
    }
    await until(() => !seen.includes(-1), `${what}: all answered`, 120_000)
    return seen.find((one) => one === status) ?? Number(seen.at(-1))
  },
})

function* repeat<T>(times: number, make: (index: number) => T): Generator<T> {
  for (let index = 0; index < times; index++) yield make(index)
}

const MEBIBYTE = 1024 * 1024

export const QUICK: readonly Attack[] = [
  frames('a number cut off', 4400, () => [bytes(0x80)]),
  frames('a number longer than it needs to be', 4400, () => [bytes(0x80, 0)]),
  frames('a number without an end', 4400, () => [bytes(...Array.from({ length: 12 }, () => 255))]),
  frames('an unknown type', 4400, () => [bytes(99)]),
  frames('a ledger row of one’s own', 4400, () => [textFrame(19, '{"seq":99}')]),
  frames('a frame of 101 MiB', 4413, () => [new Uint8Array(101 * MEBIBYTE)]),
  {
    what: '101 MiB in fragments of one message',
    ends: [4413],
    counted: closed(4413),
    async run({ member }) {
      const wire = member.socket()
      await wire.opened
      for (let part = 0; part < 101 && wire.socket.readyState === wire.socket.OPEN; part++) {
        wire.socket.send(new Uint8Array(MEBIBYTE), { fin: part === 100 })
        await yieldLoop()
      }
      return (await wire.closed).code
    },
  },
  {
    ...frames('3,000 updates with missing dependencies', 4400, () =>
      withoutTheFirst(3000).map((update) => syncBytes(2, update)),
    ),
    ends: [4400, 4429],
  },
  frames('a mebibyte of tiny inserts', 4413, () => [syncBytes(2, manyPieces(170_000))]),
  frames('200,000 deletions at once', 4413, () => [syncBytes(2, manyDeletions(200_000))]),
  frames('ten thousand pieces that all want one place', 4400, ({ size }) =>
    repeat(size(4, 8), (part) => syncBytes(2, manyPieces(size(10_000, 19_000), 1000 + part))),
  ),
  frames('the same in small messages', 4400, ({ size }) =>
    repeat(size(200, 290), (part) => syncBytes(2, manyPieces(100, 5000 + part))),
  ),
  {
    what: 'a document of 50 MB',
    ends: [4413],
    counted: closed(4413),
    async run({ server }) {
      const wire = (await personAt(server, (await newBoard(server, 'Full')).links.member)).socket()
      await wire.opened
      const doc = new Y.Doc()
      doc.on('update', (update: Uint8Array) => wire.send(syncBytes(2, update)))
      for (let card = 0; card < 55 && wire.socket.readyState === wire.socket.OPEN; card++) {
        doc.getMap('cards').set(`card-${card}`, 'x'.repeat(900_000))
        // A pace under the one for bytes, or the flood ends it first.
        await pause(card < 9 ? 20 : 450)
      }
      return (await wire.closed).code
    },
  },
  {
    what: 'the whole of a draft of many pieces asked for again and again',
    ends: [4408, 4429],
    counted: refused('too_'),
    async run({ server, size }) {
      const person = await personAt(server, (await newBoard(server, 'Asked for')).links.member)
      const writer = person.socket()
      await writer.opened
      for (let part = 0; part < size(6, 12); part++) {
        const doc = new Y.Doc()
        doc.transact(() => {
          for (let card = 0; card < 9000; card++) doc.getMap('cards').set(`${part}-${card}`, card)
        })
        writer.sendSync(2, Y.encodeStateAsUpdate(doc))
        await writer.hear((message) => message.type === 17 && message.json.n === part + 1)
      }
      const wires = [...repeat(size(5, 20), () => person.socket())]
      await Promise.all(wires.map((wire) => wire.opened))
      const step1 = syncBytes(0, bytes(1, 1, 0))
      for (const wire of wires) {
        wire.socket.pause()
        for (let count = 0; count < 299; count++) wire.send(step1)
      }
      await pause(500)
      for (const wire of wires) wire.socket.resume()
      const [first] = await Promise.all(wires.map((wire) => Promise.race([wire.closed, pause(30_000)])))
      for (const wire of wires) wire.socket.terminate()
      writer.socket.terminate()
      return typeof first === 'object' ? first.code : 0
    },
  },
  frames('10,000 presence entries', 4400, () => [
    presenceFrame(Array.from({ length: 10_000 }, (_, id) => [id, 1, '{}'] as const)),
  ]),
  frames('five people’s presence from one socket', 4400, () => [
    presenceFrame(Array.from({ length: 5 }, (_, id) => [id + 1000, 1, '{}'] as const)),
  ]),
  frames('a flood of messages', 4429, ({ size }) =>
    repeat(size(2000, 20_000), (count) => textFrame(16, JSON.stringify({ t0: count }))),
  ),
  frames('a flood of bytes', 4429, ({ size }) => repeat(size(20, 100), () => syncBytes(0, new Uint8Array(1_000_000)))),
  {
    what: 'a flood of sockets of one address, all at once',
    ends: [429],
    counted: refused('upgrade_429'),
    async run({ member, size, socketsAllowed }) {
      const wires = [...repeat(socketsAllowed + size(150, 1500), () => member.socket())]
      const statuses = await Promise.all(wires.map((wire) => wire.opened))
      const open = statuses.filter((status) => status === 101).length
      for (const wire of wires) wire.socket.terminate()
      await pause(100)
      if (open > socketsAllowed) throw new Error(`${open} sockets of one address were let in, ${socketsAllowed} may be`)
      return statuses.find((status) => status === 429) ?? 0
    },
  },
  {
    what: 'a flood of sockets without a session',
    ends: [401],
    counted: refused('upgrade_401'),
    async run({ member, size, server }) {
      const stranger = new Person(server)
      stranger.boardId = member.boardId
      const seen = await Promise.all(repeat(size(200, 2000), () => stranger.socket().opened))
      return seen.find((status) => status === 401) ?? 0
    },
  },
  calls('ledger spam by a member', 429, 'too_fast', ({ member, size }) =>
    repeat(size(400, 2000), (index) => () => member.command('nameVersion', { name: `v${index}` })),
  ),
  calls('ledger spam by a leader', 429, 'too_fast', ({ leader, size }) =>
    repeat(size(500, 2000), (index) => () => leader.command('nameVersion', { name: `v${index}` })),
  ),
  calls('the same command a thousand times', 429, 'too_fast', ({ leader, size }) => {
    const commandId = newId()
    return repeat(size(400, 1000), () => () => leader.command('nameVersion', { name: 'again' }, commandId))
  }),
  calls('spam of ballots', 429, 'too_fast', ({ listener, pollId, size }) =>
    repeat(
      size(300, 2000),
      (index) => () => listener.call('POST', `/api/polls/${pollId}/ballots`, { ballotId: `b${index}`, choices: ['a'] }),
    ),
  ),
  calls('a body of 2 MiB', 413, 'too_large', ({ member }) => [
    () => member.command('nameVersion', { name: 'x'.repeat(2 * MEBIBYTE) }),
  ]),
  {
    what: 'a body of 101 MiB in chunks, its length not said',
    ends: [413],
    counted: refused('too_large'),
    run: ({ server, member }) =>
      rawRequest(
        server.port,
        `POST /api/boards/${member.boardId}/commands HTTP/1.1\r\nHost: 127.0.0.1:${server.port}\r\nCookie: ${member.cookie}\r\nContent-Type: application/json\r\nTransfer-Encoding: chunked\r\n\r\n`,
        { chunk: `${MEBIBYTE.toString(16)}\r\n${'x'.repeat(MEBIBYTE)}\r\n`, times: 101, everyMs: 0 },
      ),
  },
  calls('JSON nested 100,000 deep', 400, 'bad_request', ({ leader }) =>
    repeat(
      5,
      () => () =>
        leader.call(
          'POST',
          `/api/boards/${leader.boardId}/commands`,
          `{"commandId":"abcdefgh","kind":"setEdits","edits":${'['.repeat(100_000)}${']'.repeat(100_000)}}`,
        ),
    ),
  ),
  calls('board files of 15 MiB of numbers', 413, 'too_large', ({ stranger, size }) => {
    const body = `{"format":"chartloft-board","ledger":[${'1,'.repeat(7.5 * MEBIBYTE)}1]}`
    return repeat(size(3, 12), () => () => stranger.call('POST', '/api/boards/import', body))
  }),
  calls('tunes that take the longest to read', 422, 'invalid', ({ stranger, size }) => {
    const data = `<score-partwise>${'<part-list><score-part id="P1"/></part-list>'.repeat(18_000)}</score-partwise>`
    return repeat(
      size(6, 12),
      () => () => stranger.call('POST', '/api/boards', { title: 'x', tune: { format: 'musicxml', data } }),
    )
  }),
  calls('an export of a full board, again and again', 429, 'too_fast', ({ full, size }) =>
    repeat(size(40, 200), () => () => full.call('GET', `/api/boards/${full.boardId}/export`)),
  ),
  {
    what: 'broken handshakes',
    ends: [400],
    counted: refused('bad_request'),
    async run({ server, size }) {
      const lines = [
        'GET / HTTP/9.9\r\n\r\n',
        '\u0016\u0003\u0001\r\n\r\n',
        'GET /ws/x HTTP/1.1\r\nUpgrade: websocket\r\nA b\r\n\r\n',
      ]
      const seen = await Promise.all(
        repeat(size(60, 600), (index) => rawRequest(server.port, String(lines[index % lines.length]))),
      )
      return Math.max(...seen)
    },
  },
  calls('sessions with made-up tokens', 429, 'too_fast', ({ stranger, size }) =>
    repeat(size(700, 3000), () => () => stranger.call('POST', '/api/session', { token: newId().padEnd(43, 'x') })),
  ),
  calls('new boards', 429, 'too_fast', ({ stranger, size }) =>
    repeat(size(150, 400), () => () => stranger.call('POST', '/api/boards', { title: 'One more' })),
  ),
]

/** What takes its time; done all at once in the short run. */
export const PATIENT: readonly Attack[] = [
  {
    what: 'a reader that stops reading while its board is edited',
    ends: [4408],
    counted: closed(4408),
    async run(field) {
      const board = await newBoard(field.server, 'Slow')
      const slow = (await personAt(field.server, board.links.member)).socket()
      await slow.hear((message) => message.type === 19)
      slow.socket.pause()
      const writer = (await personAt(field.server, board.links.member)).socket()
      await writer.hear((message) => message.type === 0)
      const doc = new Y.Doc()
      doc.on('update', (update: Uint8Array) => writer.send(syncBytes(2, update)))
      const line = closed(4408)
      const before = await field.metric(line)
      for (let count = 0; count < 40; count++) {
        doc.getMap('cards').set('one', `${count}-${'x'.repeat(600_000)}`)
        await pause(330)
      }
      await until(async () => (await field.metric(line)) > before, 'the slow reader is let go', 30_000)
      slow.socket.resume()
      const { code } = await slow.closed
      writer.socket.terminate()
      return code
    },
  },
  {
    what: 'half-open sockets that answer nothing',
    ends: [1006],
    counted: refused('half_open'),
    async run({ server, member, size }) {
      const dead = [
        ...repeat(size(5, 40), () => {
          const socket = connect(server.port, '127.0.0.1')
          socket.on('error', () => undefined)
          socket.resume()
          socket.write(
            `GET /ws/${member.boardId} HTTP/1.1\r\nHost: 127.0.0.1:${server.port}\r\nOrigin: ${server.url}\r\nCookie: ${member.cookie}\r\nUpgrade: websocket\r\nConnection: Upgrade\r\nSec-WebSocket-Version: 13\r\nSec-WebSocket-Key: AAAAAAAAAAAAAAAAAAAAAA==\r\n\r\n`,
          )
          return new Promise<void>((resolve) => socket.once('close', () => resolve()))
        }),
      ]
      await Promise.all(dead)
      return 1006
    },
  },
  {
    what: 'requests whose head comes a letter a second',
    ends: [408],
    counted: refused('timeout'),
    run: ({ server, size }) =>
      Promise.all(
        repeat(size(20, 200), () =>
          rawRequest(server.port, 'GET / HTTP/1.1\r\nX: ', { chunk: 'x', times: 60, everyMs: 1000 }),
        ),
      ).then((seen) => Math.min(...seen)),
  },
  {
    what: 'requests whose body comes a letter a second',
    ends: [408],
    counted: refused('timeout'),
    run: ({ server, member, size }) =>
      Promise.all(
        repeat(size(20, 200), () =>
          rawRequest(
            server.port,
            `POST /api/boards/${member.boardId}/commands HTTP/1.1\r\nHost: 127.0.0.1:${server.port}\r\nCookie: ${member.cookie}\r\nContent-Type: application/json\r\nContent-Length: 1000\r\n\r\n`,
            { chunk: ' ', times: 60, everyMs: 1000 },
          ),
        ),
      ).then((seen) => Math.min(...seen)),
  },
  {
    what: 'connections that never say a word',
    ends: [408],
    counted: refused('timeout'),
    run: ({ server, size }) =>
      Promise.all(repeat(size(20, 200), () => rawRequest(server.port, ''))).then((seen) => Math.min(...seen)),
  },
]
