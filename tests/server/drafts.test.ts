/** Editing together: a stock client connects, edits meet, and 'saved' means on disk. */
import { writerOf } from '@chartloft/shared-theory/board'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import * as Y from 'yjs'
import {
  type Board,
  type RunningServer,
  type Wire,
  cleanUp,
  drawFrom,
  freshFolder,
  newBoard,
  personAt,
  startServer,
  syncBytes,
  until,
} from './harness.js'
import { draftOf } from './kills.js'

/** The draft's content, whichever of its types this client has touched. */
const contentOf = (doc: Y.Doc) => ({
  meta: doc.getMap('meta').toJSON(),
  trying: doc.getMap('trying').toJSON(),
  notes: doc.getText('notes').toJSON(),
})

const isQuestion = (message: { type: number; step?: number }) => message.type === 0 && message.step === 0

let server: RunningServer
let board: Board
beforeAll(async () => {
  server = await startServer()
  board = await newBoard(server)
})
afterAll(cleanUp)

describe('[CO1] a stock y-websocket client', () => {
  it('connects, edits, and two of them end alike', async () => {
    const [a, b] = await Promise.all([
      personAt(server, board.links.leader, 'Maro'),
      personAt(server, board.links.member, 'Tove'),
    ])
    const [first, second] = [a.provider(), b.provider()]
    await until(() => first.synced && second.synced, 'both synced')
    first.doc.getMap('meta').set('schema', 1)
    first.doc.getText('notes').insert(0, 'slower, please')
    second.doc.getMap('trying').set('groove', 'bossa')
    await until(
      () =>
        second.doc.getText('notes').toJSON() === 'slower, please' &&
        first.doc.getMap('trying').get('groove') === 'bossa',
      'both hear both',
    )
    first.awareness.setLocalStateField('name', 'Maro')
    await until(
      () => [...second.awareness.getStates().values()].some((state) => state['name'] === 'Maro'),
      'presence arrives',
    )
    expect(contentOf(second.doc)).toEqual(contentOf(first.doc))
    first.disconnect()
    first.doc.getText('notes').insert(0, 'offline: ')
    first.connect()
    await until(() => second.doc.getText('notes').toJSON().startsWith('offline'), 'offline edits arrive')
    first.destroy()
    await until(
      () => ![...second.awareness.getStates().values()].some((state) => state['name'] === 'Maro'),
      'who leaves is gone',
    )
    second.destroy()
  })

  it('keeps a draft over a restart of the server', async () => {
    const dataDir = server.dataDir
    const a = await personAt(server, board.links.leader)
    const provider = a.provider()
    await until(() => provider.synced, 'synced')
    const before = contentOf(provider.doc)
    provider.destroy()
    expect(await server.stop()).toBe(0)
    server = await startServer({ dataDir })
    const again = (await personAt(server, board.links.member)).provider()
    await until(() => again.synced, 'synced again')
    expect(contentOf(again.doc)).toEqual(before)
    expect(before.trying).toEqual({ groove: 'bossa' })
    again.destroy()
  })
})

/** LONG=1 runs more schedules; SEED starts elsewhere. */
const SCHEDULES = process.env['LONG'] ? 200 : 6
const seed = Number(process.env['SEED'] ?? 7)

describe('[CO1] edits, reconnects and offline stretches in any order', () => {
  it(`${SCHEDULES} seeded schedules of four people end with one draft (first seed ${seed})`, async () => {
    for (let schedule = 0; schedule < SCHEDULES; schedule++) {
      const draw = drawFrom(seed + schedule)
      const own = await newBoard(server, `Schedule ${schedule}`)
      const people = await Promise.all(
        [own.links.leader, own.links.member, own.links.member, own.links.member].map((link) => personAt(server, link)),
      )
      const providers = people.map((person) => person.provider())
      for (let step = 0; step < 80; step++) {
        const provider = providers[Math.floor(draw() * providers.length)] as (typeof providers)[number]
        const notes = provider.doc.getText('notes')
        const act = draw()
        if (act < 0.45)
          notes.insert(Math.floor(draw() * (notes.length + 1)), String.fromCharCode(97 + Math.floor(draw() * 26)))
        else if (act < 0.6 && notes.length > 0) notes.delete(Math.floor(draw() * notes.length), 1)
        else if (act < 0.8) provider.doc.getMap('trying').set(`slot-${Math.floor(draw() * 4)}`, step)
        else if (act < 0.9) provider.disconnect()
        else provider.connect()
        if (draw() < 0.3) await new Promise((resolve) => setTimeout(resolve, draw() * 8))
      }
      for (const provider of providers) provider.connect()
      const drafts = () =>
        new Set(
          providers.map((provider) =>
            JSON.stringify([
              provider.doc.getText('notes').toJSON(),
              Object.entries(provider.doc.getMap('trying').toJSON()).sort(([a], [b]) => (a < b ? -1 : 1)),
            ]),
          ),
        )
      await until(
        () => providers.every((provider) => provider.synced) && drafts().size === 1,
        `schedule ${schedule} (seed ${seed + schedule}) converges`,
      )
      expect(drafts().size).toBe(1)
      for (const provider of providers) provider.destroy()
    }
  })
})

