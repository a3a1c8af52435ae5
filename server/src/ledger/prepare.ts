/** From a request that may be given to the row it becomes: per kind, what is checked, worked out and changed beside the ledger. */
import { parseKey, type BoardState, type Issue, type LedgerEntry, type Result } from '@chartloft/shared-theory'
import {
  BOARD_LIMITS,
  foldEntry,
  slotKey,
  type CommandFields,
  type CommandKind,
  type UserCommandKind,
} from '@chartloft/shared-theory/board'
import type { Keyring } from '../access/secret.js'
import { randomId } from '../access/secret.js'
import { Refusal } from '../errors.js'
import { LIMITS } from '../limits.js'
import type { Effect, LiveSession, Store } from '../store/store.js'
import type { RunJob } from '../workers/pool.js'
import type { Ledger } from './ledger.js'
import { type Requested, sentenceOf } from './requests.js'

export interface PrepareServices {
  readonly store: Store
  readonly keyring: Keyring
  readonly run: RunJob
  readonly now: () => number
}
export interface Prepared {
  readonly fields: object
  readonly effects?: readonly Effect[]
  /** What the answer says besides `seq`; never a token. */
  readonly answer?: { readonly [name: string]: string | number }
}
interface Given {
  readonly ledger: Ledger
  readonly session: LiveSession
  readonly services: PrepareServices
}
type Prepare<K extends UserCommandKind> = (request: Requested<K>, given: Given) => Promise<Prepared> | Prepared

