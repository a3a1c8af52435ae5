/** Connections to Postgres: how long anything may take, and how values come and go. */
import type { PostgresPool, PostgresPoolClient, PostgresQueryResult } from 'kysely'
import pg from 'pg'

const INT8 = 20
const TEXT = 25
const MOST_CONNECTIONS = 10
const CONNECT_MS = 5000
/** A process that hangs in the middle of a transaction holds rows others wait for. */
const IDLE_IN_TRANSACTION_MS = 10_000
const LOCK_MS = 8000
const STATEMENT_MS = 20_000
/** For a network that swallows answers: a little more than the database itself allows. */
const ANSWER_MS = STATEMENT_MS + 5000

/** Postgres holds no NUL in a text, SQLite does: it travels as two characters no text of people has, and so does the sign for that. */
const SIGN = '\uFFFE'
const escaped = (value: unknown): unknown =>
  typeof value === 'string' && (value.includes('\0') || value.includes(SIGN))
    ? value.replaceAll(SIGN, `${SIGN}1`).replaceAll('\0', `${SIGN}0`)
    : value
const unescaped = (text: string): string =>
  text.includes(SIGN) ? text.replaceAll(`${SIGN}0`, '\0').replaceAll(`${SIGN}1`, SIGN) : text

/** Ids, times and checksums all fit a JavaScript number. */
const types: pg.CustomTypesConfig = {
  getTypeParser: ((oid: number, format?: 'text' | 'binary') => {
    if (oid === INT8) return Number
    if (oid === TEXT) return unescaped
    return pg.types.getTypeParser(oid, format as 'text')
  }) as pg.CustomTypesConfig['getTypeParser'],
}

/** A pool for kysely. `onLost` hears of connections lost while nobody used them. */
export function openPool(databaseUrl: string, onLost: (error: Error) => void): PostgresPool {
  const pool = new pg.Pool({
    connectionString: databaseUrl,
    types,
    max: MOST_CONNECTIONS,
    keepAlive: true,
    application_name: 'chartloft',
    connectionTimeoutMillis: CONNECT_MS,
    idleTimeoutMillis: 60_000,
    statement_timeout: STATEMENT_MS,
    lock_timeout: LOCK_MS,
    idle_in_transaction_session_timeout: IDLE_IN_TRANSACTION_MS,
    query_timeout: ANSWER_MS,
  })
  pool.on('error', onLost)
  pool.on('connect', (client) => {
    // What happens to a connection in use is told by the query it breaks.
    client.on('error', () => undefined)
    // "Saved" means on disk, whatever the database is set to.
    client
      .query(`select set_config('synchronous_commit', 'on', false) where current_setting('synchronous_commit') = 'off'`)
      .catch(() => undefined)
  })
  return {
    connect: async () => lent(await pool.connect()),
    end: () => pool.end(),
  }
}

function lent(client: pg.PoolClient): PostgresPoolClient {
  let isBroken = false
  const query = async (text: string, values: readonly unknown[]): Promise<PostgresQueryResult<never>> => {
    try {
      const { command, rowCount, rows } = await client.query(text, values.map(escaped))
      return { command: command as 'SELECT', rowCount: rowCount ?? 0, rows: rows as never[] }
    } catch (error) {
      // Without a code it is not the database that refused: the connection is gone, or its answer still to come.
      isBroken ||= (error as { code?: unknown }).code === undefined
      throw error
    }
  }
  return { query: query as unknown as PostgresPoolClient['query'], release: () => client.release(isBroken) }
}
