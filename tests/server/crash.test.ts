/** Killed at any instant: nothing that was called saved or accepted is lost, the board opens, ledger and draft agree. */
import { foldLedger, type LedgerEntry } from '@chartloft/shared-theory'
import { afterAll, describe, expect, it } from 'vitest'
import * as Y from 'yjs'
import {
  type Person,
  type RunningServer,
  cleanUp,
  drawFrom,
  freshFolder,
  newBoard,
  newId,
  personAt,
  startServer,
} from './harness.js'

afterAll(cleanUp)

/** LONG=1 runs the two hundred rounds of the promise. */
const ROUNDS = process.env['LONG'] ? 200 : 24
const EDITORS = 4
const seed = Number(process.env['SEED'] ?? 20261125)

interface Told {
  /** Map key → value, for edits that were called saved. */
  readonly saved: Map<string, number>
  /** Keys whose removal was called saved. */
  readonly removed: Set<string>
  /** Keys whose removal was sent: they may be there or not until it is called saved. */
  readonly leaving: Set<string>
  readonly accepted: Map<string, number>
}

/** One editor: sets keys, removes some, and believes an edit is safe only when its message is counted. */
function edit(person: Person, round: number, index: number, told: Told): { stop: () => void } {
  const wire = person.socket()
  const doc = new Y.Doc()
  const sent: { key: string; value?: number }[] = []
  doc.on('update', (update: Uint8Array) => {
    if (wire.socket.readyState === wire.socket.OPEN) wire.sendSync(2, update)
  })
  let settled = 0
  const settle = (n: number) => {
    for (; settled < n; settled++) {
      const done = sent[settled]
      if (!done) continue
      if (done.value === undefined) {
        told.saved.delete(done.key)
        told.removed.add(done.key)
      } else told.saved.set(done.key, done.value)
    }
  }
  wire.socket.on('message', () => {
    const last = wire.heard.at(-1)
    if (last?.type === 17) settle(last.json.n)
  })
  let count = 0
  const timer = setInterval(() => {
    if (wire.socket.readyState !== wire.socket.OPEN) return
    const key = `r${round}-e${index}-${count}`
    sent.push({ key, value: count })
    doc.getMap('cards').set(key, count)
    if (count % 5 === 4) {
      const gone = `r${round}-e${index}-${count - 2}`
      sent.push({ key: gone })
      told.leaving.add(gone)
      doc.getMap('cards').delete(gone)
    }
    count++
  }, 4)
  return { stop: () => clearInterval(timer) }
}

/** A leader who keeps naming versions and printing; what is answered counts. */
function command(person: Person, told: Told): { stop: () => void } {
  const run = { isStopped: false }
  const go = async () => {
    while (!run.isStopped) {
      const commandId = newId()
      try {
        const answer = await person.command('markPrinted', {}, commandId)
        if (answer.status === 200) told.accepted.set(commandId, answer.body.seq)
      } catch {
        return
      }
    }
  }
  void go()
  return { stop: () => (run.isStopped = true) }
}

async function draftOf(person: Person): Promise<Y.Doc> {
  const wire = person.socket()
  await wire.hear((message) => message.type === 0 && message.step === 0)
  wire.sendSync(0, Y.encodeStateVector(new Y.Doc()))
  const state = await wire.hear((message) => message.type === 0 && message.step === 1)
  wire.socket.close()
  const doc = new Y.Doc()
  Y.applyUpdate(doc, state.payload as Uint8Array)
  return doc
}

async function ledgerOf(person: Person): Promise<readonly LedgerEntry[]> {
  const entries: LedgerEntry[] = []
  for (;;) {
    const { body } = await person.call('GET', `/api/boards/${person.boardId}/ledger?after=${entries.length}`)
    entries.push(...body.entries)
    if (!body.more) return entries
  }
}

describe('[DU1] SIGKILL under load', () => {
  it(`${ROUNDS} rounds lose no saved edit and no accepted command (seed ${seed})`, async () => {
    const draw = drawFrom(seed)
    const dataDir = freshFolder()
    const told: Told = { saved: new Map(), removed: new Set(), leaving: new Set(), accepted: new Map() }
    let server: RunningServer = await startServer({ dataDir })
    const board = await newBoard(server, 'Storm')
    for (let round = 0; round < ROUNDS; round++) {
      const people = await Promise.all(Array.from({ length: EDITORS }, () => personAt(server, board.links.member)))
      const leader = await personAt(server, board.links.leader)
      const load = [...people.map((person, index) => edit(person, round, index, told)), command(leader, told)]
      await new Promise((resolve) => setTimeout(resolve, 120 + draw() * 280))
      await server.stop('SIGKILL')
      for (const one of load) one.stop()
      server = await startServer({ dataDir })
      const reader = await personAt(server, board.links.leader)
      const cards = (await draftOf(reader)).getMap('cards')
      const lost = [...told.saved]
        .filter(([key, value]) => cards.get(key) !== value && !told.leaving.has(key))
        .map(([key]) => key)
      const risen = [...told.removed].filter((key) => cards.has(key))
      const entries = await ledgerOf(reader)
      const missing = [...told.accepted].filter(([commandId, seq]) => entries[seq - 1]?.command.commandId !== commandId)
      expect({ round, lost, risen, missing }).toEqual({ round, lost: [], risen: [], missing: [] })
      expect(entries.map((entry) => entry.seq)).toEqual(entries.map((_entry, index) => index + 1))
      expect(foldLedger(entries).printed).toHaveLength(
        entries.filter((entry) => entry.command.kind === 'markPrinted').length,
      )
    }
    console.log(
      `${ROUNDS} kills: ${told.saved.size} saved edits, ${told.removed.size} saved deletions and ${told.accepted.size} accepted commands, none lost`,
    )
    expect(told.saved.size).toBeGreaterThan(ROUNDS * 10)
    expect(told.removed.size).toBeGreaterThan(ROUNDS)
    expect(told.accepted.size).toBeGreaterThan(ROUNDS)
    await server.stop()
  }, 900_000)
})

describe('[DU3] after a crash', () => {
  it('who holds somebody else’s lost edits gets in, and brings them back', async () => {
    const dataDir = freshFolder()
    let server = await startServer({ dataDir, env: { SAVE_EVERY_MS: '1000' } })
    const board = await newBoard(server)
    const [a, b] = [await personAt(server, board.links.leader), await personAt(server, board.links.member)]
    const [owner, holder] = [a.provider(), b.provider()]
    owner.doc.getText('notes').insert(0, 'never saved')
    await new Promise<void>((resolve) =>
      holder.doc.on('update', () => holder.doc.getText('notes').toJSON() === 'never saved' && resolve()),
    )
    await server.stop('SIGKILL')
    const kept = Y.encodeStateAsUpdate(holder.doc)
    owner.destroy()
    holder.destroy()
    server = await startServer({ dataDir })
    const doc = new Y.Doc()
    Y.applyUpdate(doc, kept)
    const wire = b.at(server).socket()
    await wire.hear((message) => message.type === 0 && message.step === 0)
    wire.sendSync(1, Y.encodeStateAsUpdate(doc))
    await wire.hear((message) => message.type === 17 && message.json.n === 1)
    expect((await draftOf(await personAt(server, board.links.leader))).getText('notes').toJSON()).toBe('never saved')
    wire.socket.close()
    await server.stop()
  })
})
