/** What every SQL database keeps the same way: boards, ledgers, links, sessions, polls and ballots. Drafts, and what a database does in its own
 *  manner, are its own file's. */
import type { LedgerEntry } from '@chartloft/shared-theory'
import type { Role } from '@chartloft/shared-theory/board'
import type { Kysely, RawBuilder, Transaction } from 'kysely'
import { StoreError } from '../errors.js'
import { ballotInsert, countAll, keptTally, tallyInsert, tallyWith, writeTally, writtenTally } from './ballots.js'
import type { KeptTally } from './kept-tally.js'
import { ballotOf, linkOf, pollOf } from './rows.js'
import type { Tables } from './schema.js'
import { applyEffects, insertRow } from './transactions.js'
import type {
  Accepted,
  AcceptedAnswer,
  AuthorRecord,
  BallotRecord,
  BoardRow,
  DraftUpdate,
  Effect,
  GivenBallot,
  LinkRecord,
  LiveSession,
  PollRecord,
  PollStanding,
  Position,
  Recount,
  SessionRecord,
  Store,
  StoredDraft,
} from './store.js'

export abstract class SqlStore implements Store {
  /** `pollOrder`: what tells which of two polls was made first. */
  constructor(
    protected readonly db: Kysely<Tables>,
    private readonly pollOrder: RawBuilder<unknown>,
  ) {}

  abstract deleteBoard(boardId: string): Promise<void>
  abstract loadDraft(boardId: string, after?: number): Promise<StoredDraft>
  abstract positions(boardIds: readonly string[]): Promise<ReadonlyMap<string, Position>>
  abstract appendUpdates(
    updates: readonly DraftUpdate[],
    authors: readonly AuthorRecord[],
  ): Promise<{ readonly [boardId: string]: number }>
  abstract compactDraft(boardId: string, snapshot: Uint8Array, throughId: number): Promise<void>

  /** One transaction; what it throws undoes all of it. */
  protected inTransaction<T>(work: (tx: Transaction<Tables>) => Promise<T>): Promise<T> {
    return this.db.transaction().execute(work)
  }

  /** What else a new board needs. */
  protected prepareDraft(_tx: Transaction<Tables>, _boardId: string): Promise<void> {
    return Promise.resolve()
  }

  /** A poll's row that stays as it is until the transaction ends. */
  protected heldPoll(
    tx: Transaction<Tables>,
    pollId: string,
  ): Promise<{ readonly open: number; readonly closes_at: number | null } | undefined> {
    return tx.selectFrom('polls').select(['open', 'closes_at']).where('id', '=', pollId).executeTakeFirst()
  }

  /** Ballots and what all of the poll then add up to. */
  protected async writeBallots(
    tx: Transaction<Tables>,
    pollId: string,
    ballots: readonly BallotRecord[],
    tally: KeptTally,
  ): Promise<void> {
    await ballotInsert(tx, pollId, ballots).execute()
    await tallyInsert(tx, pollId, tally).execute()
  }

  async close(): Promise<void> {
    await this.db.destroy()
  }

  probe(now: number): Promise<void> {
    return this.setSetting('probe', String(now))
  }

  async setting(key: string): Promise<string | undefined> {
    const row = await this.db.selectFrom('settings').select('value').where('key', '=', key).executeTakeFirst()
    return row?.value
  }

  async setSetting(key: string, value: string): Promise<void> {
    await this.db
      .insertInto('settings')
      .values({ key, value })
      .onConflict((conflict) => conflict.column('key').doUpdateSet({ value }))
      .execute()
  }

  async countBoards(): Promise<number> {
    const row = await this.db
      .selectFrom('boards')
      .select((of) => of.fn.countAll<number>().as('count'))
      .executeTakeFirst()
    return row?.count ?? 0
  }

  async board(boardId: string): Promise<BoardRow | undefined> {
    const row = await this.db.selectFrom('boards').selectAll().where('id', '=', boardId).executeTakeFirst()
    return row && { boardId: row.id, title: row.title, seq: row.seq }
  }

