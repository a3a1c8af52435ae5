/** The tables, and the forward steps that make them. */
import { type Generated, type Kysely, type Migration, sql } from 'kysely'
import { packed } from './batch.js'
import { checksum } from './checksum.js'

export interface Tables {
  settings: { key: string; value: string }
  boards: { id: string; title: string; created_at: number; seq: number }
  ledger: {
    board_id: string
    seq: number
    at: number
    by_user: string
    by_name: string
    by_role: string
    command_id: string
    command: string
    request_hash: string
    answer: string
  }
  links: {
    id: string
    board_id: string
    role: string
    token_hash: string
    label: string | null
    personal: number
    expires_at: number | null
    revoked: number
  }
  sessions: {
    hash: string
    board_id: string
    user_id: string
    name: string
    role: string
    link_id: string
    personal: number
    created_at: number
  }
  /** Blocks of updates as they were committed, of all boards in them; see log.ts. */
  log: { id: Generated<number>; boards: string; bytes: Uint8Array; checksum: number }
  /** Each board's own updates after its snapshot: blocks in order; `id` is that of the last commit in it. */
  tails: { board_id: string; id: number; bytes: Uint8Array; checksum: number }
  /** How many updates a board has had: in Postgres only, see postgres.ts. */
  drafts: { board_id: string; last_id: number }
  snapshots: { board_id: string; through_id: number; bytes: Uint8Array; checksum: number }
  authors: {
    board_id: string
    client_id: number
    user_id: string
    name: string
    role: string
    /** JSON of Carried[], where others brought in edits of this id. */
    carried: string | null
  }
  polls: {
    id: string
    board_id: string
    question: string
    method: string
    audience: string
    tally_rule: string
    by_role: number
    closes_at: number | null
    open: number
    options: string
    brought_tally: string | null
  }
  ballots: { poll_id: string; voter: string; ballot_id: string; choices: string; band: number; personal: number }
  /** What the ballots add up to, see kept-tally.ts; none yet where nobody has voted or looked since this table is there. */
  tallies: { poll_id: string; counts: string }
}

/** The same table in every database. */
export async function addTallies(db: Kysely<unknown>): Promise<void> {
  await db.schema
    .createTable('tallies')
    .addColumn('poll_id', 'text', (column) => column.primaryKey().references('polls.id').onDelete('cascade'))
    .addColumn('counts', 'text', (column) => column.notNull())
    .execute()
}

