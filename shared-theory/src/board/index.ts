/** Board rules: the ledger and its fold, roles, wire messages, the clock estimate, the draft's shape. (Being built; signatures stand.) */
import type { BoardState, Chosen, LedgerEntry, Plan } from '../contract/index.js'

const later = (): never => {
  throw new Error('not built yet')
}

export const foldLedger: (entries: readonly LedgerEntry[]) => BoardState = later
export const estimateOffset: (samples: readonly { t0: number; t1: number; t2: number; t3: number }[]) => {
  offset: number
  error: number
} = later
/** The plan a board state stands for, with choices being tried laid over it; undefined while there is no tune. */
export const planOfState: (state: BoardState, trying?: readonly Chosen[]) => Plan | undefined = later
/** 'harmony@chorus-1/A3:0+8': a slot's key in the draft, and back. */
export const slotKey: (slot: {
  decision: string
  at?: { passId: string; sectionId?: string; fromBar?: number; bars?: number }
}) => string = later
