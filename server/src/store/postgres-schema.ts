/** The same tables for Postgres. Where they differ: drafts are appended to each board's own tail at once, since its log is its own affair, and
 *  `drafts` counts a board's updates. What belongs to a draft hangs on that row and not on the board's, so that saving takes one lock only. */
import { type Kysely, type Migration, sql } from 'kysely'
import { addTallies } from './schema.js'

const BOARD = 'board_id'

/** Steps only ever get added. */
export const POSTGRES_MIGRATIONS: { readonly [name: string]: Migration } = {
  '001-boards': {
    async up(db: Kysely<unknown>) {
      await db.schema
        .createTable('settings')
        .addColumn('key', 'text', (column) => column.primaryKey())
        .addColumn('value', 'text', (column) => column.notNull())
        .execute()
      await db.schema
        .createTable('boards')
        .addColumn('id', 'text', (column) => column.primaryKey())
        .addColumn('title', 'text', (column) => column.notNull())
        .addColumn('created_at', 'bigint', (column) => column.notNull())
        .addColumn('seq', 'integer', (column) => column.notNull())
        .execute()
      await db.schema
        .createTable('ledger')
        .addColumn(BOARD, 'text', (column) => column.notNull().references('boards.id').onDelete('cascade'))
        .addColumn('seq', 'integer', (column) => column.notNull())
        .addColumn('at', 'double precision', (column) => column.notNull())
        .addColumn('by_user', 'text', (column) => column.notNull())
        .addColumn('by_name', 'text', (column) => column.notNull())
        .addColumn('by_role', 'text', (column) => column.notNull())
        .addColumn('command_id', 'text', (column) => column.notNull())
        .addColumn('command', 'text', (column) => column.notNull())
        .addColumn('request_hash', 'text', (column) => column.notNull())
        .addColumn('answer', 'text', (column) => column.notNull())
        .addPrimaryKeyConstraint('ledger_key', [BOARD, 'seq'])
        .addUniqueConstraint('ledger_command', [BOARD, 'command_id'])
        .execute()
      await db.schema
        .createTable('links')
        .addColumn('id', 'text', (column) => column.primaryKey())
        .addColumn(BOARD, 'text', (column) => column.notNull().references('boards.id').onDelete('cascade'))
        .addColumn('role', 'text', (column) => column.notNull())
        .addColumn('token_hash', 'text', (column) => column.notNull().unique())
        .addColumn('label', 'text')
        .addColumn('personal', 'integer', (column) => column.notNull())
        .addColumn('expires_at', 'double precision')
        .addColumn('revoked', 'integer', (column) => column.notNull())
        .execute()
      await db.schema
        .createTable('sessions')
        .addColumn('hash', 'text', (column) => column.primaryKey())
        .addColumn(BOARD, 'text', (column) => column.notNull().references('boards.id').onDelete('cascade'))
        .addColumn('user_id', 'text', (column) => column.notNull())
        .addColumn('name', 'text', (column) => column.notNull())
        .addColumn('role', 'text', (column) => column.notNull())
        .addColumn('link_id', 'text', (column) => column.notNull())
        .addColumn('personal', 'integer', (column) => column.notNull())
        .addColumn('created_at', 'bigint', (column) => column.notNull())
        .execute()
      await db.schema
        .createTable('drafts')
        .addColumn(BOARD, 'text', (column) => column.primaryKey().references('boards.id').onDelete('cascade'))
        .addColumn('last_id', 'bigint', (column) => column.notNull().defaultTo(0))
        // Room on the page for the row's next version: it is written with every commit.
        .modifyEnd(sql`with (fillfactor = 50)`)
        .execute()
      await db.schema
        .createTable('tails')
        .addColumn(BOARD, 'text', (column) => column.notNull().references('drafts.board_id').onDelete('cascade'))
        .addColumn('id', 'bigint', (column) => column.notNull())
        .addColumn('bytes', 'bytea', (column) => column.notNull())
        .addColumn('checksum', 'bigint', (column) => column.notNull())
        .addPrimaryKeyConstraint('tails_key', [BOARD, 'id'])
        .execute()
      await db.schema
        .createTable('snapshots')
        .addColumn(BOARD, 'text', (column) => column.primaryKey().references('drafts.board_id').onDelete('cascade'))
        .addColumn('through_id', 'bigint', (column) => column.notNull())
        .addColumn('bytes', 'bytea', (column) => column.notNull())
        .addColumn('checksum', 'bigint', (column) => column.notNull())
        .execute()
      await db.schema
        .createTable('authors')
        .addColumn(BOARD, 'text', (column) => column.notNull().references('drafts.board_id').onDelete('cascade'))
        .addColumn('client_id', 'bigint', (column) => column.notNull())
        .addColumn('user_id', 'text', (column) => column.notNull())
        .addColumn('name', 'text', (column) => column.notNull())
        .addColumn('role', 'text', (column) => column.notNull())
        .addColumn('carried', 'text')
        .addPrimaryKeyConstraint('authors_key', [BOARD, 'client_id'])
        .execute()
      await db.schema
        .createTable('polls')
        .addColumn('id', 'text', (column) => column.primaryKey())
        .addColumn(BOARD, 'text', (column) => column.notNull().references('boards.id').onDelete('cascade'))
        .addColumn('question', 'text', (column) => column.notNull())
        .addColumn('method', 'text', (column) => column.notNull())
        .addColumn('audience', 'text', (column) => column.notNull())
        .addColumn('tally_rule', 'text', (column) => column.notNull())
        .addColumn('by_role', 'integer', (column) => column.notNull())
        .addColumn('closes_at', 'double precision')
        .addColumn('open', 'integer', (column) => column.notNull())
        .addColumn('options', 'text', (column) => column.notNull())
        .addColumn('brought_tally', 'text')
        .addColumn('made', 'bigserial', (column) => column.notNull())
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
        ['links', BOARD],
        ['sessions', BOARD],
        ['sessions', 'link_id'],
        ['polls', BOARD],
        ['polls', 'closes_at'],
      ] as const) {
        await db.schema.createIndex(`${table}_by_${column}`).on(table).column(column).execute()
      }
    },
  },
  '002-tallies': { up: addTallies },
}
