/** Calls to the server: JSON in, JSON out, every failure one kind of error with a code and words for people. */
import type {
  BallotChoices,
  ErrorCode,
  PollMethod,
  PollSummary,
  PollTally,
  Role,
  UserCommandKind,
} from '@chartloft/shared-theory/board'
import type { Question } from '../shell/early-session.js'
import type { Arrangement, BoardState, Issue, LedgerEntry } from '@chartloft/shared-theory'

export interface Session {
  readonly boardId: string
  readonly role: Role
  readonly userId: string
  readonly name?: string
}

/** A session just opened, with the board as it stands; listeners are told nothing of it. */
export interface Entered extends Session {
  readonly state?: BoardState
}

export interface PollOptionView {
  readonly id: string
  readonly title: string
  readonly summary?: string
  readonly arrangement?: Arrangement
}
export interface PollView extends PollSummary {
  readonly options: readonly PollOptionView[]
  /** Where the options are by themselves; the address changes with them. */
  readonly optionsPath: string
  readonly mine?: BallotChoices
  readonly tally?: PollTally
}

/** The server refused or could not be reached; `message` can be shown as it is. */
export class CallError extends Error {
  constructor(
    readonly code: ErrorCode | 'offline',
    message: string,
    readonly issues: readonly Issue[] = [],
  ) {
    super(message)
    this.name = 'CallError'
  }
}

export interface NewBoard {
  readonly boardId: string
  readonly links: { readonly leader: string; readonly member: string; readonly listener: string }
}

export type CommandAnswer = { readonly seq: number } & {
  readonly pollId?: string
  readonly linkId?: string
  readonly link?: string
  readonly version?: number
}

type Fetch = (path: string, init?: RequestInit) => Promise<Response>

export class Api {
  readonly #fetch: Fetch
  readonly #newId: () => string

  constructor(fetch: Fetch, newId: () => string) {
    this.#fetch = fetch
    this.#newId = newId
  }

  openSession(token: string, name?: string): Promise<Session> {
    return this.#call('POST', '/api/session', { token, ...(name ? { name } : {}) })
  }

  session(boardId: string): Promise<Session> {
    return this.#call('GET', `/api/session?board=${encodeURIComponent(boardId)}`)
  }

  /** Comes in; `early` is the answer to this very question where it was asked before. */
  enter({ path, init }: Question, early?: Promise<Response>): Promise<Entered> {
    return this.#read(early ?? this.#fetch(path, init))
  }

  createBoard(
    title: string,
    tune?: { readonly format: string; readonly data: string; readonly encoding?: 'utf8' | 'base64' },
  ): Promise<NewBoard> {
    return this.#call('POST', '/api/boards', { title, ...(tune ? { tune } : {}) })
  }

  /** One command; sent again with the same id where the connection broke, so that it counts once. */
  async command(
    boardId: string,
    kind: UserCommandKind,
    fields: { readonly [field: string]: unknown },
  ): Promise<CommandAnswer> {
    const body = { commandId: this.#newId(), kind, ...fields }
    const path = `/api/boards/${encodeURIComponent(boardId)}/commands`
    try {
      return await this.#call('POST', path, body)
    } catch (error) {
      if (error instanceof CallError && error.code === 'offline') return this.#call('POST', path, body)
      throw error
    }
  }

  /** Every accepted row after `seq`, in order. */
  async ledger(boardId: string, after: number): Promise<readonly LedgerEntry[]> {
    const entries: LedgerEntry[] = []
    for (;;) {
      const answer = await this.#call<{ entries: LedgerEntry[]; seq: number; more?: true }>(
        'GET',
        `/api/boards/${encodeURIComponent(boardId)}/ledger?after=${entries.at(-1)?.seq ?? after}`,
      )
      entries.push(...answer.entries)
      if (!answer.more || answer.entries.length === 0) return entries
    }
  }

  async polls(boardId: string): Promise<readonly PollSummary[]> {
    const answer = await this.#call<{ polls: PollSummary[] } | PollSummary[]>(
      'GET',
      `/api/boards/${encodeURIComponent(boardId)}/polls`,
    )
    return Array.isArray(answer) ? answer : answer.polls
  }

  /** The poll with its options; where they are known already, only what is new of it comes over the network. */
  async poll(pollId: string, known?: PollView): Promise<PollView> {
    const path = `/api/polls/${encodeURIComponent(pollId)}`
    if (!known) return this.#call('GET', path)
    const now = await this.#call<Omit<PollView, 'options'>>('GET', `${path}/state`)
    if (now.optionsPath === known.optionsPath) return { ...now, options: known.options }
    const { options } = await this.#call<Pick<PollView, 'options'>>('GET', now.optionsPath)
    return { ...now, options }
  }

  vote(pollId: string, choices: BallotChoices): Promise<{ readonly ballotId: string }> {
    return this.#call('POST', `/api/polls/${encodeURIComponent(pollId)}/ballots`, { ballotId: this.#newId(), choices })
  }

  async deleteBoard(boardId: string, title: string): Promise<void> {
    await this.#call('DELETE', `/api/boards/${encodeURIComponent(boardId)}`, { title })
  }

  #call<T>(method: string, path: string, body?: unknown): Promise<T> {
    return this.#read(
      this.#fetch(path, {
        method,
        credentials: 'same-origin',
        ...(body === undefined ? {} : { headers: { 'content-type': 'application/json' }, body: JSON.stringify(body) }),
      }),
    )
  }

  async #read<T>(asked: Promise<Response>): Promise<T> {
    let answer: Response
    try {
      answer = await asked
    } catch {
      throw new CallError('offline', 'The server cannot be reached. Nothing was lost; try again when you are online.')
    }
    const text = await answer.text()
    const json = readJson(text)
    if (answer.ok) return json as T
    const told = (json as { error?: { code?: ErrorCode; message?: string; issues?: Issue[] } } | undefined)?.error
    throw new CallError(
      told?.code ?? 'unavailable',
      told?.message ?? `The server answered ${answer.status}. Try again in a moment.`,
      told?.issues ?? [],
    )
  }
}

function readJson(text: string): unknown {
  if (text === '') return {}
  try {
    return JSON.parse(text)
  } catch {
    return undefined
  }
}

export const BALLOT_METHODS = ['single', 'approval', 'score'] as const satisfies readonly PollMethod[]
