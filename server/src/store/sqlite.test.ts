import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import SqliteDatabase from 'better-sqlite3'
import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import { DATABASE_FILE, openSqlite } from './sqlite.js'
import type { Accepted, Store } from './store.js'

let dataDir: string
let store: Store
beforeEach(async () => {
  dataDir = mkdtempSync(join(tmpdir(), 'chartloft-store-'))
  store = await openSqlite({ dataDir, maxDataMb: 64 })
  await store.createBoard(
    { boardId: 'board', title: 'Pier', createdAt: 1 },
    [rowOf(1)],
    [{ kind: 'addLink', link: LINK }],
  )
})
afterEach(async () => {
  await store.close()
  rmSync(dataDir, { recursive: true, force: true })
})

const LINK = {
  linkId: 'l1',
  boardId: 'board',
  role: 'leader',
  tokenHash: 'hash',
  personal: false,
  revoked: false,
} as const
const rowOf = (seq: number, commandId = `command-${seq}`): Accepted => ({
  entry: {
    seq,
    at: seq,
    by: { userId: 'u', name: 'n', role: 'leader' },
    command: { commandId, kind: 'nameVersion', name: 'x' },
  },
  requestHash: 'r',
  answer: '{}',
})
const piece = (value: number) => ({ boardId: 'board', bytes: Uint8Array.of(value) })
const addBoard = (boardId: string) => store.createBoard({ boardId, title: 'Quay', createdAt: 1 }, [], [])
/** Compacting any board spreads the log. */
const spread = async () => {
  await addBoard('spread')
  await store.compactDraft('spread', Uint8Array.of(0, 0), 0)
  await store.deleteBoard('spread')
}
const SESSION = {
  sessionHash: 's',
  boardId: 'board',
  userId: 'u',
  name: 'n',
  role: 'leader',
  linkId: 'l1',
  personal: false,
  createdAt: 1,
} as const

describe('[DU2] the ledger’s rows', () => {
  it('go in densely, once a command id, with their effects or not at all', async () => {
    await store.appendEntry('board', rowOf(2), [])
    await expect(store.appendEntry('board', rowOf(2, 'again'), [])).rejects.toMatchObject({ code: 'behind' })
    await expect(store.appendEntry('board', rowOf(4), [])).rejects.toMatchObject({ code: 'behind' })
    await expect(
      store.appendEntry('board', rowOf(3, 'command-2'), [{ kind: 'revokeLink', linkId: 'l1' }]),
    ).rejects.toMatchObject({ code: 'duplicate' })
    expect((await store.link('l1'))?.revoked).toBe(false)
    expect((await store.board('board'))?.seq).toBe(2)
    expect((await store.entries('board', 0, 10)).map((entry) => entry.seq)).toEqual([1, 2])
    expect((await store.entries('board', 1, 10)).map((entry) => entry.command.commandId)).toEqual(['command-2'])
  })
  it('a revoked link ends its sessions', async () => {
    await store.putSession(SESSION)
    expect((await store.session('s'))?.userId).toBe('u')
    await store.appendEntry('board', rowOf(2), [{ kind: 'revokeLink', linkId: 'l1' }])
    expect(await store.session('s')).toBeUndefined()
    expect((await store.linkByTokenHash('hash'))?.revoked).toBe(true)
  })
  it('a deleted board leaves nothing', async () => {
    await store.putSession(SESSION)
    await store.appendUpdates([{ boardId: 'board', bytes: Uint8Array.of(0, 0) }], [])
    await store.deleteBoard('board')
    expect(await store.board('board')).toBeUndefined()
    expect(await store.session('s')).toBeUndefined()
    expect((await store.loadDraft('board')).updates).toEqual([])
    expect(await store.appendUpdates([{ boardId: 'board', bytes: Uint8Array.of(0, 0) }], [])).toEqual({})
  })
})

describe('[DU4] the draft’s pieces', () => {
  it('come back in order, through a compaction too', async () => {
    const last = await store.appendUpdates(
      [piece(1), piece(2)],
      [{ boardId: 'board', clientId: 9, userId: 'u', name: 'n', role: 'member' }],
    )
    await store.appendUpdates([piece(3)], [])
    await store.compactDraft('board', Uint8Array.of(12), last['board'] ?? 0)
    const draft = await store.loadDraft('board')
    expect([draft.snapshot, ...draft.updates]).toEqual([Uint8Array.of(12), Uint8Array.of(3)])
    expect(draft.authors).toEqual([{ boardId: 'board', clientId: 9, userId: 'u', name: 'n', role: 'member' }])
  })
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

describe('[PO1] ballots in the store', () => {
  it('one a voter, and none after the end', async () => {
    const poll = {
      pollId: 'p',
      boardId: 'board',
      question: 'q',
      method: 'single',
      audience: 'band',
      tallyRule: 'always',
      byRole: false,
      closesAt: 100,
      open: true,
      options: '[]',
    } as const
    await store.appendEntry('board', rowOf(2), [{ kind: 'addPoll', poll }])
    const cast = (voter: string, choice: string, now: number) =>
      store.putBallot(
        'p',
        { ballotId: choice, voter, choices: JSON.stringify([choice]), band: true, personal: false },
        now,
      )
    expect(await Promise.all(['a', 'b', 'c'].map((choice) => cast('v', choice, 1)))).toEqual([true, true, true])
    expect(await store.ballots('p')).toHaveLength(1)
    expect(await cast('w', 'a', 100)).toBe(false)
    expect(await store.duePolls(99)).toEqual([])
    expect(await store.duePolls(100)).toEqual([{ pollId: 'p', boardId: 'board' }])
    await store.appendEntry('board', rowOf(3), [{ kind: 'closePoll', pollId: 'p' }])
    expect(await cast('v', 'b', 1)).toBe(false)
    expect((await store.ballot('p', 'v'))?.choices).toBe('["c"]')
  })
})
