/** Killed at any instant: nothing that was called saved or accepted is lost, the board opens, ledger and draft agree. */
import { afterAll, describe, expect, it } from 'vitest'
import * as Y from 'yjs'
import { cleanUp, freshFolder, newBoard, personAt, startServer } from './harness.js'
import { draftOf, killRounds } from './kills.js'

afterAll(cleanUp)

/** LONG=1 runs the two hundred rounds of the promise. */
const ROUNDS = process.env['LONG'] ? 200 : 24
const seed = Number(process.env['SEED'] ?? 20261125)

describe('[DU1] [DU2] SIGKILL under load', () => {
  it(`${ROUNDS} rounds lose no saved edit and no accepted command (seed ${seed})`, async () => {
    const { savedEdits, savedDeletions, acceptedCommands, lostEdits, lostCommands, broken } = await killRounds(
      ROUNDS,
      seed,
    )
    console.log(
      `${ROUNDS} kills: ${savedEdits} saved edits, ${savedDeletions} saved deletions and ${acceptedCommands} accepted commands, none lost`,
    )
    expect({ lostEdits, lostCommands, broken }).toEqual({ lostEdits: [], lostCommands: [], broken: [] })
    expect(savedEdits).toBeGreaterThan(ROUNDS * 10)
    expect(savedDeletions).toBeGreaterThan(ROUNDS)
    expect(acceptedCommands).toBeGreaterThan(ROUNDS)
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
