/** A ledger of as many rows as one likes: a board, and versions named one after the other. */
import type { LedgerEntry } from '@chartloft/shared-theory'

export const BY = { userId: 'u', name: 'n', role: 'leader' } as const
export const MADE: LedgerEntry = {
  seq: 1,
  at: 1,
  by: BY,
  command: { commandId: 'c1', kind: 'createBoard', title: 'Pier' },
}

export const versionRows = (count: number): readonly LedgerEntry[] => [
  MADE,
  ...Array.from({ length: count - 1 }, (_, index) => ({
    seq: index + 2,
    at: index,
    by: BY,
    command: { commandId: `v${index}`, kind: 'nameVersion', name: `version ${index}` } as const,
  })),
]
