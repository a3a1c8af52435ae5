/** Commands: permission, freshness, music, one transaction, everybody told, then the answer. In that order, one at a time a board. */
import type { LedgerEntry } from '@chartloft/shared-theory'
import { BOARD_LIMITS, NEEDS_BASE, isStale, mayCommand, type UserCommandKind } from '@chartloft/shared-theory/board'
import { Buckets } from '../access/rate.js'
import { randomId } from '../access/secret.js'
import { Refusal, StoreError } from '../errors.js'
import { LIMITS } from '../limits.js'
import type { LiveSession } from '../store/store.js'
import type { Ledger, Ledgers } from './ledger.js'
import { PREPARE, type PrepareServices, type Prepared } from './prepare.js'
import { REQUESTS, parseOrRefuse, readEnvelope, type Envelope } from './requests.js'

export interface CommandServices extends PrepareServices {
  readonly ledgers: Ledgers
  readonly maxLedgerRows: number
  /** Whether other processes may write to the same store: then each command looks there first. */
  readonly isShared?: boolean
  /** What became of a command: `accepted`, `repeated`, or the code it was refused with. */
  readonly commanded?: (kind: string, outcome: string) => void
  /** A row another process has written is known here now. */
  readonly heard?: (boardId: string, entry: LedgerEntry) => void
  /** Tells everybody on the board; also closes what a revocation ends. */
  readonly accepted: (boardId: string, entry: LedgerEntry) => void
}
export interface CommandAnswer {
  readonly seq: number
  readonly [name: string]: string | number
}

const HOUR = 3_600_000
/** Times a command is tried when another process writes to the same ledger. */
const TRIES = 5

export class Commands {
  private readonly versions = new Buckets(
    BOARD_LIMITS.versionsAnHour / (HOUR / 1000),
    BOARD_LIMITS.versionsAnHour,
    LIMITS.addressesRemembered,
  )
  private readonly pace = new Buckets(LIMITS.commandsPerSecond, LIMITS.commandsBurst, LIMITS.addressesRemembered)

  constructor(private readonly services: CommandServices) {}

  /** Answers as 3b-B says; rejects with Refusal. `refresh` rereads the session when its turn has come, so that a revoked leader's queue ends with the revocation. */
  async give(
    session: LiveSession,
    body: unknown,
    refresh: () => Promise<LiveSession | undefined>,
  ): Promise<CommandAnswer> {
    const envelope = readEnvelope(body)
    return this.counted(envelope.kind, () => this.giveRead(session, envelope, refresh))
  }

  private async giveRead(
    session: LiveSession,
    envelope: Envelope,
    refresh: () => Promise<LiveSession | undefined>,
  ): Promise<CommandAnswer> {
    if (!mayCommand(session.role, envelope.kind))
      throw new Refusal('forbidden', `Only ${session.role === 'member' ? 'the leader' : 'the band'} can do that.`)
    if (!this.pace.take(session.userId, this.services.now()))
      throw new Refusal('too_fast', 'Too many commands; wait a moment.')
    const ledger = await this.services.ledgers.get(session.boardId)
    return ledger.inTurn(async () => {
      const live = await refresh()
      if (!live || !mayCommand(live.role, envelope.kind))
        throw new Refusal('no_session', 'This link no longer opens the board.')
      if (this.services.isShared) await this.catchUp(ledger)
      const known = await this.services.store.answerOf(ledger.boardId, envelope.commandId)
      if (known) return this.repeated(known, envelope, live)
      if (
        envelope.kind === 'nameVersion' &&
        live.role === 'member' &&
        !this.versions.take(`${ledger.boardId} ${live.userId}`, this.services.now())
      ) {
        throw new Refusal('too_fast', `At most ${BOARD_LIMITS.versionsAnHour} versions an hour can be named.`)
      }
      return this.execute(ledger, live, envelope)
    })
  }

  /** The server's own command: a poll whose time has come, a link made by whoever holds the machine. */
  async giveAsServer(boardId: string, kind: 'closePoll' | 'issueLink', fields: object): Promise<CommandAnswer> {
    const ledger = await this.services.ledgers.get(boardId)
    const commandId = randomId()
    const session: LiveSession = {
      sessionHash: '',
      boardId,
      userId: 'server',
      name: 'Server',
      role: 'leader',
      linkId: '',
      personal: false,
      createdAt: 0,
    }
    return this.counted(kind, () =>
      ledger.inTurn(async () => {
        if (this.services.isShared) await this.catchUp(ledger)
        return this.execute(ledger, session, readEnvelope({ commandId, kind, ...fields }))
      }),
    )
  }

