/** Kills a real server at random under load and looks at what it had promised: the test runs a few, the bench and LONG=1 the whole number. */
import { foldLedger, type LedgerEntry } from '@chartloft/shared-theory'
import * as Y from 'yjs'
import {
  type Person,
  type RunningServer,
  drawFrom,
  freshFolder,
  newBoard,
  newId,
  personAt,
  startServer,
  until,
} from './harness.js'

const EDITORS = 4

/** What kills found: counts of what was promised, and every promise that did not hold, in words. */
export interface Killed {
  readonly kills: number
  readonly savedEdits: number
  readonly savedDeletions: number
  readonly acceptedCommands: number
  readonly lostEdits: readonly string[]
  readonly lostCommands: readonly string[]
  /** Ledgers that are not dense, or fold to something else than their rows say. */
  readonly broken: readonly string[]
}

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

export async function draftOf(person: Person): Promise<Y.Doc> {
  const wire = person.socket()
  await wire.hear((message) => message.type === 0 && message.step === 0)
  wire.sendSync(0, Y.encodeStateVector(new Y.Doc()))
  const state = await wire.hear((message) => message.type === 0 && message.step === 1)
  wire.socket.close()
  const doc = new Y.Doc()
  Y.applyUpdate(doc, state.payload as Uint8Array)
  return doc
}

export async function ledgerOf(person: Person): Promise<readonly LedgerEntry[]> {
  const entries: LedgerEntry[] = []
  for (;;) {
    const { body } = await person.call('GET', `/api/boards/${person.boardId}/ledger?after=${entries.length}`)
    entries.push(...body.entries)
    if (!body.more) return entries
  }
}

/** Kills the server `kills` times, each time 120 to 400 ms into the load and no sooner than some of it is answered, on one data folder that goes on. */
export async function killRounds(
  kills: number,
  seed: number,
  env: { readonly [name: string]: string } = {},
): Promise<Killed> {
  const draw = drawFrom(seed)
  const dataDir = freshFolder()
  const told: Told = { saved: new Map(), removed: new Set(), leaving: new Set(), accepted: new Map() }
  const lostEdits: string[] = []
  const lostCommands: string[] = []
  const broken: string[] = []
  let server: RunningServer = await startServer({ dataDir, env })
  const board = await newBoard(server, 'Storm')
  for (let round = 0; round < kills; round++) {
    const people = await Promise.all(Array.from({ length: EDITORS }, () => personAt(server, board.links.member)))
    const leader = await personAt(server, board.links.leader)
    const load = [...people.map((person, index) => edit(person, round, index, told)), command(leader, told)]
    const before = { saved: told.saved.size, accepted: told.accepted.size }
    const least = { saved: draw() * 30, accepted: draw() * 6 }
    await new Promise((resolve) => setTimeout(resolve, 120 + draw() * 280))
    // On a slow machine that was no load yet.
    await until(
      () => told.saved.size - before.saved >= least.saved && told.accepted.size - before.accepted >= least.accepted,
      `round ${round} is under load`,
      30_000,
    )
    await new Promise((resolve) => setTimeout(resolve, draw() * 20))
    await server.stop('SIGKILL')
    for (const one of load) one.stop()
    server = await startServer({ dataDir, env })
    const reader = await personAt(server, board.links.leader)
    const cards = (await draftOf(reader)).getMap('cards')
    for (const [key, value] of told.saved)
      if (cards.get(key) !== value && !told.leaving.has(key))
        lostEdits.push(`kill ${round}: ${key} was saved and is gone`)
    for (const key of told.removed)
      if (cards.has(key)) lostEdits.push(`kill ${round}: the removal of ${key} was saved and it is back`)
    const entries = await ledgerOf(reader)
    for (const [commandId, seq] of told.accepted)
      if (entries[seq - 1]?.command.commandId !== commandId)
        lostCommands.push(`kill ${round}: row ${seq}, ${commandId}`)
    if (entries.some(({ seq }, index) => seq !== index + 1)) broken.push(`kill ${round}: the ledger is not dense`)
    const printed = entries.filter((entry) => entry.command.kind === 'markPrinted').length
    if (foldLedger(entries).printed.length !== printed) broken.push(`kill ${round}: the ledger folds to other prints`)
  }
  await server.stop()
  return {
    kills,
    savedEdits: told.saved.size,
    savedDeletions: told.removed.size,
    acceptedCommands: told.accepted.size,
    lostEdits,
    lostCommands,
    broken,
  }
}
