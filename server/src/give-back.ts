/** Gives memory back once nobody is here. An idle process collects nothing, since nothing presses it to; a server that had a full house would
 *  keep that night's garbage until the next. Done only while every room is gone: it takes tens of milliseconds, which then hold nobody up. */
import { setFlagsFromString } from 'node:v8'
import { runInNewContext } from 'node:vm'

export interface GiveBack {
  /** Called in every round of looking after, with how many rooms and ledgers are held and what the clock says. */
  readonly look: (held: number, now: number) => void
}

/** V8 makes its space for young objects small again where a collection finds that little was allocated in the five seconds before. */
export const AGAIN_MS = 6000

/** `collect` runs when the last of them has gone and once more a while after, if nobody has come; and again only after there was one. */
export function givingBack(collect: () => void): GiveBack {
  let next: 'none' | 'first' | { readonly againAt: number } = 'none'
  return {
    look: (held, now) => {
      if (held > 0) next = 'first'
      else if (next === 'first') {
        collect()
        next = { againAt: now + AGAIN_MS }
      } else if (next !== 'none' && now >= next.againAt) {
        collect()
        next = 'none'
      }
    },
  }
}

/** One full collection of this thread's heap. The inspector's `HeapProfiler.collectGarbage` would need no flag, but with Node 20 the process
 *  stops for good when its session is closed after it. */
export function collectGarbage(): void {
  setFlagsFromString('--expose-gc')
  const collect: unknown = runInNewContext('globalThis.gc')
  setFlagsFromString('--no-expose-gc')
  if (typeof collect === 'function') collect()
}
