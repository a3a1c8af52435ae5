/** What every store must hold, whatever database is under it: one suite, run on each. */
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, it } from 'vitest'
import type { Effect, Store } from '../../server/src/store/store.js'
import { drawFrom } from './harness.js'
import { pollsConformance } from './store-conformance-polls.js'
import { POLL, ballotOf, put, rowOf } from './store-records.js'

/** One database engine, and what a test needs to do to it behind a store's back. */
export interface Engine {
  readonly name: string
  readonly begin: () => Promise<void>
  readonly end: () => Promise<void>
  /** Forgets the last test's database; the next `open` makes a new one. */
  readonly fresh: () => Promise<void>
  /** A store on the current database: the second time another one on the same, where it may be shared. */
  readonly open: () => Promise<Store>
  /** Spoils a stored piece of a board's draft: in its tail, or its snapshot. */
  readonly damage: (boardId: string, where: 'tail' | 'snapshot') => Promise<void>
  /** Writes another tally beside a poll's ballots, or takes it away. */
  readonly spoilTally: (pollId: string, counts: string | undefined) => Promise<void>
}

const LINK = {
  linkId: 'l1',
  boardId: 'board',
  role: 'leader',
  tokenHash: 'hash',
  personal: false,
  revoked: false,
} as const
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
const bytesOf = (...values: readonly number[]) => Uint8Array.from(values)
const piece = (value: number, boardId = 'board') => ({ boardId, bytes: bytesOf(value) })
/** A text with everything in it that a database may take amiss. */
const HARD_TEXT = `O'Hara "\\x00" %_ \u0000 \uFFFE0 \u{1F3BA} e\u0301 \n\t--; drop table boards`
const author = (clientId: number, userId: string) =>
  ({ boardId: 'board', clientId, userId, name: 'n', role: 'member' }) as const
const carriedBy = (userId: string) => [{ from: 0, to: 4, userId, name: 'x', role: 'member' }] as const

/** Of several answers, how many were given and with which codes the others were refused. */
async function outcomes(all: readonly Promise<unknown>[]): Promise<{ done: number; codes: readonly unknown[] }> {
  const settled = await Promise.allSettled(all)
  const refused = settled.flatMap((one) => (one.status === 'rejected' ? [(one.reason as { code?: unknown }).code] : []))
  return { done: settled.length - refused.length, codes: refused }
}