describe('[DU1] saved', () => {
  it('counts this socket’s messages, inserts and deletes alike, and names the clock on disk', async () => {
    const person = await personAt(server, board.links.member)
    const wire = person.socket()
    await wire.opened
    await wire.hear((message) => message.type === 0 && message.step === 0)
    const doc = new Y.Doc()
    const updates: Uint8Array[] = []
    doc.on('update', (update: Uint8Array) => updates.push(update))
    doc.getText('notes').insert(0, 'abc')
    doc.getText('notes').delete(0, 1)
    for (const update of updates) wire.sendSync(2, update)
    const saved = await wire.hear((message) => message.type === 17 && message.json.n === 2)
    const stateVector = Y.decodeStateVector(Buffer.from(saved.json.sv, 'base64'))
    expect(stateVector.get(doc.clientID)).toBe(3)
    wire.socket.close()
  })

  it('is told once after the first step 2, even an empty one', async () => {
    const wire = (await personAt(server, board.links.member)).socket()
    await wire.opened
    wire.sendSync(1, Y.encodeStateAsUpdate(new Y.Doc()))
    expect((await wire.hear((message) => message.type === 17)).json.n).toBe(1)
    wire.socket.close()
  })
})

describe('[CO2] client ids belong to sessions', () => {
  it('an update that moves on somebody else’s id is refused; the same in a step 2 while they are here', async () => {
    const [owner, forger] = await Promise.all([
      personAt(server, board.links.leader),
      personAt(server, board.links.member),
    ])
    const doc = new Y.Doc()
    doc.getText('notes').insert(0, 'mine')
    const mine = owner.socket()
    await mine.opened
    mine.sendSync(2, Y.encodeStateAsUpdate(doc))
    await mine.hear((message) => message.type === 17 && message.json.n === 1)
    const forged = new Y.Doc()
    Y.applyUpdate(forged, Y.encodeStateAsUpdate(doc))
    forged.clientID = doc.clientID
    forged.getText('notes').insert(0, 'not ')
    for (const step of [1, 2] as const) {
      const wire = forger.socket()
      await wire.opened
      wire.sendSync(step, Y.encodeStateAsUpdate(forged))
      const notice = await wire.hear((message) => message.type === 20)
      expect(notice.json.code).toBe('bad_message')
      expect((await wire.closed).code).toBe(4400)
    }
    mine.socket.close()
  })

  it('what somebody brings in of an absent person’s id is told as brought by them, also to who comes later and after a restart', async () => {
    const dataDir = freshFolder()
    let own = await startServer({ dataDir })
    const links = (await newBoard(own)).links
    const [owner, forger] = [await personAt(own, links.leader, 'Tove'), await personAt(own, links.member, 'Ivo')]
    const doc = new Y.Doc()
    doc.getText('notes').insert(0, 'mine')
    const mine = owner.socket()
    await mine.opened
    mine.sendSync(2, Y.encodeStateAsUpdate(doc))
    await mine.hear((message) => message.type === 17 && message.json.n === 1)
    mine.socket.close()
    await mine.closed
    const forged = new Y.Doc()
    Y.applyUpdate(forged, Y.encodeStateAsUpdate(doc))
    forged.clientID = doc.clientID
    forged.getText('notes').insert(0, 'not ')
    const wire = forger.socket()
    await wire.opened
    wire.sendSync(1, Y.encodeStateAsUpdate(forged))
    await wire.hear((message) => message.type === 17 && message.json.n === 1)
    wire.socket.close()
    const told = async () => {
      const late = (await personAt(own, links.member)).socket()
      const { json } = await late.hear((message) => message.type === 21)
      late.socket.close()
      return json.clients
    }
    const before = await told()
    expect(before[doc.clientID]).toMatchObject({ userId: owner.userId, name: 'Tove' })
    expect(writerOf(before, doc.clientID, 3)).toMatchObject({ name: 'Tove' })
    expect(writerOf(before, doc.clientID, 4)).toMatchObject({ userId: forger.userId, name: 'Ivo' })
    expect(writerOf(before, doc.clientID, 7)).toMatchObject({ userId: forger.userId, name: 'Ivo' })
    expect(writerOf(before, doc.clientID, 8)).toMatchObject({ name: 'Tove' })
    await own.stop()
    own = await startServer({ dataDir })
    expect(await told()).toEqual(before)
    await own.stop()
  })

  it('edits of an id nobody has, brought in by somebody, do not become those of whoever takes the id later', async () => {
    const own = await startServer()
    const links = (await newBoard(own)).links
    const [first, second] = [await personAt(own, links.leader, 'Tove'), await personAt(own, links.member, 'Ansa')]
    const doc = new Y.Doc()
    doc.getText('notes').insert(0, 'whose')
    const one = first.socket()
    await one.opened
    one.sendSync(1, Y.encodeStateAsUpdate(doc))
    await one.hear((message) => message.type === 17 && message.json.n === 1)
    const seen = Y.encodeStateVector(doc)
    doc.getText('notes').insert(0, 'then ')
    const other = second.socket()
    await other.opened
    other.sendSync(2, Y.encodeStateAsUpdate(doc, seen))
    const { json } = await other.hear(
      (message) => message.type === 21 && message.json.clients[doc.clientID] !== undefined,
    )
    expect(writerOf(json.clients, doc.clientID, 0)).toMatchObject({ name: 'Tove' })
    expect(writerOf(json.clients, doc.clientID, 5)).toMatchObject({ name: 'Ansa' })
    await own.stop()
  })

  it('says who each id belongs to', async () => {
    const person = await personAt(server, board.links.member, 'Tove')
    const wire = person.socket()
    await wire.opened
    const doc = new Y.Doc()
    doc.getText('notes').insert(0, 'x')
    wire.sendSync(2, Y.encodeStateAsUpdate(doc))
    const authors = await wire.hear(
      (message) => message.type === 21 && message.json.clients[doc.clientID] !== undefined,
    )
    expect(authors.json.clients[doc.clientID]).toEqual({ userId: person.userId, name: 'Tove', role: 'member' })
    wire.socket.close()
  })
})

