/** What only SQLite's file has: one log for all boards. What every store keeps is tests/server/store-conformance.ts. */
import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import SqliteDatabase from 'better-sqlite3'
import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import { DATABASE_FILE, openSqlite } from './sqlite.js'
import type { Store } from './store.js'

let dataDir: string
let store: Store
beforeEach(async () => {
  dataDir = mkdtempSync(join(tmpdir(), 'chartloft-store-'))
  store = await openSqlite({ dataDir, maxDataMb: 64 })
  await addBoard('board')
})
afterEach(async () => {
  await store.close()
  rmSync(dataDir, { recursive: true, force: true })
})

const piece = (value: number) => ({ boardId: 'board', bytes: Uint8Array.of(value) })
const addBoard = (boardId: string) => store.createBoard({ boardId, title: 'Quay', createdAt: 1 }, [], [])
/** Compacting any board spreads the log. */
const spread = async () => {
  await addBoard('spread')
  await store.compactDraft('spread', Uint8Array.of(0, 0), 0)
  await store.deleteBoard('spread')
}
describe('[DU4] the draft’s pieces in the log of SQLite’s file', () => {
  it.each(['log', 'tails'])('a damaged piece is told, not served: in %s', async (table) => {
    await addBoard('other')
    await store.appendUpdates([piece(1)], [])
    if (table === 'tails') await spread()
    await store.appendUpdates([{ boardId: 'other', bytes: Uint8Array.of(7) }], [])
    const byHand = new SqliteDatabase(join(dataDir, DATABASE_FILE))
    byHand.prepare(`update ${table} set bytes = ? where id = 1`).run(Buffer.from([0, 1, 2]))
    byHand.close()
    await expect(store.loadDraft('board')).rejects.toMatchObject({ code: 'corrupt' })
    await spread()
    await expect(store.loadDraft('board')).rejects.toMatchObject({ code: 'corrupt' })
    expect((await store.loadDraft('other')).updates).toEqual([Uint8Array.of(7)])
  })
  it('are told apart by board, in the log and spread over the boards', async () => {
    await addBoard('other')
    for (let round = 0; round < 3; round++) {
      await store.appendUpdates([piece(round), { boardId: 'other', bytes: Uint8Array.of(9, round) }], [])
      await store.appendUpdates([piece(round + 10)], [])
      for (const [boardId, expected] of [
        ['board', [0, 10, 1, 11, 2, 12].slice(0, round * 2 + 2).map((value) => [value])],
        ['other', [0, 1, 2].slice(0, round + 1).map((value) => [9, value])],
      ] as const)
        expect((await store.loadDraft(boardId)).updates.map((bytes) => [...bytes])).toEqual(expected)
      if (round === 1) await spread()
    }
  })
  it('are spread by the store itself after a while, none lost and none twice', async () => {
    for (let value = 0; value < 600; value++) await store.appendUpdates([piece(value % 256)], [])
    await new Promise((resolve) => setImmediate(resolve))
    const byHand = new SqliteDatabase(join(dataDir, DATABASE_FILE))
    expect(byHand.prepare('select count(*) from log').pluck().get()).toBeLessThan(256)
    byHand.close()
    expect((await store.loadDraft('board')).updates.map(([value]) => value)).toEqual(
      Array.from({ length: 600 }, (_, value) => value % 256),
    )
  })
  it('leave the log together with the snapshot that holds them, or not at all', async () => {
    await store.close()
    store = await openSqlite({ dataDir, maxDataMb: 1 })
    for (const value of [1, 2, 3]) await store.appendUpdates([piece(value)], [])
    // A disk that is full in the middle stands for a kill there: nothing of a compaction that did not end may be seen.
    await expect(store.compactDraft('board', new Uint8Array(2_000_000), 3)).rejects.toMatchObject({ code: 'disk' })
    expect((await store.loadDraft('board')).updates.map(([value]) => value)).toEqual([1, 2, 3])
    await store.compactDraft('board', Uint8Array.of(0, 0), 2)
    const after = await store.loadDraft('board')
    expect(after.snapshot).toEqual(Uint8Array.of(0, 0))
    expect(after.updates.map(([value]) => value)).toEqual([3])
  })
  it('of a board that is deleted leave the log too, and later ones do not enter it', async () => {
    await addBoard('other')
    await store.appendUpdates([piece(1), { boardId: 'other', bytes: Uint8Array.of(5) }], [])
    await store.deleteBoard('board')
    expect(await store.appendUpdates([piece(2), { boardId: 'other', bytes: Uint8Array.of(6) }], [])).toEqual({
      other: 2,
    })
    expect((await store.loadDraft('board')).updates).toEqual([])
    expect((await store.loadDraft('other')).updates).toEqual([Uint8Array.of(5), Uint8Array.of(6)])
  })
})