export const PREPARE: { readonly [K in UserCommandKind]: Prepare<K> } = {
  async lock({ slot, option, why }, { ledger, services }) {
    if (option.kind !== slot.decision)
      refuseOne('option/kind', `a ${option.kind} option cannot answer the ${slot.decision} decision`)
    if (!isLocked(ledger.state, slot) && ledger.state.locks.length >= BOARD_LIMITS.locks)
      refuseOne('slot', `at most ${BOARD_LIMITS.locks} choices can be locked`)
    const { bars, tuneHash } = valid(await services.run('checkLock', ledger.state, slot, option))
    return {
      fields: { slot, option, bars, tuneHash, ...(why === undefined ? {} : { why }) } satisfies CommandFields['lock'],
    }
  },
  unlock({ slot, reason }, { ledger }) {
    const text = typeof reason === 'string' ? reason.trim() : ''
    if (text === '' || text.length > BOARD_LIMITS.reason)
      refuseOne('reason', `unlocking takes a reason of 1 to ${BOARD_LIMITS.reason} characters`)
    if (!isLocked(ledger.state, slot)) throw new Refusal('conflict', 'Nothing is locked there.')
    return { fields: { slot, reason: text } satisfies CommandFields['unlock'] }
  },
  async openPoll(request, { ledger, services }) {
    const { question, method, options, slot, audience, closesAt, tally, byRole } = request
    if (new Set(options.map((option) => option.id)).size !== options.length)
      refuseOne('options', 'two options have the same id')
    for (const [index, { option }] of options.entries()) {
      if (slot && option && option.kind !== slot.decision)
        refuseOne(`options/${index}/option/kind`, `a ${option.kind} option cannot answer the ${slot.decision} decision`)
    }
    if (closesAt !== undefined && closesAt <= services.now()) refuseOne('closesAt', 'the closing time is past')
    if (ledger.state.polls.length >= LIMITS.pollsPerBoard)
      refuseOne('', `at most ${LIMITS.pollsPerBoard} polls fit one board`)
    const choices = options.map(({ id, title, option }) => ({ id, title, ...(option ? { option } : {}) }))
    const excerpts = valid(await services.run('pollExcerpts', ledger.state, slot, choices))
    const pollId = randomId()
    const fields: CommandFields['openPoll'] = {
      pollId,
      question,
      method,
      options: choices,
      ...(slot ? { slot } : {}),
      audience,
      ...(closesAt === undefined ? {} : { closesAt }),
      tally,
      ...(byRole ? { byRole } : {}),
    }
    const shown = choices.map(({ id, title, option }) => ({
      id,
      title,
      ...(option ? { summary: option.summary } : {}),
      ...excerpts.find((excerpt) => excerpt.id === id),
    }))
    const poll = {
      pollId,
      boardId: ledger.boardId,
      question,
      method,
      audience,
      tallyRule: tally,
      byRole: byRole === true,
      ...(closesAt === undefined ? {} : { closesAt }),
      open: true,
      options: JSON.stringify(shown),
    }
    return { fields, effects: [{ kind: 'addPoll', poll }], answer: { pollId } }
  },
  closePoll({ pollId }, { ledger }) {
    const poll = ledger.state.polls.find((known) => known.pollId === pollId)
    if (!poll) throw new Refusal('not_found', 'There is no such poll on this board.')
    if (!poll.open) throw new Refusal('closed', 'This poll is closed already.')
    return { fields: { pollId }, effects: [{ kind: 'closePoll', pollId }] }
  },
  setLineup: ({ lineup }, given) => checked('setLineup', { lineup }, given),
  setRoadmap({ roadmap }, given) {
    const known = new Set(given.ledger.state.tune?.sections.map((section) => section.id))
    const stranger = roadmap.flatMap((pass, index) =>
      pass.sections.filter((id) => !known.has(id)).map((id) => ({ id, index })),
    )[0]
    if (given.ledger.state.tune && stranger)
      refuseOne(`roadmap/${stranger.index}/sections`, `the tune has no section '${stranger.id}'`)
    return checked('setRoadmap', { roadmap }, given)
  },
  nameVersion: ({ name }) => ({ fields: { name } }),
  restoreVersion({ toSeq }, { ledger }) {
    if (toSeq >= ledger.state.seq) refuseOne('toSeq', 'only an earlier state can be restored')
    return { fields: { toSeq } }
  },
  issueLink({ role, label, expiresAt, personal }, { ledger, services }) {
    if (expiresAt !== undefined && expiresAt <= services.now()) refuseOne('expiresAt', 'that time is past')
    if (ledger.state.links.length >= LIMITS.linksPerBoard)
      refuseOne('', `at most ${LIMITS.linksPerBoard} links fit one board`)
    const linkId = randomId()
    const shown = {
      linkId,
      role,
      ...(label === undefined ? {} : { label }),
      ...(expiresAt === undefined ? {} : { expiresAt }),
    }
    const link = {
      ...shown,
      boardId: ledger.boardId,
      tokenHash: services.keyring.tokenHash(services.keyring.linkToken(linkId)),
      personal: personal === true,
      revoked: false,
    }
    return {
      fields: { ...shown, ...(personal ? { personal: true as const } : {}) },
      effects: [{ kind: 'addLink', link }],
      answer: { linkId },
    }
  },
  async revokeLink({ linkId }, { ledger, services }) {
    const links = await services.store.links(ledger.boardId)
    const link = links.find((known) => known.linkId === linkId)
    if (!link) throw new Refusal('not_found', 'There is no such link on this board.')
    if (link.revoked) throw new Refusal('conflict', 'This link is revoked already.')
    const isLive = (other: typeof link) =>
      !other.revoked && (other.expiresAt === undefined || other.expiresAt > services.now())
    const leaders = links.filter((other) => other.role === 'leader' && other.linkId !== linkId && isLive(other))
    if (link.role === 'leader' && leaders.length === 0)
      throw new Refusal('conflict', 'This is the last leader link; make another before revoking it.')
    return { fields: { linkId }, effects: [{ kind: 'revokeLink', linkId }] }
  },
  setRights: ({ rights }) => ({ fields: { rights } }),
  async setTune({ format, data, encoding }, { ledger, services }) {
    const content = encoding === 'base64' ? new Uint8Array(Buffer.from(data, 'base64')) : data
    const { tune, lineup, roadmap } = valid(await services.run('newTune', format, content))
    const sections = new Set(tune.sections.map((section) => section.id))
    const { state } = ledger
    const fits =
      state.roadmap.length > 0 && state.roadmap.every((pass) => pass.sections.every((id) => sections.has(id)))
    const fields: CommandFields['setTune'] = {
      format,
      tune,
      ...(state.lineup.length > 0 ? {} : { lineup }),
      ...(fits ? {} : { roadmap }),
    }
    return { fields }
  },
  setKey: ({ key }, given) => checked('setKey', key !== undefined && parseKey(key) ? { key } : {}, given),
  setEdits: ({ edits }, given) => checked('setEdits', { edits }, given),
  openPlace({ slot }, { ledger }) {
    if (isLocked(ledger.state, slot)) throw new Refusal('conflict', 'A choice is locked there; unlock it first.')
    if (ledger.state.places.length >= BOARD_LIMITS.places)
      refuseOne('slot', `at most ${BOARD_LIMITS.places} places can be open`)
    return { fields: { slot } }
  },
  closePlace: ({ slot }) => ({ fields: { slot } }),
  markPrinted(_request, { ledger }) {
    const version = ledger.state.printed.length + 1
    return { fields: { version }, answer: { version } }
  },
}

/** A change of the plan's frame: refused where what is locked no longer compiles under it. */
async function checked<K extends CommandKind>(
  kind: K,
  fields: CommandFields[K],
  { ledger, services }: Given,
): Promise<Prepared> {
  const command: LedgerEntry['command'] = { ...fields, commandId: 'preview-only', kind }
  const entry = {
    seq: ledger.state.seq + 1,
    at: 0,
    by: { userId: 'server', name: '', role: 'server' as const },
    command,
  }
  valid(
    await services.run(
      'checkState',
      ledger.state,
      foldEntry(ledger.state, entry, () => undefined),
    ),
  )
  return { fields }
}

function valid<T>(result: Result<T>): T {
  if (result.ok) return result.value
  throw new Refusal('invalid', sentenceOf(result.issues), result.issues)
}

function refuseOne(path: string, message: string): never {
  const found: Issue = { code: 'BD1', severity: 'error', path, message }
  throw new Refusal('invalid', sentenceOf([found]), [found])
}

function isLocked(state: BoardState, slot: Parameters<typeof slotKey>[0]): boolean {
  return state.locks.some((lock) => slotKey(lock.slot) === slotKey(slot))
}
