/** What belongs to one device or one moment of playing together: how late it sounds, and who leads when the leader has left. */
import type { NoteStore } from '../offline/own-notes.js'
import { inSteps } from './latency.js'

const KEY = 'chartloft:late-ms'

export function rememberedLatency(store: NoteStore): number {
  try {
    const held = Number(store?.getItem(KEY) ?? 0)
    return Number.isFinite(held) ? inSteps(held) : 0
  } catch {
    // reason: without storage the device is taken as being in time
    return 0
  }
}

export function rememberLatency(store: NoteStore, ms: number): void {
  try {
    store?.setItem(KEY, String(ms))
  } catch {
    // reason: it is set again next time
  }
}

/** Music goes on when whoever started it leaves; of those still here the first by id brings changes in, so that one page does and not all. */
export function leadsAfter(leader: string | undefined, me: string, here: readonly string[]): boolean {
  if (leader === undefined || here.includes(leader)) return false
  return here.every((other) => me <= other)
}
