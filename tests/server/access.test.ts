/** Who gets in: links, cookies, roles, origins, revocation. */
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import {
  Person,
  type Board,
  type RunningServer,
  Wire,
  cleanUp,
  newBoard,
  personAt,
  startServer,
  until,
} from './harness.js'
import { SONG } from './music.js'

let server: RunningServer
let board: Board
beforeAll(async () => {
  server = await startServer()
  board = await newBoard(server)
})
afterAll(cleanUp)

const tokenOf = (link: string): string => link.split('#')[1] ?? ''

describe('[AC1] sessions from links', () => {
  it('a token of 22 or more characters buys a cookie for its board: HttpOnly, SameSite=Strict, Path=/', async () => {
    expect(tokenOf(board.links.member)).toMatch(/^[A-Za-z0-9_-]{22,}$/)
    const person = new Person(server)
    const answer = await person.enter(board.links.member, 'Tove')
    expect(answer.status).toBe(200)
    expect(answer.body).toMatchObject({ boardId: board.boardId, role: 'member' })
    const [cookie = ''] = answer.headers.getSetCookie()
    expect(cookie).toMatch(new RegExp(`^loft_${board.boardId}=`))
    for (const mark of ['HttpOnly', 'SameSite=Strict', 'Path=/']) expect(cookie).toContain(mark)
    expect(cookie).not.toContain('Secure')
    expect(cookie).not.toContain(tokenOf(board.links.member))
  })

  it('the same cookie and token again is the same person; GET tells who', async () => {
    const person = await personAt(server, board.links.member)
    const first = person.userId
    await person.enter(board.links.member)
    expect(person.userId).toBe(first)
    expect((await person.call('GET', `/api/session?board=${board.boardId}`)).body).toMatchObject({
      boardId: board.boardId,
      role: 'member',
      userId: first,
    })
    expect((await personAt(server, board.links.member)).userId).not.toBe(first)
  })

  it('a wrong token is 401, a wrong cookie too, and no cookie shows nothing of the board', async () => {
    const stranger = new Person(server)
    expect((await stranger.call('POST', '/api/session', { token: 'x'.repeat(43) })).status).toBe(401)
    for (const path of [
      `/api/boards/${board.boardId}/ledger`,
      `/api/boards/${board.boardId}/polls`,
      `/api/boards/${board.boardId}/export`,
      `/api/session?board=${board.boardId}`,
    ]) {
      const answer = await stranger.call('GET', path)
      expect(answer.status, path).toBe(401)
      expect(answer.body.error.code).toBe('no_session')
    }
    expect((await stranger.call('GET', '/api/boards/no-such-board/ledger')).status).toBe(404)
    expect(
      (
        await stranger.call('GET', `/api/boards/${board.boardId}/ledger`, undefined, {
          cookie: `loft_${board.boardId}=${'a'.repeat(43)}`,
        })
      ).status,
    ).toBe(401)
  })

  it('a cookie of one board opens no other', async () => {
    const other = await newBoard(server, 'Another')
    const person = await personAt(server, board.links.leader)
    const value = person.cookie.split('=')[1] ?? ''
    expect(
      (
        await person.call('GET', `/api/boards/${other.boardId}/ledger`, undefined, {
          cookie: `loft_${other.boardId}=${value}`,
        })
      ).status,
    ).toBe(401)
  })

  it('listeners see polls only', async () => {
    const listener = await personAt(server, board.links.listener)
    expect((await listener.call('GET', `/api/boards/${board.boardId}/ledger`)).status).toBe(403)
    expect((await listener.call('GET', `/api/boards/${board.boardId}/export`)).status).toBe(403)
    expect((await listener.command('nameVersion', { name: 'x' })).status).toBe(403)
    expect((await listener.call('GET', `/api/boards/${board.boardId}/polls`)).body).toEqual({ polls: [] })
    expect(await listener.socket().opened).toBe(403)
  })
})

