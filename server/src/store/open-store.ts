/** The store a configuration names: Postgres where DATABASE_URL is set, else SQLite's file in the data folder, in a thread of its own. */
import type { Config } from '../config.js'
import { StartError, messageOf } from '../errors.js'
import { openPostgres } from './postgres.js'
import type { Store } from './store.js'
import { openWorkerStore } from './worker-store.js'

/** Opens and probes it. Rejects with StartError naming the setting that does not work. `onLost` hears of connections lost while nobody used them. */
export async function openStore(config: Config, onLost: (error: Error) => void): Promise<Store> {
  const { databaseUrl, dataDir, maxDataMb } = config
  let store: Store | undefined
  try {
    store = await (databaseUrl === undefined
      ? openWorkerStore({ dataDir, maxDataMb })
      : openPostgres(databaseUrl, onLost))
    await store.probe(Date.now())
    return store
  } catch (error) {
    await store?.close().catch(() => undefined)
    const setting = databaseUrl === undefined ? `DATA_DIR '${dataDir}'` : 'DATABASE_URL'
    throw new StartError(`${setting} cannot be used: ${messageOf(error)}.`)
  }
}
