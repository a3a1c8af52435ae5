/** A store whose calls are timed, each by its name, and whose failures are counted by their code. */
import { StoreError } from '../errors.js'
import type { Store } from './store.js'

export type StoreCallTold = (method: string, ms: number, outcome: string) => void

export function timedStore(store: Store, clock: () => number, told: StoreCallTold): Store {
  return new Proxy(store, {
    get(target, method) {
      const run: unknown = Reflect.get(target, method)
      if (typeof method !== 'string' || typeof run !== 'function') return run
      return async (...args: readonly unknown[]): Promise<unknown> => {
        const began = clock()
        let outcome = 'failed'
        try {
          const value: unknown = await Reflect.apply(run, target, args)
          outcome = 'done'
          return value
        } catch (error) {
          if (error instanceof StoreError) outcome = error.code
          throw error
        } finally {
          told(method, clock() - began, outcome)
        }
      }
    },
  })
}