  async createBoard(
    board: { boardId: string; title: string; createdAt: number },
    rows: readonly Accepted[],
    effects: readonly Effect[],
  ): Promise<void> {
    await this.inTransaction(async (tx) => {
      await tx
        .insertInto('boards')
        .values({ id: board.boardId, title: board.title, created_at: board.createdAt, seq: rows.length })
        .execute()
      await this.prepareDraft(tx, board.boardId)
      for (const row of rows) await insertRow(tx, board.boardId, row)
      await applyEffects(tx, effects)
    })
  }

  async entries(boardId: string, after: number, limit: number): Promise<readonly LedgerEntry[]> {
    const rows = await this.db
      .selectFrom('ledger')
      .select(['seq', 'at', 'by_user', 'by_name', 'by_role', 'command'])
      .where('board_id', '=', boardId)
      .where('seq', '>', after)
      .orderBy('seq')
      .limit(limit)
      .execute()
    return rows.map((row) => ({
      seq: row.seq,
      at: row.at,
      by: { userId: row.by_user, name: row.by_name, role: row.by_role as LedgerEntry['by']['role'] },
      command: JSON.parse(row.command) as LedgerEntry['command'],
    }))
  }

  async answerOf(boardId: string, commandId: string): Promise<AcceptedAnswer | undefined> {
    const row = await this.db
      .selectFrom('ledger')
      .select(['by_user', 'request_hash', 'answer'])
      .where('board_id', '=', boardId)
      .where('command_id', '=', commandId)
      .executeTakeFirst()
    return row && { userId: row.by_user, requestHash: row.request_hash, answer: row.answer }
  }

  async appendEntry(boardId: string, accepted: Accepted, effects: readonly Effect[]): Promise<void> {
    await this.inTransaction(async (tx) => {
      const { seq } = accepted.entry
      const moved = await tx
        .updateTable('boards')
        .set({ seq })
        .where('id', '=', boardId)
        .where('seq', '=', seq - 1)
        .executeTakeFirst()
      if (moved.numUpdatedRows !== 1n)
        throw new StoreError('behind', `the ledger of ${boardId} does not end at ${seq - 1}`)
      await insertRow(tx, boardId, accepted)
      await applyEffects(tx, effects)
    })
  }

  async linkByTokenHash(tokenHash: string): Promise<LinkRecord | undefined> {
    const row = await this.db.selectFrom('links').selectAll().where('token_hash', '=', tokenHash).executeTakeFirst()
    return row && linkOf(row)
  }

  async link(linkId: string): Promise<LinkRecord | undefined> {
    const row = await this.db.selectFrom('links').selectAll().where('id', '=', linkId).executeTakeFirst()
    return row && linkOf(row)
  }

  async links(boardId: string): Promise<readonly LinkRecord[]> {
    const rows = await this.db.selectFrom('links').selectAll().where('board_id', '=', boardId).execute()
    return rows.map(linkOf)
  }

  async session(sessionHash: string): Promise<LiveSession | undefined> {
    const row = await this.db
      .selectFrom('sessions')
      .innerJoin('links', 'links.id', 'sessions.link_id')
      .selectAll('sessions')
      .select(['links.expires_at', 'links.revoked'])
      .where('sessions.hash', '=', sessionHash)
      .executeTakeFirst()
    if (!row || row.revoked !== 0) return undefined
    return {
      sessionHash: row.hash,
      boardId: row.board_id,
      userId: row.user_id,
      name: row.name,
      role: row.role as Role,
      linkId: row.link_id,
      personal: row.personal !== 0,
      createdAt: row.created_at,
      ...(row.expires_at === null ? {} : { expiresAt: row.expires_at }),
    }
  }

  async putSession(session: SessionRecord): Promise<void> {
    const values = {
      board_id: session.boardId,
      user_id: session.userId,
      name: session.name,
      role: session.role,
      link_id: session.linkId,
      personal: Number(session.personal),
      created_at: session.createdAt,
    }
    await this.db
      .insertInto('sessions')
      .values({ hash: session.sessionHash, ...values })
      .onConflict((conflict) => conflict.column('hash').doUpdateSet(values))
      .execute()
  }

