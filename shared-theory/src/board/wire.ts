/** What travels on a board's socket: message numbers, payloads, close codes, notices. Light enough for a page's first load. */
import type { BoardState, LedgerEntry, Slot } from '../contract/index.js'

export type Role = 'leader' | 'member' | 'listener'
export const ROLES = ['leader', 'member', 'listener'] as const satisfies readonly Role[]

/** First varUint of every frame. 0, 1 and 3 are y-protocols unchanged; ours carry a JSON string. */
export const MESSAGE = {
  sync: 0,
  awareness: 1,
  queryAwareness: 3,
  clock: 16,
  saved: 17,
  transport: 18,
  ledger: 19,
  notice: 20,
  authors: 21,
} as const

/** Second varUint of a sync frame. */
export const SYNC = { step1: 0, step2: 1, update: 2 } as const

export const CLOSE = {
  tryLater: 1013,
  badMessage: 4400,
  revoked: 4401,
  noBoard: 4404,
  tooSlow: 4408,
  tooLarge: 4413,
  tooFast: 4429,
} as const
export type CloseCode = (typeof CLOSE)[keyof typeof CLOSE]

export const NOTICE_CODES = [
  'disk',
  'draining',
  'near_limit',
  'too_large',
  'too_fast',
  'too_slow',
  'bad_message',
  'revoked',
  'forbidden',
  'deleted',
] as const
export type NoticeCode = (typeof NOTICE_CODES)[number]

/** Milliseconds; t0 and t3 on the client's monotonic clock, t1 and t2 on the server's. */
export interface ClockRequest {
  readonly t0: number
}
export interface ClockAnswer extends ClockRequest {
  readonly t1: number
  readonly t2: number
}

/** `sv`: base64 state vector, every struct below it is on disk. `n`: step-2 and update messages of this socket on disk. */
export interface Saved {
  readonly sv: string
  readonly n: number
}

/** The shared playback: what sounds, from where, since when on the server's clock. */
export interface Transport {
  readonly playing: boolean
  /** Server clock, ms. */
  readonly startsAt: number
  readonly fromTick: number
  /** 1 = as written, 0.5 = half as fast. */
  readonly tempoScale: number
  readonly loop?: readonly [fromTick: number, toTick: number]
  readonly planHash: string
  /** slotKey of the option heard. */
  readonly slot?: string
  readonly optionId?: string
}
export interface TransportFrom extends Transport {
  readonly by: { readonly userId: string; readonly name: string }
}

export type LedgerMessage = { readonly seq: number; readonly state: BoardState } | LedgerEntry

export interface Notice {
  readonly code: NoticeCode
  readonly message: string
}

/** Who each Yjs client id belongs to, as the server knows it from sessions; the draft's own `by` is only a claim. */
export interface Authors {
  readonly clients: { readonly [clientId: string]: Author }
}
export interface Author extends Writer {
  /** Edits under the id that its owner did not bring in: after a crash others may, and answer for them. */
  readonly carried?: readonly Carried[]
}
export interface Writer {
  readonly userId: string
  readonly name: string
  readonly role: Role
}
/** Whoever brought the edits from one clock up to before another; with an empty name where that is no longer known. */
export interface Carried extends Writer {
  readonly from: number
  readonly to: number
}

/** Who answers for one edit of a client id. */
export function writerOf(clients: Authors['clients'], clientId: number, clock: number): Writer | undefined {
  const author = clients[String(clientId)]
  return author?.carried?.find(({ from, to }) => clock >= from && clock < to) ?? author
}

/** What `GET /api/polls/:id` answers, without the arrangements. */
export interface PollTally {
  readonly voters: number
  readonly counts: { readonly [optionId: string]: number }
  /** Said aloud where votes came over shared links: one person may hold two browsers. */
  readonly counted: 'people' | 'browsers, not people'
  readonly byRole?: {
    readonly band: { readonly [optionId: string]: number }
    readonly listeners: { readonly [optionId: string]: number }
  }
}
export type PollMethod = 'single' | 'approval' | 'score'
export type PollAudience = 'band' | 'everyone' | 'invited'
export type TallyRule = 'always' | 'afterVote' | 'afterClose'
export type BallotChoices = readonly string[] | { readonly [optionId: string]: number }
export interface PollSummary {
  readonly pollId: string
  readonly question: string
  readonly method: PollMethod
  readonly open: boolean
  readonly closesAt?: number
  readonly slot?: Slot
}

/** Error codes of the HTTP answers: `{ error: { code, message, issues? } }`. */
export type ErrorCode =
  | 'bad_request'
  | 'no_session'
  | 'forbidden'
  | 'not_found'
  | 'timeout'
  | 'stale'
  | 'closed'
  | 'conflict'
  | 'too_large'
  | 'invalid'
  | 'too_fast'
  | 'unavailable'
  | 'disk'
