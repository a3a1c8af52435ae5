/** The tune as it is put right, step by step, each step to be taken back. */
import type { TuneMend } from '@chartloft/shared-theory'
import type { TuneReading } from '../state/theory-protocol.js'

export interface MendHistory {
  readonly now: TuneReading
  readonly before: readonly { readonly reading: TuneReading; readonly kind: TuneMend['kind'] }[]
}

const MOST_STEPS = 200

export const startWith = (reading: TuneReading): MendHistory => ({ now: reading, before: [] })

export function mended({ now, before }: MendHistory, reading: TuneReading, kind: TuneMend['kind']): MendHistory {
  return { now: reading, before: [...before, { reading: now, kind }].slice(-MOST_STEPS) }
}

/** One step back; the same where there is none. */
export function takenBack(history: MendHistory): MendHistory {
  const last = history.before.at(-1)
  return last ? { now: last.reading, before: history.before.slice(0, -1) } : history
}
