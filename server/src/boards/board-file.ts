/** The board file: a whole board as plain JSON, out and in. */
import type { Issue, LedgerEntry } from '@chartloft/shared-theory'
import { BOARD_LIMITS, type ErrorCode, type PollTally } from '@chartloft/shared-theory/board'
import { z } from 'zod'
import { LIMITS } from '../limits.js'
import { Refusal } from '../errors.js'
import { parseJson } from '../http/body.js'
import { parseOrRefuse } from '../ledger/requests.js'
import { Polls } from '../polls/polls.js'
import { isOpenAt, mayseeTally } from '../polls/tally.js'
import type { Store } from '../store/store.js'

export interface BoardFile {
  readonly format: 'chartloft-board'
  readonly version: 1
  readonly boardId: string
  readonly title: string
  readonly ledger: readonly LedgerEntry[]
  /** Base64 of one Yjs update. */
  readonly draft: string
  readonly polls: readonly { readonly pollId: string; readonly tally?: PollTally }[]
}

/** Everything of a board that may leave it: no token, no single ballot, no tally that is still hidden. */
export async function writeBoardFile(
  store: Store,
  boardId: string,
  draft: Uint8Array,
  now: number,
): Promise<BoardFile | undefined> {
  const board = await store.board(boardId)
  if (!board) return undefined
  const polls = new Polls(store, () => now)
  const ledger: LedgerEntry[] = []
  for (;;) {
    const page = await store.entries(boardId, ledger.length, LIMITS.ledgerPage)
    ledger.push(...page)
    if (page.length < LIMITS.ledgerPage) break
  }
  const tallies = (await store.polls(boardId)).map(async (poll) => {
    const { pollId } = poll
    const opened = mayseeTally(poll, isOpenAt(poll, now), false) ? await polls.find(pollId) : undefined
    return { pollId, ...(opened ? { tally: await polls.tally(opened, poll) } : {}) }
  })
  return {
    format: 'chartloft-board',
    version: 1,
    boardId,
    title: board.title,
    ledger,
    draft: Buffer.from(draft).toString('base64'),
    polls: await Promise.all(tallies),
  }
}

const id = z.string().min(1).max(BOARD_LIMITS.id)
const Row = z.object({
  seq: z.int().min(1),
  at: z.number().min(0),
  by: z.object({
    userId: id,
    name: z.string().max(BOARD_LIMITS.personName),
    role: z.enum(['leader', 'member', 'server']),
  }),
  command: z.looseObject({ commandId: z.string().min(1).max(64), kind: z.string().min(1).max(40) }),
})
const Counts = z.record(z.string(), z.number())
const Tally = z.object({
  voters: z.int().min(0),
  counts: Counts,
  counted: z.enum(['people', 'browsers, not people']).default('browsers, not people'),
  byRole: z.object({ band: Counts, listeners: Counts }).optional(),
})

/** The shape of a board file; what its rows mean is checked by replaying them. */
export const BoardFileShape = z.object({
  format: z.literal('chartloft-board'),
  version: z.literal(1),
  boardId: z.string().regex(/^[A-Za-z0-9_-]{8,64}$/),
  title: z.string().trim().min(1).max(BOARD_LIMITS.title),
  ledger: z.array(Row).min(1),
  draft: z.base64(),
  polls: z.array(z.object({ pollId: id, tally: Tally.optional() })).default([]),
})

/** A board file out of what came in, or why it is none. */
export type ReadBoardFile =
  | { readonly ok: true; readonly value: unknown }
  | { readonly ok: false; readonly code: ErrorCode; readonly message: string; readonly issues?: readonly Issue[] }

export function readBoardFile(bytes: Uint8Array, mostRows: number): ReadBoardFile {
  try {
    const value = parseJson(bytes)
    // Before its shape is looked at: each of millions of wrong rows would make an issue of its own.
    const { ledger } = (value ?? {}) as { readonly ledger?: unknown }
    if (Array.isArray(ledger) && ledger.length > mostRows)
      throw new Refusal('too_large', `This board file has more rows than a board may have here (${mostRows}).`)
    return { ok: true, value: parseOrRefuse(BoardFileShape, value) }
  } catch (error) {
    if (!(error instanceof Refusal)) throw error
    const { code, message, issues } = error
    return { ok: false, code, message, ...(issues ? { issues } : {}) }
  }
}