  private async counted(kind: string, give: () => Promise<CommandAnswer>): Promise<CommandAnswer> {
    try {
      return await give()
    } catch (error) {
      const code = error instanceof Refusal || error instanceof StoreError ? error.code : 'failed'
      this.services.commanded?.(kind, code)
      throw error
    }
  }

  private async execute(ledger: Ledger, session: LiveSession, envelope: Envelope): Promise<CommandAnswer> {
    const request = parseOrRefuse(REQUESTS[envelope.kind], envelope.body)
    for (let tries = 1; ; tries++) {
      this.requireFresh(ledger, envelope, request)
      if (ledger.state.seq >= this.services.maxLedgerRows)
        throw new Refusal(
          'too_large',
          `This board’s ledger is full (${this.services.maxLedgerRows} rows); export it and start anew.`,
        )
      const prepare = PREPARE[envelope.kind] as (given: unknown, context: object) => Promise<Prepared> | Prepared
      const prepared = await prepare(request, { ledger, session, services: this.services })
      try {
        return await this.append(ledger, session, envelope, prepared)
      } catch (error) {
        if (!(error instanceof StoreError && error.code === 'behind') || tries >= TRIES) throw error
        await this.catchUp(ledger)
        // The very same command may have been given to another process at once.
        const known = await this.services.store.answerOf(ledger.boardId, envelope.commandId)
        if (known) return this.repeated(known, envelope, session)
      }
    }
  }

  private catchUp(ledger: Ledger): Promise<void> {
    const heard = this.services.heard ?? this.services.accepted
    return ledger.catchUp((entry) => heard(ledger.boardId, entry))
  }

  private async append(
    ledger: Ledger,
    session: LiveSession,
    envelope: Envelope,
    prepared: Prepared,
  ): Promise<CommandAnswer> {
    const seq = ledger.state.seq + 1
    const role = session.userId === 'server' ? 'server' : (session.role as 'leader' | 'member')
    const entry: LedgerEntry = {
      seq,
      at: this.services.now(),
      by: { userId: session.userId, name: session.name, role },
      command: { commandId: envelope.commandId, kind: envelope.kind, ...prepared.fields },
    }
    const answer: CommandAnswer = { seq, ...prepared.answer }
    await this.services.store.appendEntry(
      ledger.boardId,
      { entry, requestHash: envelope.requestHash, answer: JSON.stringify(answer) },
      prepared.effects ?? [],
    )
    this.services.commanded?.(envelope.kind, 'accepted')
    await ledger.take(entry, (taken) => this.services.accepted(ledger.boardId, taken))
    return this.withLink(ledger.boardId, envelope.kind, answer)
  }

  private requireFresh(ledger: Ledger, { kind, baseSeq }: Envelope, request: object): void {
    if (!NEEDS_BASE.has(kind)) return
    if (baseSeq === undefined)
      throw new Refusal('bad_request', `'${kind}' needs baseSeq: the ledger's seq you had seen.`)
    if (baseSeq > ledger.state.seq) throw new Refusal('stale', 'This board’s ledger is not that long; read it again.')
    if (isStale(ledger.changes, { kind, ...request }, baseSeq))
      throw new Refusal('stale', 'Somebody has changed this since you looked; look again, then decide.')
  }

  private repeated(
    known: { userId: string; requestHash: string; answer: string },
    envelope: Envelope,
    session: LiveSession,
  ): CommandAnswer {
    if (known.userId !== session.userId || known.requestHash !== envelope.requestHash) {
      throw new Refusal('conflict', 'This commandId was used for another command.')
    }
    this.services.commanded?.(envelope.kind, 'repeated')
    return this.withLink(session.boardId, envelope.kind, JSON.parse(known.answer) as CommandAnswer)
  }

  /** A link's token is derived anew each time it is told; it is stored nowhere. */
  private withLink(boardId: string, kind: UserCommandKind, answer: CommandAnswer): CommandAnswer {
    const linkId = answer['linkId']
    if (kind !== 'issueLink' || typeof linkId !== 'string') return answer
    return { ...answer, link: linkPath(boardId, this.services.keyring.linkToken(linkId)) }
  }
}

export const linkPath = (boardId: string, token: string): string => `/b/${boardId}#${token}`