describe('[CO3] updates that build on missing ones', () => {
  it('the server asks once, takes the answer and loses nothing', async () => {
    const person = await personAt(server, board.links.member)
    const wire = person.socket()
    await wire.opened
    await wire.hear((message) => message.type === 0 && message.step === 0)
    const doc = new Y.Doc()
    const updates: Uint8Array[] = []
    doc.on('update', (update: Uint8Array) => updates.push(update))
    doc.getMap('meta').set('a', 1)
    doc.getMap('meta').set('a', 2)
    wire.sendSync(2, updates[1] as Uint8Array)
    await wire.hear(
      (message) =>
        message.type === 0 &&
        message.step === 0 &&
        message !== wire.heard.find((first) => first.type === 0 && first.step === 0),
    )
    wire.sendSync(1, Y.encodeStateAsUpdate(doc))
    await wire.hear((message) => message.type === 17 && message.json.n === 2)
    wire.socket.close()
  })

  it('[CO4] pieces of a lost device’s edits without what they build on: who holds them stays, and is asked again when the ground comes', async () => {
    const [holder, bringer] = [await personAt(server, board.links.member), await personAt(server, board.links.leader)]
    const lost = new Y.Doc()
    const updates: Uint8Array[] = []
    lost.on('update', (update: Uint8Array) => updates.push(update))
    lost.getMap('trying').set('loose', 1)
    lost.getMap('trying').set('loose', 2)
    const held = new Y.Doc()
    Y.applyUpdate(held, updates[1] as Uint8Array)
    held.getMap('meta').set('of the holder', 1)
    const wire = holder.socket()
    await wire.hear(isQuestion)
    wire.sendSync(1, Y.encodeStateAsUpdate(held))
    await wire.hear((message) => message.type === 17 && message.json.n === 1)
    await new Promise((resolve) => setTimeout(resolve, 2500))
    expect(wire.socket.readyState).toBe(wire.socket.OPEN)
    expect(wire.heard.filter(isQuestion)).toHaveLength(1)
    expect((await draftOf(bringer)).getMap('meta').get('of the holder')).toBe(1)
    const other = bringer.socket()
    await other.opened
    other.sendSync(1, updates[0] as Uint8Array)
    await wire.hear((message) => isQuestion(message) && message !== wire.heard.find(isQuestion))
    wire.sendSync(1, Y.encodeStateAsUpdate(held))
    await wire.hear((message) => message.type === 17 && message.json.n === 2)
    expect((await draftOf(bringer)).getMap('trying').get('loose')).toBe(2)
    wire.socket.close()
    other.socket.close()
  })

  it('a step 2 whose own edits build on missing ones is not let off', async () => {
    const wire = (await personAt(server, board.links.member)).socket()
    await wire.opened
    const doc = new Y.Doc()
    const updates: Uint8Array[] = []
    doc.on('update', (update: Uint8Array) => updates.push(update))
    doc.getMap('meta').set('a', 1)
    const known = Y.encodeStateVector(doc)
    doc.getMap('meta').set('b', 2)
    wire.send(syncBytes(2, updates[0] as Uint8Array))
    doc.getMap('meta').set('a', 3)
    doc.getMap('meta').set('c', 4)
    const whole = Y.encodeStateAsUpdate(doc, known)
    wire.send(syncBytes(1, Y.diffUpdate(whole, Y.encodeStateVector(new Map([[doc.clientID, 2]])))))
    expect((await wire.closed).code).toBe(4400)
  })

  it('still missing after two seconds: closed with 4400', async () => {
    const wire = (await personAt(server, board.links.member)).socket()
    await wire.opened
    const doc = new Y.Doc()
    const updates: Uint8Array[] = []
    doc.on('update', (update: Uint8Array) => updates.push(update))
    doc.getMap('meta').set('a', 1)
    doc.getMap('meta').set('b', 2)
    const began = Date.now()
    wire.send(syncBytes(2, updates[1] as Uint8Array))
    expect((await wire.closed).code).toBe(4400)
    expect(Date.now() - began).toBeGreaterThan(1500)
    expect(Date.now() - began).toBeLessThan(4000)
  })
})

