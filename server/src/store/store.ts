/** What the server needs kept: one interface, so that another database can stand in. Every promise resolves after its transaction is on disk. */
import type { LedgerEntry } from '@chartloft/shared-theory'
import type { Carried, PollAudience, PollMethod, Role, TallyRule } from '@chartloft/shared-theory/board'

export interface BoardRow {
  readonly boardId: string
  readonly title: string
  readonly seq: number
}
export interface LinkRecord {
  readonly linkId: string
  readonly boardId: string
  readonly role: Role
  readonly tokenHash: string
  readonly label?: string
  readonly personal: boolean
  readonly expiresAt?: number
  readonly revoked: boolean
}
export interface SessionRecord {
  readonly sessionHash: string
  readonly boardId: string
  readonly userId: string
  readonly name: string
  readonly role: Role
  readonly linkId: string
  readonly personal: boolean
  readonly createdAt: number
}
/** A session with what its link says now. */
export interface LiveSession extends SessionRecord {
  readonly expiresAt?: number
}
export interface PollRecord {
  readonly pollId: string
  readonly boardId: string
  readonly question: string
  readonly method: PollMethod
  readonly audience: PollAudience
  readonly tallyRule: TallyRule
  readonly byRole: boolean
  readonly closesAt?: number
  readonly open: boolean
  /** JSON of `{ id, title, fromBar?, arrangement? }[]`, worked out when the poll was opened. */
  readonly options: string
  /** JSON of the tally that came with a board file: its ballots stayed behind. */
  readonly broughtTally?: string
}
export interface BallotRecord {
  readonly ballotId: string
  readonly voter: string
  /** JSON of the choices. */
  readonly choices: string
  readonly band: boolean
  readonly personal: boolean
}
/** A ballot on its way in. */
export interface GivenBallot {
  readonly pollId: string
  readonly ballot: BallotRecord
  /** When it came: a poll with a time takes none after it. */
  readonly at: number
}
export interface PollStanding {
  readonly open: boolean
  readonly mine?: BallotRecord
}
/** Both as KeptTally writes them. */
export interface Recount {
  readonly kept: string
  readonly counted: string
}
export interface DraftUpdate {
  readonly boardId: string
  readonly bytes: Uint8Array
}
export interface AuthorRecord {
  readonly boardId: string
  readonly clientId: number
  readonly userId: string
  readonly name: string
  readonly role: Role
  /** Which of the edits under this id somebody else brought in. */
  readonly carried?: readonly Carried[]
}
export interface StoredDraft {
  readonly snapshot?: Uint8Array
  readonly updates: readonly Uint8Array[]
  /** Id of the last update read; a compaction replaces everything up to it. */
  readonly throughId: number
  readonly authors: readonly AuthorRecord[]
}
/** How far a board has come: its ledger's last row, and the id of its draft's last stored update. */
export interface Position {
  readonly seq: number
  readonly throughId: number
}
/** What changes beside the ledger row, in the same transaction. */
export type Effect =
  | { readonly kind: 'addLink'; readonly link: LinkRecord }
  | { readonly kind: 'revokeLink'; readonly linkId: string }
  | { readonly kind: 'addPoll'; readonly poll: PollRecord }
  | { readonly kind: 'closePoll'; readonly pollId: string }
  | { readonly kind: 'setDraft'; readonly boardId: string; readonly bytes: Uint8Array }
export interface Accepted {
  readonly entry: LedgerEntry
  /** Hash of the request, to tell a repeat from a conflict. */
  readonly requestHash: string
  /** JSON of the answer without any token. */
  readonly answer: string
}
export interface AcceptedAnswer {
  readonly userId: string
  readonly requestHash: string
  readonly answer: string
}

export interface Store {
  close(): Promise<void>
  /** Writes and reads one row; rejects with StoreError where the disk refuses. */
  probe(now: number): Promise<void>
  setting(key: string): Promise<string | undefined>
  setSetting(key: string, value: string): Promise<void>

  countBoards(): Promise<number>
  board(boardId: string): Promise<BoardRow | undefined>
  /** A new board with its first rows; rejects 'duplicate' where the id is taken. */
  createBoard(
    board: { boardId: string; title: string; createdAt: number },
    rows: readonly Accepted[],
    effects: readonly Effect[],
  ): Promise<void>
  deleteBoard(boardId: string): Promise<void>

  /** Rows after `after`, at most `limit`, in order. */
  entries(boardId: string, after: number, limit: number): Promise<readonly LedgerEntry[]>
  answerOf(boardId: string, commandId: string): Promise<AcceptedAnswer | undefined>
  /** Rejects 'behind' where the ledger does not end just before the entry, 'duplicate' where the command id is known. */
  appendEntry(boardId: string, accepted: Accepted, effects: readonly Effect[]): Promise<void>

  linkByTokenHash(tokenHash: string): Promise<LinkRecord | undefined>
  link(linkId: string): Promise<LinkRecord | undefined>
  links(boardId: string): Promise<readonly LinkRecord[]>
  session(sessionHash: string): Promise<LiveSession | undefined>
  putSession(session: SessionRecord): Promise<void>

  /** The draft as stored; with `after`, what came after that id, with a snapshot only where it holds more. */
  loadDraft(boardId: string, after?: number): Promise<StoredDraft>
  /** Of boards that exist, how far they have come. */
  positions(boardIds: readonly string[]): Promise<ReadonlyMap<string, Position>>
  /** One transaction for all; for each board that exists the id its updates have come to. Ids of a board only ever grow, and a reader who sees one
   *  sees all below it, whatever processes write: only so does "everything up to an id" mean the same to all of them. */
  appendUpdates(
    updates: readonly DraftUpdate[],
    authors: readonly AuthorRecord[],
  ): Promise<{ readonly [boardId: string]: number }>
  /** Puts a snapshot in place of everything up to `throughId`. The caller must have read all of it, other processes' too. One that holds less than
   *  what is stored changes nothing. */
  compactDraft(boardId: string, snapshot: Uint8Array, throughId: number): Promise<void>

  poll(pollId: string): Promise<PollRecord | undefined>
  polls(boardId: string): Promise<readonly PollRecord[]>
  /** Open polls whose time has come. */
  duePolls(now: number): Promise<readonly { readonly pollId: string; readonly boardId: string }[]>
  /** Ids of a board's polls, in the order they were made. */
  pollIds(boardId: string): Promise<readonly string[]>
  /** What changes about a poll, and a voter's own ballot. */
  pollStanding(pollId: string, voter: string): Promise<PollStanding | undefined>
  /** One transaction for all: one ballot a voter, a later one in its place, and the tally moved with each. False where the poll is closed. */
  putBallots(given: readonly GivenBallot[]): Promise<readonly boolean[]>
  /** What the ballots add up to, as kept beside them; undefined where there is no such poll. */
  tally(pollId: string): Promise<string | undefined>
  /** Counts every ballot and holds the kept tally against it, at one moment; with `mend` the count stands from then on. */
  recount(pollId: string, mend: boolean): Promise<Recount | undefined>
  ballot(pollId: string, voter: string): Promise<BallotRecord | undefined>
  ballots(pollId: string): Promise<readonly BallotRecord[]>
}