/** Steps only ever get added; a stored board of any earlier version walks through the rest. */
export const MIGRATIONS: { readonly [name: string]: Migration } = {
  '001-boards': {
    async up(db: Kysely<unknown>) {
      const boardId = 'board_id'
      await db.schema
        .createTable('settings')
        .addColumn('key', 'text', (column) => column.primaryKey())
        .addColumn('value', 'text', (column) => column.notNull())
        .execute()
      await db.schema
        .createTable('boards')
        .addColumn('id', 'text', (column) => column.primaryKey())
        .addColumn('title', 'text', (column) => column.notNull())
        .addColumn('created_at', 'integer', (column) => column.notNull())
        .addColumn('seq', 'integer', (column) => column.notNull())
        .execute()
      await db.schema
        .createTable('ledger')
        .addColumn(boardId, 'text', (column) => column.notNull().references('boards.id').onDelete('cascade'))
        .addColumn('seq', 'integer', (column) => column.notNull())
        .addColumn('at', 'integer', (column) => column.notNull())
        .addColumn('by_user', 'text', (column) => column.notNull())
        .addColumn('by_name', 'text', (column) => column.notNull())
        .addColumn('by_role', 'text', (column) => column.notNull())
        .addColumn('command_id', 'text', (column) => column.notNull())
        .addColumn('command', 'text', (column) => column.notNull())
        .addColumn('request_hash', 'text', (column) => column.notNull())
        .addColumn('answer', 'text', (column) => column.notNull())
        .addPrimaryKeyConstraint('ledger_key', [boardId, 'seq'])
        .addUniqueConstraint('ledger_command', [boardId, 'command_id'])
        .execute()
      await db.schema
        .createTable('links')
        .addColumn('id', 'text', (column) => column.primaryKey())
        .addColumn(boardId, 'text', (column) => column.notNull().references('boards.id').onDelete('cascade'))
        .addColumn('role', 'text', (column) => column.notNull())
        .addColumn('token_hash', 'text', (column) => column.notNull().unique())
        .addColumn('label', 'text')
        .addColumn('personal', 'integer', (column) => column.notNull())
        .addColumn('expires_at', 'integer')
        .addColumn('revoked', 'integer', (column) => column.notNull())
        .execute()
      await db.schema
        .createTable('sessions')
        .addColumn('hash', 'text', (column) => column.primaryKey())
        .addColumn(boardId, 'text', (column) => column.notNull().references('boards.id').onDelete('cascade'))
        .addColumn('user_id', 'text', (column) => column.notNull())
        .addColumn('name', 'text', (column) => column.notNull())
        .addColumn('role', 'text', (column) => column.notNull())
        .addColumn('link_id', 'text', (column) => column.notNull())
        .addColumn('personal', 'integer', (column) => column.notNull())
        .addColumn('created_at', 'integer', (column) => column.notNull())
        .execute()
      await db.schema
        .createTable('updates')
        .addColumn('id', 'integer', (column) => column.primaryKey().autoIncrement())
        .addColumn(boardId, 'text', (column) => column.notNull().references('boards.id').onDelete('cascade'))
        .addColumn('bytes', 'blob', (column) => column.notNull())
        .addColumn('checksum', 'integer', (column) => column.notNull())
        .execute()
      await db.schema
        .createTable('snapshots')
        .addColumn(boardId, 'text', (column) => column.primaryKey().references('boards.id').onDelete('cascade'))
        .addColumn('through_id', 'integer', (column) => column.notNull())
        .addColumn('bytes', 'blob', (column) => column.notNull())
        .addColumn('checksum', 'integer', (column) => column.notNull())
        .execute()
      await db.schema
        .createTable('authors')
        .addColumn(boardId, 'text', (column) => column.notNull().references('boards.id').onDelete('cascade'))
        .addColumn('client_id', 'integer', (column) => column.notNull())
        .addColumn('user_id', 'text', (column) => column.notNull())
        .addColumn('name', 'text', (column) => column.notNull())
        .addColumn('role', 'text', (column) => column.notNull())
        .addPrimaryKeyConstraint('authors_key', [boardId, 'client_id'])
        .execute()
      await db.schema
        .createTable('polls')
        .addColumn('id', 'text', (column) => column.primaryKey())
        .addColumn(boardId, 'text', (column) => column.notNull().references('boards.id').onDelete('cascade'))
        .addColumn('question', 'text', (column) => column.notNull())
        .addColumn('method', 'text', (column) => column.notNull())
        .addColumn('audience', 'text', (column) => column.notNull())
        .addColumn('tally_rule', 'text', (column) => column.notNull())
        .addColumn('by_role', 'integer', (column) => column.notNull())
        .addColumn('closes_at', 'integer')
        .addColumn('open', 'integer', (column) => column.notNull())
        .addColumn('options', 'text', (column) => column.notNull())
        .addColumn('brought_tally', 'text')
        .execute()
      await db.schema
        .createTable('ballots')
        .addColumn('poll_id', 'text', (column) => column.notNull().references('polls.id').onDelete('cascade'))
        .addColumn('voter', 'text', (column) => column.notNull())
        .addColumn('ballot_id', 'text', (column) => column.notNull())
        .addColumn('choices', 'text', (column) => column.notNull())
        .addColumn('band', 'integer', (column) => column.notNull())
        .addColumn('personal', 'integer', (column) => column.notNull())
        .addUniqueConstraint('one_ballot_a_voter', ['poll_id', 'voter'])
        .execute()
      for (const [table, column] of [
        ['updates', boardId],
        ['links', boardId],
        ['sessions', boardId],
        ['sessions', 'link_id'],
        ['polls', boardId],
        ['polls', 'closes_at'],
      ] as const) {
        await db.schema.createIndex(`${table}_by_${column}`).on(table).column(column).execute()
      }
    },
  },
  '002-carried-edits': {
    up: (db: Kysely<unknown>) => db.schema.alterTable('authors').addColumn('carried', 'text').execute(),
  },
  '003-log': {
    async up(db: Kysely<unknown>) {
      const old = db as Kysely<{
        updates: { id: number; board_id: string; bytes: Uint8Array; checksum: number }
        tails: Tables['tails']
      }>
      await db.schema
        .createTable('tails')
        .addColumn('board_id', 'text', (column) => column.notNull().references('boards.id').onDelete('cascade'))
        .addColumn('id', 'integer', (column) => column.notNull())
        .addColumn('bytes', 'blob', (column) => column.notNull())
        .addColumn('checksum', 'integer', (column) => column.notNull())
        .addPrimaryKeyConstraint('tails_key', ['board_id', 'id'])
        .modifyEnd(sql`without rowid`)
        .execute()
      let last = 0
      for (;;) {
        const rows = await old
          .selectFrom('updates')
          .selectAll()
          .where('id', '>', last)
          .orderBy('id')
          .limit(500)
          .execute()
        for (const row of rows) {
          const isWhole = checksum(row.bytes) === row.checksum
          const { block } = packed([{ boardId: row.board_id, bytes: row.bytes }])
          // What was damaged stays damaged: it is told when its board is opened.
          await old
            .insertInto('tails')
            .values({
              board_id: row.board_id,
              id: row.id,
              bytes: block,
              checksum: isWhole ? checksum(block) : ~checksum(block) >>> 0,
            })
            .execute()
          last = row.id
        }
        if (rows.length === 0) break
      }
      await db.schema
        .createTable('log')
        .addColumn('id', 'integer', (column) => column.primaryKey().autoIncrement())
        .addColumn('boards', 'text', (column) => column.notNull())
        .addColumn('bytes', 'blob', (column) => column.notNull())
        .addColumn('checksum', 'integer', (column) => column.notNull())
        .execute()
      // The log counts on where the updates had come to: what a snapshot holds is known by these numbers.
      await sql`insert into sqlite_sequence (name, seq) select 'log', seq from sqlite_sequence where name = 'updates'`.execute(
        db,
      )
      await db.schema.dropTable('updates').execute()
    },
  },
  '004-tallies': { up: addTallies },
}