describe('[CL1] clock and transport', () => {
  it('answers a clock message with both server times', async () => {
    const wire = (await personAt(server, board.links.member)).socket()
    await wire.opened
    wire.sendJson(16, { t0: 12.5 })
    const { json } = await wire.hear((message) => message.type === 16)
    expect(json.t0).toBe(12.5)
    expect(json.t2).toBeGreaterThanOrEqual(json.t1)
    wire.socket.close()
  })

  it('bounds the shared playback, says who started it, and tells late comers', async () => {
    const person = await personAt(server, board.links.member, 'Tove')
    const wire = person.socket()
    await wire.opened
    wire.sendJson(18, {
      playing: true,
      startsAt: 1e300,
      fromTick: -5,
      tempoScale: 99,
      loop: [9e15, 3],
      planHash: 'x',
      by: { userId: 'forged' },
    })
    const { json } = await wire.hear((message) => message.type === 18)
    expect(json).toMatchObject({
      playing: true,
      fromTick: 0,
      tempoScale: 2,
      loop: [3, 2000 * 8 * 5040],
      by: { userId: person.userId, name: 'Tove' },
    })
    expect(json.startsAt).toBeLessThan(1e12)
    const late: Wire = (await personAt(server, board.links.leader)).socket()
    expect((await late.hear((message) => message.type === 18)).json).toEqual(json)
    wire.socket.close()
    late.socket.close()
  })
})