export function storeConformance(engine: Engine): void {
  describe(`a store in ${engine.name}`, () => {
    let store: Store
    let other: Store
    const add = (boardId: string, effects: readonly Effect[] = []) =>
      store.createBoard({ boardId, title: 'Quay', createdAt: 1 }, [], effects)
    const draft = async (boardId = 'board') => {
      const { snapshot, updates } = await store.loadDraft(boardId)
      return [...(snapshot ? [snapshot] : []), ...updates].map((bytes) => [...bytes])
    }

    beforeAll(() => engine.begin())
    afterAll(() => engine.end())
    beforeEach(async () => {
      await engine.fresh()
      store = await engine.open()
      other = await engine.open()
      await store.createBoard(
        { boardId: 'board', title: 'Pier', createdAt: 1 },
        [rowOf(1)],
        [{ kind: 'addLink', link: LINK }],
      )
    })
    afterEach(async () => {
      await store.close()
      if (other !== store) await other.close()
    })

    describe('[ST1] keeps what it is given', () => {
      it('settings, the last value; a probe writes', async () => {
        expect(await store.setting('a')).toBeUndefined()
        await store.setSetting('a', '1')
        await store.setSetting('a', HARD_TEXT)
        expect(await other.setting('a')).toBe(HARD_TEXT)
        await store.probe(5)
        await other.probe(6)
      })
      it('boards, counted; an id is taken once, and then nothing of the second is there', async () => {
        expect(await store.board('none')).toBeUndefined()
        await add('second')
        expect(await other.countBoards()).toBe(2)
        expect(await other.board('board')).toEqual({ boardId: 'board', title: 'Pier', seq: 1 })
        const again = store.createBoard(
          { boardId: 'board', title: 'x', createdAt: 2 },
          [rowOf(1)],
          [{ kind: 'addLink', link: { ...LINK, linkId: 'l2', tokenHash: 'h2' } }],
        )
        await expect(again).rejects.toMatchObject({ code: 'duplicate' })
        const halfway = store.createBoard(
          { boardId: 'third', title: 'x', createdAt: 2 },
          [],
          [{ kind: 'addLink', link: LINK }],
        )
        await expect(halfway).rejects.toMatchObject({ code: 'duplicate' })
        expect([await store.link('l2'), await store.board('third')]).toEqual([undefined, undefined])
        expect((await store.board('board'))?.title).toBe('Pier')
      })
      it('texts to the last sign, in every place they come', async () => {
        await store.createBoard(
          { boardId: 'hard', title: HARD_TEXT, createdAt: 1 },
          [rowOf(1, 'c', HARD_TEXT)],
          [
            { kind: 'addLink', link: { ...LINK, linkId: 'hard', boardId: 'hard', tokenHash: 'h', label: HARD_TEXT } },
            {
              kind: 'addPoll',
              poll: { ...POLL, boardId: 'hard', question: HARD_TEXT, options: JSON.stringify([HARD_TEXT]) },
            },
          ],
        )
        await store.putSession({ ...SESSION, boardId: 'hard', linkId: 'hard', name: HARD_TEXT })
        await put(store, 'p', { ...ballotOf('v', HARD_TEXT), ballotId: HARD_TEXT }, 1)
        await store.appendUpdates([], [{ ...author(1, 'u'), boardId: 'hard', name: HARD_TEXT }])
        expect((await other.board('hard'))?.title).toBe(HARD_TEXT)
        expect((await other.entries('hard', 0, 9))[0]?.command['name']).toBe(HARD_TEXT)
        expect((await other.link('hard'))?.label).toBe(HARD_TEXT)
        expect((await other.session('s'))?.name).toBe(HARD_TEXT)
        expect(await other.poll('p')).toMatchObject({ question: HARD_TEXT, options: JSON.stringify([HARD_TEXT]) })
        expect(await other.ballot('p', 'v')).toMatchObject({
          ballotId: HARD_TEXT,
          choices: JSON.stringify([HARD_TEXT]),
        })
        expect((await other.loadDraft('hard')).authors[0]?.name).toBe(HARD_TEXT)
      })
      it('links by id, token and board; a token is one link’s', async () => {
        const full = {
          ...LINK,
          linkId: 'l2',
          tokenHash: 'h2',
          label: 'Horns',
          personal: true,
          expiresAt: 1e13 + 0.5,
        } as const
        await store.appendEntry('board', rowOf(2), [{ kind: 'addLink', link: full }])
        expect(await other.link('l2')).toEqual(full)
        expect(await other.linkByTokenHash('hash')).toEqual(LINK)
        expect(await other.linkByTokenHash('no')).toBeUndefined()
        expect(new Set((await other.links('board')).map(({ linkId }) => linkId))).toEqual(new Set(['l1', 'l2']))
        expect(await other.links('none')).toEqual([])
        const twin = store.appendEntry('board', rowOf(3), [{ kind: 'addLink', link: { ...full, linkId: 'l3' } }])
        await expect(twin).rejects.toMatchObject({ code: 'duplicate' })
        expect((await store.board('board'))?.seq).toBe(2)
      })
      it('sessions, the last word of each, with what their link says; a revoked link ends them', async () => {
        const until1e13 = { ...LINK, linkId: 'l2', tokenHash: 'h2', expiresAt: 1e13 }
        await store.appendEntry('board', rowOf(2), [{ kind: 'addLink', link: until1e13 }])
        await store.putSession(SESSION)
        await store.putSession({ ...SESSION, name: 'Tove', linkId: 'l2', personal: true, createdAt: 1.5e12 })
        expect(await other.session('s')).toEqual({
          ...SESSION,
          name: 'Tove',
          linkId: 'l2',
          personal: true,
          createdAt: 1.5e12,
          expiresAt: 1e13,
        })
        expect(await other.session('none')).toBeUndefined()
        await other.appendEntry('board', rowOf(3), [{ kind: 'revokeLink', linkId: 'l2' }])
        expect(await store.session('s')).toBeUndefined()
        expect((await store.linkByTokenHash('h2'))?.revoked).toBe(true)
        // One that comes with the revocation behind it is no session either.
        await store.putSession({ ...SESSION, linkId: 'l2' })
        expect(await store.session('s')).toBeUndefined()
      })
    })

    describe('[ST2] [DU2] the ledger’s rows', () => {
      it('go in densely, once a command id, with their effects or not at all', async () => {
        await store.appendEntry('board', rowOf(2), [])
        await expect(store.appendEntry('board', rowOf(2, 'again'), [])).rejects.toMatchObject({ code: 'behind' })
        await expect(store.appendEntry('board', rowOf(4), [])).rejects.toMatchObject({ code: 'behind' })
        await expect(store.appendEntry('none', rowOf(1), [])).rejects.toMatchObject({ code: 'behind' })
        const doubled = store.appendEntry('board', rowOf(3, 'command-2'), [{ kind: 'revokeLink', linkId: 'l1' }])
        await expect(doubled).rejects.toMatchObject({ code: 'duplicate' })
        expect((await store.link('l1'))?.revoked).toBe(false)
        expect((await store.board('board'))?.seq).toBe(2)
        expect((await store.entries('board', 0, 10)).map((entry) => entry.seq)).toEqual([1, 2])
        expect((await store.entries('board', 1, 10)).map((entry) => entry.command.commandId)).toEqual(['command-2'])
        expect((await store.entries('board', 0, 1)).map((entry) => entry.seq)).toEqual([1])
        expect(await store.entries('none', 0, 10)).toEqual([])
        expect(await other.answerOf('board', 'command-2')).toEqual({
          userId: 'u',
          requestHash: 'hash of command-2',
          answer: '{"seq":2}',
        })
        expect(await other.answerOf('board', 'none')).toBeUndefined()
      })
      it('of rows given at once for one place exactly one goes in, with its effects alone', async () => {
        for (let seq = 2; seq < 22; seq++) {
          const tries = [store, other, store, other].map((one, index) =>
            one.appendEntry('board', rowOf(seq, `${seq}-${index}`), [
              { kind: 'addLink', link: { ...LINK, linkId: `${seq}-${index}`, tokenHash: `${seq}-${index}` } },
            ]),
          )
          expect(await outcomes(tries)).toEqual({ done: 1, codes: ['behind', 'behind', 'behind'] })
        }
        const entries = await store.entries('board', 0, 100)
        expect(entries.map(({ seq }) => seq)).toEqual(Array.from({ length: 21 }, (_, index) => index + 1))
        const links = (await store.links('board')).map(({ linkId }) => linkId).filter((id) => id !== 'l1')
        expect(new Set(links)).toEqual(new Set(entries.slice(1).map(({ command }) => command.commandId)))
      })
    })

    describe('[ST3] [DU4] the draft’s pieces', () => {
      it('come back in order, through a compaction too', async () => {
        const last = await store.appendUpdates([piece(1), piece(2)], [author(9, 'u')])
        await store.appendUpdates([piece(3)], [])
        await store.compactDraft('board', bytesOf(12), last['board'] ?? 0)
        expect(await draft()).toEqual([[12], [3]])
        expect((await store.loadDraft('board')).authors).toEqual([author(9, 'u')])
        await other.appendUpdates([piece(4)], [])
        expect(await draft()).toEqual([[12], [3], [4]])
      })
      it('are read from where a reader is', async () => {
        expect(await store.loadDraft('board')).toEqual({ updates: [], throughId: 0, authors: [] })
        const first = (await store.appendUpdates([piece(1)], []))['board'] ?? 0
        const second = (await other.appendUpdates([piece(2), piece(3)], []))['board'] ?? 0
        expect(second).toBeGreaterThan(first)
        expect(await store.loadDraft('board', first)).toEqual({
          updates: [bytesOf(2), bytesOf(3)],
          throughId: second,
          authors: [],
        })
        expect(await store.loadDraft('board', second)).toEqual({ updates: [], throughId: second, authors: [] })
        await store.compactDraft('board', bytesOf(12), second)
        expect(await store.loadDraft('board', first)).toEqual({
          snapshot: bytesOf(12),
          updates: [],
          throughId: second,
          authors: [],
        })
        expect(await store.loadDraft('board', second)).toEqual({ updates: [], throughId: second, authors: [] })
        const third = (await store.appendUpdates([piece(4)], []))['board'] ?? 0
        expect(await other.loadDraft('board', second)).toEqual({ updates: [bytesOf(4)], throughId: third, authors: [] })
        expect(await other.positions(['board', 'none'])).toEqual(new Map([['board', { seq: 1, throughId: third }]]))
        expect(await other.positions([])).toEqual(new Map())
      })
      it('of several boards in one commit are told apart; those of unknown boards are left out', async () => {
        await add('quay')
        for (let round = 0; round < 3; round++) {
          const given = [
            piece(round),
            { boardId: 'quay', bytes: bytesOf(9, round) },
            piece(7, 'none'),
            piece(round + 10),
          ]
          const ids = await [store, other][round % 2]?.appendUpdates(given, [{ ...author(1, 'u'), boardId: 'none' }])
          expect(Object.keys(ids ?? {}).toSorted()).toEqual(['board', 'quay'])
        }
        expect(await draft()).toEqual([[0], [10], [1], [11], [2], [12]])
        expect(await draft('quay')).toEqual([
          [9, 0],
          [9, 1],
          [9, 2],
        ])
        expect(await draft('none')).toEqual([])
        expect(await store.appendUpdates([piece(7, 'none')], [])).toEqual({})
        expect(await store.appendUpdates([], [])).toEqual({})
      })
      it('many and large ones', async () => {
        const draw = drawFrom(7)
        const large = Uint8Array.from({ length: 6 * 1024 * 1024 }, () => draw() * 256)
        const last = (await store.appendUpdates([{ boardId: 'board', bytes: large }], []))['board'] ?? 0
        await other.appendUpdates(
          Array.from({ length: 5000 }, (_, index) => ({ boardId: 'board', bytes: bytesOf(index % 256, index >> 8) })),
          [],
        )
        const { updates } = await store.loadDraft('board')
        expect(Buffer.compare(updates[0] ?? bytesOf(), large)).toBe(0)
        expect(updates.slice(1).map((bytes) => [...bytes])).toEqual(
          Array.from({ length: 5000 }, (_, index) => [index % 256, index >> 8]),
        )
        await store.compactDraft('board', large, last)
        const after = await other.loadDraft('board')
        expect(Buffer.compare(after.snapshot ?? bytesOf(), large)).toBe(0)
        expect(after.updates).toHaveLength(5000)
      })
      it('a snapshot that holds less than the stored one changes nothing', async () => {
        const ids: number[] = []
        for (let value = 1; value < 5; value++) ids.push((await store.appendUpdates([piece(value)], []))['board'] ?? 0)
        await store.compactDraft('board', bytesOf(1, 2, 3), ids[2] ?? 0)
        await other.compactDraft('board', bytesOf(1), ids[0] ?? 0)
        expect(await draft()).toEqual([[1, 2, 3], [4]])
        await other.compactDraft('none', bytesOf(1), 1)
        expect(await draft('none')).toEqual([])
      })
      it('a reader who goes on from where it was misses none, and may compact what it has read, whoever writes', async () => {
        await add('quay')
        const seed = Number(process.env['SEED'] ?? 11)
        const draw = drawFrom(seed)
        const each = 60
        const write = async (one: Store, who: number) => {
          for (let value = 0; value < each; value++) {
            const both = [
              { boardId: 'board', bytes: bytesOf(who, value) },
              { boardId: 'quay', bytes: bytesOf(who, value) },
            ]
            await one.appendUpdates(draw() < 0.5 ? both : both.toReversed(), [])
          }
        }
        let isOver = false
        const read = async (one: Store, boardId: string) => {
          const seen: number[] = []
          let through = 0
          for (let isLast = false; !isLast;) {
            isLast = isOver
            const { snapshot, updates, throughId } = await one.loadDraft(boardId, through)
            if (snapshot) seen.push(...snapshot)
            for (const bytes of updates) seen.push(...bytes)
            through = throughId
            if (draw() < 0.3) await one.compactDraft(boardId, Uint8Array.from(seen), through)
          }
          return seen
        }
        const writers = Promise.all([write(store, 1), write(other, 2), write(store, 3), write(other, 4)]).then(() => {
          isOver = true
        })
        const readers = Promise.all([read(store, 'board'), read(other, 'board'), read(store, 'quay')])
        await writers
        const wanted = [1, 2, 3, 4]
          .flatMap((who) => Array.from({ length: each }, (_, value) => `${who}/${value}`))
          .toSorted()
        const pairs = (flat: readonly number[]) => {
          const found = new Set<string>()
          for (let at = 0; at < flat.length; at += 2) found.add(`${flat[at]}/${flat[at + 1]}`)
          return [...found].toSorted()
        }
        for (const seen of await readers) expect(pairs(seen), `seed ${seed}`).toEqual(wanted)
        for (const boardId of ['board', 'quay'])
          expect(pairs((await draft(boardId)).flat()), `seed ${seed}`).toEqual(wanted)
      })
      it('authors: the first owner stays; what others brought is renewed by that owner’s record only', async () => {
        const ids = [1, 2 ** 32 - 1, Number.MAX_SAFE_INTEGER]
        await store.appendUpdates(
          [],
          ids.map((id) => author(id, 'u')),
        )
        await other.appendUpdates([], [author(1, 'thief'), { ...author(ids[1] ?? 0, 'u'), carried: carriedBy('w') }])
        await other.appendUpdates(
          [],
          [{ ...author(1, 'thief'), carried: carriedBy('thief') }, author(ids[1] ?? 0, 'u')],
        )
        const { authors } = await store.loadDraft('board')
        expect(authors.toSorted((a, b) => a.clientId - b.clientId)).toEqual([
          author(1, 'u'),
          { ...author(ids[1] ?? 0, 'u'), carried: carriedBy('w') },
          author(Number.MAX_SAFE_INTEGER, 'u'),
        ])
      })
      it('that come with a new board are its draft, and what follows follows', async () => {
        await store.createBoard(
          { boardId: 'moved', title: 'x', createdAt: 1 },
          [],
          [{ kind: 'setDraft', boardId: 'moved', bytes: bytesOf(5, 6) }],
        )
        await store.appendUpdates([piece(7, 'moved')], [])
        expect(await draft('moved')).toEqual([[5, 6], [7]])
      })
      it.each(['tail', 'snapshot'] as const)(
        'a damaged one is told, not served, and no other board’s: in the %s',
        async (where) => {
          await add('quay')
          const last = (await store.appendUpdates([piece(1)], []))['board'] ?? 0
          await store.compactDraft('board', bytesOf(1), last)
          await store.appendUpdates([piece(2)], [])
          await store.appendUpdates([piece(7, 'quay')], [])
          await engine.damage('board', where)
          await expect(store.loadDraft('board')).rejects.toMatchObject({ code: 'corrupt' })
          expect(await draft('quay')).toEqual([[7]])
        },
      )
    })

    pollsConformance(engine, () => [store, other])

    describe('[ST5] [DU2] a deleted board', () => {
      it('leaves nothing, and its id may be taken anew', async () => {
        await add('quay')
        await store.putSession(SESSION)
        await store.appendEntry('board', rowOf(2), [{ kind: 'addPoll', poll: POLL }])
        await put(store, 'p', ballotOf('v', 'a'), 1)
        const last = (await store.appendUpdates([piece(1), piece(5, 'quay')], [author(9, 'u')]))['board'] ?? 0
        await store.compactDraft('board', bytesOf(1), last)
        await store.appendUpdates([piece(2)], [])
        await store.deleteBoard('board')
        await store.deleteBoard('none')
        const left = [
          await store.board('board'),
          await store.link('l1'),
          await store.linkByTokenHash('hash'),
          await store.session('s'),
          await store.poll('p'),
          await store.tally('p'),
          await store.pollStanding('p', 'v'),
          await store.ballot('p', 'v'),
          await store.answerOf('board', 'command-2'),
        ]
        expect(left.filter((found) => found !== undefined)).toEqual([])
        expect([
          await store.entries('board', 0, 9),
          await store.links('board'),
          await store.polls('board'),
          await store.ballots('p'),
        ]).toEqual([[], [], [], []])
        expect(await store.loadDraft('board')).toEqual({ updates: [], throughId: 0, authors: [] })
        expect(await store.appendUpdates([piece(3)], [author(9, 'u')])).toEqual({})
        await store.compactDraft('board', bytesOf(1), 9)
        expect(await draft('quay')).toEqual([[5]])
        expect([await store.countBoards(), await store.duePolls(1e9)]).toEqual([1, []])
        await add('board')
        expect([await draft(), (await store.board('board'))?.seq]).toEqual([[], 0])
      })
      it('while others write to it: they are refused or left out, and nothing stays', async () => {
        for (let round = 0; round < 8; round++) {
          const boardId = `gone-${round}`
          await add(boardId)
          const work = [
            store.appendUpdates([piece(1, boardId), piece(1)], [{ ...author(1, 'u'), boardId }]),
            other.appendUpdates([piece(2), piece(2, boardId)], []),
            other.appendEntry(boardId, rowOf(1), []),
            store.deleteBoard(boardId),
            other.compactDraft(boardId, bytesOf(1), 1),
            store.appendUpdates([piece(3, boardId)], []),
          ]
          const { codes } = await outcomes(work)
          expect(codes.filter((code) => code !== 'behind')).toEqual([])
          expect(await store.loadDraft(boardId)).toEqual({ updates: [], throughId: 0, authors: [] })
          expect(await store.entries(boardId, 0, 9)).toEqual([])
        }
        expect(await draft()).toHaveLength(16)
      })
    })
  })
}
