/** SQLite’s own words sorted into what the rest of the server can act on. */
import { StoreError, messageOf } from '../errors.js'
import type { Store } from './store.js'

/** Disk, busy, damaged or doubled as a StoreError; anything else as it was. */
export function storeError(error: unknown): Error {
  if (error instanceof StoreError) return error
  const code = (error as { code?: unknown } | undefined)?.code
  if (typeof code !== 'string') return error instanceof Error ? error : new Error(messageOf(error))
  if (code.startsWith('SQLITE_CONSTRAINT')) return new StoreError('duplicate', messageOf(error))
  if (code.startsWith('SQLITE_BUSY') || code.startsWith('SQLITE_LOCKED'))
    return new StoreError('busy', messageOf(error))
  if (code.startsWith('SQLITE_CORRUPT') || code.startsWith('SQLITE_NOTADB'))
    return new StoreError('corrupt', messageOf(error))
  if (/^(SQLITE_(FULL|IOERR|READONLY|CANTOPEN)|EACCES|EROFS|ENOSPC|ENOTDIR|EPERM|EEXIST|ENOENT)/.test(code))
    return new StoreError('disk', messageOf(error))
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
