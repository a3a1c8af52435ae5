/** No key of anybody's stands in the log at its most talkative, in the store, or in the first line of a request. */
import { readFileSync, readdirSync } from 'node:fs'
import { type Socket, connect, createServer } from 'node:net'
import { join } from 'node:path'
import { afterAll, describe, expect, it } from 'vitest'
import * as Y from 'yjs'
import { Person, cleanUp, freshFolder, newBoard, personAt, startServer } from './harness.js'

afterAll(cleanUp)

/** A relay that keeps what clients send, so that request lines can be read as the network sees them. */
async function listening(
  port: number,
): Promise<{ readonly url: string; readonly heard: () => string; end: () => void }> {
  const parts: Buffer[] = []
  const open = new Set<Socket>()
  const relay = createServer((client) => {
    const server = connect(port, '127.0.0.1')
    client.on('data', (bytes) => parts.push(bytes))
    client.pipe(server).pipe(client)
    for (const socket of [client, server]) {
      open.add(socket)
      socket.on('error', () => undefined)
    }
  })
  await new Promise<void>((resolve) => relay.listen(0, '127.0.0.1', resolve))
  const address = relay.address()
  return {
    url: `http://127.0.0.1:${typeof address === 'object' ? address?.port : 0}`,
    heard: () => Buffer.concat(parts).toString('latin1'),
    end: () => {
      for (const socket of open) socket.destroy()
      relay.close()
    },
  }
}

describe('[AC4] keys of every kind', () => {
  it('are in no log line, no stored byte and no request line: links, personal links, invitations, cookies, the secret', async () => {
    const dataDir = freshFolder()
    const server = await startServer({ dataDir, env: { LOG_LEVEL: 'trace' } })
    const relay = await listening(server.port)
    const board = await newBoard(relay)
    const leader = await personAt(relay, board.links.leader, 'Maro')
    const links = Object.values(board.links)
    for (const fields of [
      { role: 'member' },
      { role: 'member', personal: true, label: 'Bass' },
      { role: 'listener', personal: true, label: 'Invited' },
    ]) {
      const { body } = await leader.command('issueLink', fields)
      links.push(body.link)
    }
    const people = await Promise.all(links.map((link) => personAt(relay, link)))
    const { body: poll } = await leader.command('openPoll', {
      question: 'Which?',
      method: 'single',
      audience: 'invited',
      tally: 'always',
      options: [
        { id: 'a', title: 'A' },
        { id: 'b', title: 'B' },
      ],
    })
    await people.at(-1)?.call('POST', `/api/polls/${poll.pollId}/ballots`, { ballotId: 'one', choices: ['a'] })
    const wire = (people[1] as Person).socket()
    await wire.hear((message) => message.type === 0)
    const doc = new Y.Doc()
    doc.getText('notes').insert(0, 'to disk')
    wire.sendSync(2, Y.encodeStateAsUpdate(doc))
    await wire.hear((message) => message.type === 17 && message.json.n === 1)
    // What goes wrong is logged too: a made-up key, a broken body, a bad frame.
    await new Person(relay).call('POST', '/api/session', { token: `${links[0]?.split('#')[1]}x` })
    await leader.call('POST', `/api/boards/${board.boardId}/commands`, '{"commandId":')
    wire.send(Uint8Array.of(99))
    await wire.closed
    const seconds = await Promise.all(links.map((link) => personAt(relay, link)))
    const keys = [
      ...links.map((link) => link.split('#')[1] ?? ''),
      ...[leader, ...people, ...seconds].map((person) => person.cookie.split('=')[1] ?? ''),
    ]
    expect(new Set(keys).size).toBeGreaterThan(15)
    expect(Math.min(...keys.map((key) => key.length))).toBe(43)
    const secret = readFileSync(join(dataDir, 'secret'))
    const stored = () =>
      readdirSync(dataDir)
        .filter((name) => name !== 'secret')
        .map((name) => [name, readFileSync(join(dataDir, name))] as const)
    const live = stored()
    expect(live.map(([name]) => name).sort()).toEqual(
      expect.arrayContaining(['chartloft.sqlite', 'chartloft.sqlite-wal']),
    )
    const heads = relay.heard().match(/(GET|POST|DELETE|PUT) \S+ HTTP\/1\.1/g) ?? []
    expect(heads.length).toBeGreaterThanOrEqual(20)
    relay.end()
    await server.stop()
    const log = server.stdout() + server.stderr()
    expect(log).toContain('listening')
    for (const key of keys) {
      expect(log).not.toContain(key)
      for (const line of heads) expect(line).not.toContain(key)
      for (const [name, bytes] of [...live, ...stored()]) {
        expect(bytes.includes(key), `${name} holds a key`).toBe(false)
        expect(bytes.includes(Buffer.from(key, 'base64url')), `${name} holds a key’s bytes`).toBe(false)
      }
    }
    for (const [name, bytes] of [...live, ...stored()]) expect(bytes.includes(secret), name).toBe(false)
    for (const form of ['hex', 'base64', 'base64url'] as const) expect(log).not.toContain(secret.toString(form))
  })
})