  async poll(pollId: string): Promise<PollRecord | undefined> {
    const row = await this.db.selectFrom('polls').selectAll().where('id', '=', pollId).executeTakeFirst()
    return row && pollOf(row)
  }

  async polls(boardId: string): Promise<readonly PollRecord[]> {
    const rows = await this.db
      .selectFrom('polls')
      .selectAll()
      .where('board_id', '=', boardId)
      .orderBy(this.pollOrder)
      .execute()
    return rows.map(pollOf)
  }

  async duePolls(now: number): Promise<readonly { readonly pollId: string; readonly boardId: string }[]> {
    const rows = await this.db
      .selectFrom('polls')
      .select(['id', 'board_id'])
      .where('closes_at', '<=', now)
      .where('open', '=', 1)
      .limit(100)
      .execute()
    return rows.map((row) => ({ pollId: row.id, boardId: row.board_id }))
  }

  async pollIds(boardId: string): Promise<readonly string[]> {
    const rows = await this.db
      .selectFrom('polls')
      .select('id')
      .where('board_id', '=', boardId)
      .orderBy(this.pollOrder)
      .execute()
    return rows.map(({ id }) => id)
  }

  async pollStanding(pollId: string, voter: string): Promise<PollStanding | undefined> {
    const row = await this.db
      .selectFrom('polls')
      .leftJoin('ballots', (join) => join.onRef('ballots.poll_id', '=', 'polls.id').on('ballots.voter', '=', voter))
      .select(['polls.open', 'ballot_id', 'choices', 'band', 'personal'])
      .where('polls.id', '=', pollId)
      .executeTakeFirst()
    if (!row) return undefined
    const { ballot_id, choices, band, personal } = row
    const hasVoted = ballot_id !== null && choices !== null && band !== null && personal !== null
    return {
      open: row.open !== 0,
      ...(hasVoted ? { mine: ballotOf({ poll_id: pollId, voter, ballot_id, choices, band, personal }) } : {}),
    }
  }

  putBallots(given: readonly GivenBallot[]): Promise<readonly boolean[]> {
    // In one order for everybody, so that two processes never wait for each other.
    const pollIds = [...new Set(given.map(({ pollId }) => pollId))].toSorted()
    return this.inTransaction(async (tx) => {
      const taken = new Set<GivenBallot>()
      for (const pollId of pollIds) {
        const poll = await this.heldPoll(tx, pollId)
        if (!poll || poll.open === 0) continue
        const last = new Map<string, BallotRecord>()
        for (const one of given) {
          if (one.pollId !== pollId || (poll.closes_at !== null && poll.closes_at <= one.at)) continue
          taken.add(one)
          last.set(one.ballot.voter, one.ballot)
        }
        const ballots = [...last.values()]
        if (ballots.length > 0) await this.writeBallots(tx, pollId, ballots, await tallyWith(tx, pollId, ballots))
      }
      return given.map((one) => taken.has(one))
    })
  }

  async tally(pollId: string): Promise<string | undefined> {
    const written = await writtenTally(this.db, pollId)
    if (written !== undefined) return written
    return this.inTransaction(async (tx) =>
      (await this.heldPoll(tx, pollId)) ? (await keptTally(tx, pollId)).written() : undefined,
    )
  }

  recount(pollId: string, mend: boolean): Promise<Recount | undefined> {
    return this.inTransaction(async (tx) => {
      if (!(await this.heldPoll(tx, pollId))) return undefined
      const kept = (await keptTally(tx, pollId)).written()
      const counted = await countAll(tx, pollId)
      if (mend) await writeTally(tx, pollId, counted)
      return { kept, counted: counted.written() }
    })
  }

  async ballot(pollId: string, voter: string): Promise<BallotRecord | undefined> {
    const row = await this.db
      .selectFrom('ballots')
      .selectAll()
      .where('poll_id', '=', pollId)
      .where('voter', '=', voter)
      .executeTakeFirst()
    return row && ballotOf(row)
  }

  async ballots(pollId: string): Promise<readonly BallotRecord[]> {
    const rows = await this.db.selectFrom('ballots').selectAll().where('poll_id', '=', pollId).execute()
    return rows.map(ballotOf)
  }
}
