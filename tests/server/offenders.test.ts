/** Who is closed for abuse again and again waits; the others of the same house do not. */
import { get } from 'node:http'
import { afterAll, describe, expect, it } from 'vitest'
import { type Person, cleanUp, newBoard, personAt, startServer, until } from './harness.js'

afterAll(cleanUp)

const WAIT_MS = 1500

/** What an upgrade is answered: status and words. */
function asked(person: Person): Promise<{ readonly status: number; readonly text: string }> {
  return new Promise((resolve, reject) => {
    const request = get(`${person.server.url}/ws/${person.boardId}`, {
      headers: {
        connection: 'Upgrade',
        upgrade: 'websocket',
        'sec-websocket-version': '13',
        'sec-websocket-key': 'AAAAAAAAAAAAAAAAAAAAAA==',
        origin: person.server.url,
        cookie: person.cookie,
      },
    })
    request.once('response', (response) => {
      let text = ''
      response.setEncoding('utf8').on('data', (part: string) => (text += part))
      response.once('end', () => resolve({ status: response.statusCode ?? 0, text }))
    })
    request.once('upgrade', (_response, socket) => {
      socket.destroy()
      resolve({ status: 101, text: '' })
    })
    request.once('error', reject)
  })
}

/** Sends a bad frame and is closed for it; false where it was not let in. */
async function offend(person: Person): Promise<boolean> {
  const wire = person.socket()
  if ((await wire.opened) !== 101) return false
  wire.send(Uint8Array.of(99))
  expect((await wire.closed).code).toBe(4400)
  return true
}

const counted = async (person: Person): Promise<number> =>
  Number(
    /^chartloft_refused_total\{reason="cooling_down"\} (\d+)$/m.exec(
      (await person.call('GET', '/metrics')).body,
    )?.[1] ?? 0,
  )

describe('[AB4] repeat offenders', () => {
  it('a session waits, is told how long, and comes back after it; nobody else waits', async () => {
    const server = await startServer({ env: { ABUSES_PER_MINUTE: '3', COOL_DOWN_MS: String(WAIT_MS) } })
    const board = await newBoard(server)
    const [rogue, honest] = [await personAt(server, board.links.member), await personAt(server, board.links.member)]
    for (let times = 0; times < 4; times++) expect(await offend(rogue)).toBe(true)
    const refused = await asked(rogue)
    expect(refused.status).toBe(429)
    expect(JSON.parse(refused.text).error).toMatchObject({ code: 'too_fast' })
    expect(refused.text).toMatch(/try again in \d seconds/)
    expect(await counted(rogue)).toBe(1)
    expect(await honest.socket().opened).toBe(101)
    expect(await (await personAt(server, board.links.member)).socket().opened).toBe(101)
    await until(async () => (await asked(rogue)).status === 101, 'the wait ends', WAIT_MS + 5000)
    await server.stop()
  })

  it('new sessions of an address wait once many of it offended; who is there already comes and goes', async () => {
    const server = await startServer({ env: { ABUSES_PER_MINUTE: '2', COOL_DOWN_MS: String(WAIT_MS) } })
    const board = await newBoard(server)
    const honest = await personAt(server, board.links.member)
    let offences = 0
    for (let session = 0; session < 6 && offences < 9; session++) {
      const rogue = await personAt(server, board.links.member)
      while (offences < 9 && (await offend(rogue))) offences++
    }
    expect(offences).toBe(9)
    const token = board.links.member.split('#')[1]
    const late = await honest.call('POST', '/api/session', { token }, { cookie: '' })
    expect(late.status).toBe(429)
    expect(late.body.error.message).toMatch(/try again in \d seconds/)
    expect(await honest.socket().opened).toBe(101)
    expect((await honest.call('GET', `/api/boards/${board.boardId}/ledger`)).status).toBe(200)
    await until(
      async () => (await honest.call('POST', '/api/session', { token }, { cookie: '' })).status === 200,
      'the wait ends',
      WAIT_MS + 5000,
    )
    await server.stop()
  })
})