describe('[AC2] origins', () => {
  it('an upgrade from elsewhere or from nowhere is 403; without a cookie 401; no board 404', async () => {
    const member = await personAt(server, board.links.member)
    const address = `${server.url.replace('http', 'ws')}/ws/${board.boardId}`
    expect(await member.socket({ origin: 'https://elsewhere.example' }).opened).toBe(403)
    expect(await new Wire(address, { cookie: member.cookie }).opened).toBe(403)
    expect(await new Wire(address, { origin: server.url }).opened).toBe(401)
    expect(await new Wire(`${address}x`, { origin: server.url, cookie: member.cookie }).opened).toBe(404)
    expect(await member.socket().opened).toBe(101)
  })

  it('a change asked for from another site is 403 and changes nothing', async () => {
    const leader = await personAt(server, board.links.leader)
    const before = await leader.seq()
    const answer = await leader.call(
      'POST',
      `/api/boards/${board.boardId}/commands`,
      { commandId: 'foreign-origin', kind: 'nameVersion', name: 'x' },
      { origin: 'https://elsewhere.example' },
    )
    expect(answer.status).toBe(403)
    expect(await leader.seq()).toBe(before)
  })

  it('PUBLIC_URL is the only origin where it is set, and https makes cookies Secure', async () => {
    const behind = await startServer({ env: { PUBLIC_URL: 'https://band.example' } })
    const created = await new Person(behind).call(
      'POST',
      '/api/boards',
      { title: 'x' },
      { origin: 'https://band.example' },
    )
    expect(created.status).toBe(201)
    const person = new Person(behind)
    const entered = await person.call(
      'POST',
      '/api/session',
      { token: tokenOf(created.body.links.member) },
      { origin: 'https://band.example' },
    )
    expect(entered.headers.getSetCookie()[0]).toContain('Secure')
    person.boardId = created.body.boardId
    expect(await person.socket().opened).toBe(403)
    expect(await person.socket({ origin: 'https://band.example' }).opened).toBe(101)
    await behind.stop()
  })
})

describe('[AC3] revoking', () => {
  it('ends the link’s sockets within a second with 4401 after a notice, and its cookies at once', async () => {
    const leader = await personAt(server, board.links.leader)
    const made = await leader.command('issueLink', { role: 'member', label: 'For the drummer' })
    expect(made.status).toBe(200)
    expect(made.body.link).toMatch(new RegExp(`^/b/${board.boardId}#[A-Za-z0-9_-]{22,}$`))
    const drummer = await personAt(server, made.body.link)
    const wire = drummer.socket()
    expect(await wire.opened).toBe(101)
    const began = Date.now()
    expect((await leader.command('revokeLink', { linkId: made.body.linkId })).status).toBe(200)
    expect((await wire.closed).code).toBe(4401)
    expect(Date.now() - began).toBeLessThan(1000)
    expect(wire.heard.some((message) => message.type === 20 && message.json.code === 'revoked')).toBe(true)
    expect((await drummer.call('GET', `/api/boards/${board.boardId}/ledger`)).status).toBe(401)
    expect((await new Person(server).enter(made.body.link)).status).toBe(401)
    expect(await drummer.socket().opened).toBe(401)
  })

  it('the last leader link stays', async () => {
    const own = await newBoard(server, 'One leader')
    const leader = await personAt(server, own.links.leader)
    const { body } = await leader.call('GET', `/api/boards/${own.boardId}/ledger`)
    const { linkId } = body.entries[0].command.links.find((link: { role: string }) => link.role === 'leader')
    expect((await leader.command('revokeLink', { linkId })).status).toBe(409)
    const second = await leader.command('issueLink', { role: 'leader' })
    expect((await leader.command('revokeLink', { linkId })).status).toBe(200)
    expect((await personAt(server, second.body.link)).userId).toBeTruthy()
  })

  it('a link that has expired opens nothing, and its sockets end', async () => {
    const leader = await personAt(server, board.links.leader)
    const made = await leader.command('issueLink', { role: 'member', expiresAt: Date.now() + 1200 })
    const guest = await personAt(server, made.body.link)
    const wire = guest.socket()
    expect(await wire.opened).toBe(101)
    expect((await wire.closed).code).toBe(4401)
    expect((await new Person(server).enter(made.body.link)).status).toBe(401)
  })

  it('every session of a personal link is one person', async () => {
    const leader = await personAt(server, board.links.leader)
    const { body } = await leader.command('issueLink', { role: 'member', personal: true })
    expect((await personAt(server, body.link)).userId).toBe((await personAt(server, body.link)).userId)
  })
})

