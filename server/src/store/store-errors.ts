/** The databases' own words sorted into what the rest of the server can act on. */
import { StoreError, type StoreErrorCode, messageOf } from '../errors.js'
import type { Store } from './store.js'

/** What an error's code begins with → what it means. Postgres's codes: its manual, appendix A "PostgreSQL Error Codes"; Node's: its manual, "Common system errors". */
const MEANINGS: readonly (readonly [RegExp, StoreErrorCode])[] = [
  [/^SQLITE_CONSTRAINT/, 'duplicate'],
  [/^SQLITE_(BUSY|LOCKED)/, 'busy'],
  [/^SQLITE_(CORRUPT|NOTADB)/, 'corrupt'],
  [/^SQLITE_(FULL|IOERR|READONLY|CANTOPEN)/, 'disk'],
  [/^(EACCES|EROFS|ENOSPC|ENOTDIR|EPERM|EEXIST|ENOENT)/, 'disk'],
  [/^23\w{3}$/, 'duplicate'],
  // Undone for another transaction's sake, waited too long for a lock or for an answer.
  [/^(40001|40P01|55P03|57014)$/, 'busy'],
  [/^(XX001|XX002)$/, 'corrupt'],
  // No connection, no permission, read-only, no such database, out of room or of connections, shut down, input or output failed.
  [/^(08\w{3}|25006|25P0[34]|28\w{3}|3D000|42501|53\w{3}|57P\w{2}|58\w{3})$/, 'disk'],
  [/^(ECONN(REFUSED|RESET|ABORTED)|ETIMEDOUT|EPIPE|ENOTFOUND|EAI_AGAIN|EHOSTUNREACH|ENETUNREACH|ENETDOWN)$/, 'disk'],
]
/** The Postgres driver has no code where a connection ends or does not come about. */
const LOST =
  /connection terminated|timeout exceeded when trying to connect|connection error|read timeout|not queryable/i

export function codeOf(error: unknown): string | undefined {
  const code = (error as { code?: unknown } | undefined)?.code
  return typeof code === 'string' ? code : undefined
}

/** Disk, busy, damaged or doubled as a StoreError; anything else as it was. */
export function storeError(error: unknown): Error {
  if (error instanceof StoreError) return error
  const code = codeOf(error)
  if (code === undefined && LOST.test(messageOf(error))) return new StoreError('disk', messageOf(error))
  const meaning = MEANINGS.find(([known]) => code !== undefined && known.test(code))?.[1]
  // Of several addresses tried, Node tells each failure and gives the whole no message.
  if (meaning) return new StoreError(meaning, messageOf(error) || (code ?? ''))
  return error instanceof Error ? error : new Error(messageOf(error))
}

/** Every call's failure as a coded StoreError where it is the disk's or the data's. */
export function withCodes<T extends Store>(store: T): T {
  return new Proxy(store, {
    get(target, name) {
      const run: unknown = Reflect.get(target, name)
      if (typeof run !== 'function') return run
      return async (...args: readonly unknown[]): Promise<unknown> => {
        try {
          return await Reflect.apply(run, target, args)
        } catch (error) {
          throw storeError(error)
        }
      }
    },
  })
}
