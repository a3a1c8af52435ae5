/** Gives memory back once nobody is here. An idle process collects nothing, since nothing presses it to; a server that had a full house would
 *  keep that night's garbage until the next. Done only while every room is gone: it takes tens of milliseconds, which then hold nobody up. */
import { setFlagsFromString } from 'node:v8'
import { runInNewContext } from 'node:vm'

export interface GiveBack {
  /** Called in every round of looking after, with how many rooms and ledgers are held and what the clock says. */
  readonly look: (held: number, now: number) => void
}

/** How long nobody must have been here: only where little was allocated for five seconds does V8 make its space for young objects small again. */
export const QUIET_MS = 6000

/** `collect` runs once when the last of them has been gone for a while, and again only after there was one. */
export function givingBack(collect: () => void): GiveBack {
  let lastHeldAt: number | undefined
  return {
    look: (held, now) => {
      if (held > 0) lastHeldAt = now
      else if (lastHeldAt !== undefined && now - lastHeldAt >= QUIET_MS) {
        lastHeldAt = undefined
        collect()
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