describe('[AC4] what never leaks', () => {
  it('no token, cookie or name stands in the log, the ledger or the state', async () => {
    const leader = await personAt(server, board.links.leader, 'Nobody Elses Name')
    const { body } = await leader.command('issueLink', { role: 'member' })
    const ledger = JSON.stringify((await leader.call('GET', `/api/boards/${board.boardId}/ledger`)).body)
    const wire = leader.socket()
    const snapshot = JSON.stringify((await wire.hear((message) => message.type === 19)).json)
    wire.socket.close()
    const cookie = leader.cookie.split('=')[1] ?? ''
    for (const secret of [tokenOf(body.link), tokenOf(board.links.leader), cookie]) {
      expect(secret.length).toBeGreaterThan(20)
      for (const text of [ledger, snapshot, server.stdout(), server.stderr()]) expect(text).not.toContain(secret)
    }
    expect(server.stdout()).not.toContain('Nobody Elses Name')
  })

  it('every answer carries the browser’s instructions', async () => {
    for (const path of ['/', '/healthz', '/api/session?board=x', '/nothing.js']) {
      const { headers } = await new Person(server).call('GET', path)
      expect(headers.get('content-security-policy'), path).toContain(
        "default-src 'self'; script-src 'self' 'wasm-unsafe-eval'; style-src 'self'",
      )
      expect(headers.get('x-content-type-options')).toBe('nosniff')
      expect(headers.get('referrer-policy')).toBe('no-referrer')
      expect(headers.get('permissions-policy')).toContain('screen-wake-lock=(self)')
    }
  })
})

describe('[AC5] pace', () => {
  it('boards and sessions an address may make are counted', async () => {
    const slow = await startServer({ env: { BOARDS_PER_MINUTE: '3', SESSIONS_PER_MINUTE: '2' } })
    const made = await Promise.all(
      Array.from({ length: 5 }, () => new Person(slow).call('POST', '/api/boards', { title: 'x' })),
    )
    expect(made.filter((answer) => answer.status === 201)).toHaveLength(3)
    expect(made.find((answer) => answer.status === 429)?.body.error.code).toBe('too_fast')
    const entered = await Promise.all(
      Array.from({ length: 4 }, () => new Person(slow).call('POST', '/api/session', { token: 'x'.repeat(43) })),
    )
    expect(entered.map((answer) => answer.status).sort((a, b) => a - b)).toEqual([401, 401, 429, 429])
    await slow.stop()
  })

  it('sockets an address may hold are counted', async () => {
    const small = await startServer({ env: { MAX_SOCKETS_PER_ADDRESS: '2' } })
    const own = await newBoard(small)
    const person = await personAt(small, own.links.member)
    const wires = [person.socket(), person.socket()]
    for (const wire of wires) expect(await wire.opened).toBe(101)
    expect(await person.socket().opened).toBe(429)
    wires[0]?.socket.close()
    await wires[0]?.closed
    await until(async () => (await person.socket().opened) === 101, 'a place is free again')
    await small.stop()
  })
})

describe('[AC6] the board along with the session', () => {
  it('is told to the band where it is asked for, as message 19 tells it, and to listeners never', async () => {
    const [member, listener] = [new Person(server), new Person(server)]
    const enter = async (person: Person, link: string) =>
      (await person.call('POST', '/api/session', { token: tokenOf(link), withState: true })).body
    const { state, ...session } = await enter(member, board.links.member)
    expect(session).toMatchObject({ boardId: board.boardId, role: 'member' })
    member.boardId = board.boardId
    const wire = member.socket()
    expect(state).toEqual((await wire.hear(({ type }) => type === 19)).json.state)
    wire.socket.close()
    expect((await member.call('GET', `/api/session?board=${board.boardId}&state`)).body.state).toEqual(state)
    expect((await member.call('GET', `/api/session?board=${board.boardId}`)).body).not.toHaveProperty('state')
    expect(await enter(listener, board.links.listener)).not.toHaveProperty('state')
    const again = await listener.call('GET', `/api/session?board=${board.boardId}&state`)
    expect(again.body).not.toHaveProperty('state')
  })

  it('long answers are compressed where the client takes it, short ones never', async () => {
    const own = await newBoard(server, 'Boat shed', SONG)
    const member = await personAt(server, own.links.member)
    const answered = (path: string, encoding: string) =>
      member.call('GET', path, undefined, { 'accept-encoding': encoding })
    const long = `/api/boards/${own.boardId}/ledger?after=0`
    const [packed, plain] = [await answered(long, 'gzip'), await answered(long, 'identity')]
    expect(JSON.stringify(plain.body).length).toBeGreaterThan(8 * 1024)
    expect(packed.headers.get('content-encoding')).toBe('gzip')
    expect(packed.headers.get('vary')).toBe('accept-encoding')
    expect(packed.headers.get('content-security-policy')).toBe(plain.headers.get('content-security-policy'))
    expect(plain.headers.get('content-encoding')).toBeNull()
    expect(packed.body).toEqual(plain.body)
    const short = await answered(`/api/session?board=${own.boardId}`, 'gzip')
    expect(short.headers.get('content-encoding')).toBeNull()
  })
})
