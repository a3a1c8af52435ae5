/** Boards come and go: made new, made from a board file, deleted whole. */
import { hashOf, type LedgerEntry, type Tune } from '@chartloft/shared-theory'
import { BOARD_LIMITS, ROLES, type CommandFields, type Role } from '@chartloft/shared-theory/board'
import { z } from 'zod'
import type { Keyring } from '../access/secret.js'
import { randomId } from '../access/secret.js'
import { Refusal } from '../errors.js'
import { linkPath } from '../ledger/commands.js'
import { parseOrRefuse, sentenceOf } from '../ledger/requests.js'
import { validRows } from '../ledger/valid-rows.js'
import type { Accepted, Effect, PollRecord, Store } from '../store/store.js'
import type { TuneFormat } from '../workers/jobs.js'
import type { RunJob } from '../workers/pool.js'
import { BoardFileShape } from './board-file.js'

export interface BoardServices {
  readonly store: Store
  readonly keyring: Keyring
  readonly run: RunJob
  readonly now: () => number
  readonly maxBoards: number
}
export interface NewBoard {
  readonly boardId: string
  readonly links: { readonly [role in Role]: string }
}

export const CreateRequest = z.object({
  title: z.string().trim().min(1).max(BOARD_LIMITS.title),
  tune: z
    .object({
      format: z.enum(['abc', 'musicxml', 'midi', 'tune']),
      data: z.string(),
      encoding: z.enum(['utf8', 'base64']).optional(),
    })
    .optional(),
})

/** A new board with its three links; a tune that does not read is 422 with its issues. */
export async function createBoard(services: BoardServices, body: unknown): Promise<NewBoard> {
  const { title, tune } = parseOrRefuse(CreateRequest, body)
  return createBoardWith(services, title, tune && (await readTuneFile(services, tune)))
}

/** The same from what the caller has read already; `rights` of the tune become the board's. */
export async function createBoardWith(
  services: BoardServices,
  title: string,
  music: Pick<CommandFields['createBoard'], 'tune' | 'lineup' | 'roadmap'> = {},
): Promise<NewBoard> {
  await requireRoom(services)
  const boardId = randomId()
  const { links, effects, answer } = newLinks(services, boardId)
  const fields: CommandFields['createBoard'] = { title, ...music, links }
  await services.store.createBoard(
    { boardId, title, createdAt: services.now() },
    [serverRow(1, services.now(), 'createBoard', fields)],
    effects,
  )
  return answer
}

async function readTuneFile(
  { run }: BoardServices,
  file: { format: TuneFormat; data: string; encoding?: 'utf8' | 'base64' | undefined },
): Promise<{
  tune: Tune
  lineup: CommandFields['createBoard']['lineup'] & object
  roadmap: CommandFields['createBoard']['roadmap'] & object
}> {
  const isBase64 = file.encoding === 'base64' || (file.encoding === undefined && file.format === 'midi')
  const read = await run(
    'newTune',
    file.format,
    isBase64 ? new Uint8Array(Buffer.from(file.data, 'base64')) : file.data,
  )
  if (!read.ok) throw new Refusal('invalid', `This tune cannot be read: ${sentenceOf(read.issues)}`, read.issues)
  const { tune, lineup, roadmap } = read.value
  return { tune, lineup, roadmap }
}

/**
 * A board from a board file: every row replayed and checked, its links ended and new ones made, its polls closed with the tallies they came with.
 * `keepId` keeps the file's id where it is free (on the server's own machine only).
 */
export async function importBoard(services: BoardServices, body: unknown, keepId: boolean): Promise<NewBoard> {
  await requireRoom(services)
  const file = parseOrRefuse(BoardFileShape, body)
  const rows = await withFreePollIds(services, file.ledger)
  const shape = validRows(rows)
  if (shape.length > 0) throw new Refusal('invalid', `This board file does not read: ${sentenceOf(shape)}`, shape)
  const draft = new Uint8Array(Buffer.from(file.draft, 'base64'))
  const checked = await services.run('checkBoardFile', rows, draft)
  if (!checked.ok)
    throw new Refusal('invalid', `This board file does not read: ${sentenceOf(checked.issues)}`, checked.issues)
  const isFree = keepId && !(await services.store.board(file.boardId))
  const boardId = isFree ? file.boardId : randomId()
  const { links, effects, answer } = newLinks(services, boardId)
  const fields: CommandFields['importBoard'] = { from: file.boardId, links }
  const accepted = rows.map((entry): Accepted => ({
    entry,
    requestHash: hashOf(entry.command),
    answer: JSON.stringify({ seq: entry.seq }),
  }))
  const last = serverRow(rows.length + 1, services.now(), 'importBoard', fields)
  const drafted: readonly Effect[] = draft.length > 2 ? [{ kind: 'setDraft', boardId, bytes: draft }] : []
  const polls = pollsOf(rows, file.polls, boardId)
  const title = checked.value.state.title || file.title
  await services.store.createBoard(
    { boardId, title, createdAt: services.now() },
    [...accepted, last],
    [...effects, ...drafted, ...polls.map((poll) => ({ kind: 'addPoll', poll }) as const)],
  )
  return answer
}

/** Poll ids name polls on the whole server: where one is taken, the row gets another. */
async function withFreePollIds(
  { store }: BoardServices,
  rows: readonly LedgerEntry[],
): Promise<readonly LedgerEntry[]> {
  const renamed = new Map<unknown, string>()
  for (const { command } of rows) {
    const { pollId } = command
    if (command.kind === 'openPoll' && typeof pollId === 'string' && (await store.poll(pollId)))
      renamed.set(pollId, randomId())
  }
  return rows.map((entry) => {
    const pollId = renamed.get(entry.command['pollId'])
    return pollId === undefined
      ? entry
      : { ...entry, command: { ...entry.command, pollId, cameAs: entry.command['pollId'] } }
  })
}

function pollsOf(
  rows: readonly LedgerEntry[],
  tallies: readonly { pollId: string; tally?: unknown }[],
  boardId: string,
): readonly PollRecord[] {
  return rows.flatMap(({ command }) => {
    if (command.kind !== 'openPoll') return []
    const poll = command as unknown as CommandFields['openPoll']
    const pollIds: readonly unknown[] = [poll.pollId, command['cameAs']]
    const tally = tallies.find((known) => pollIds.includes(known.pollId))?.tally ?? {
      voters: 0,
      counts: {},
      counted: 'browsers, not people',
    }
    return [
      {
        pollId: poll.pollId,
        boardId,
        question: poll.question,
        method: poll.method,
        audience: poll.audience,
        tallyRule: poll.tally,
        byRole: poll.byRole === true,
        open: false,
        options: JSON.stringify(poll.options.map(({ id, title }) => ({ id, title }))),
        broughtTally: JSON.stringify(tally),
      },
    ]
  })
}

function newLinks(
  { keyring }: BoardServices,
  boardId: string,
): { links: CommandFields['createBoard']['links']; effects: readonly Effect[]; answer: NewBoard } {
  const links = ROLES.map((role) => ({ linkId: randomId(), role }))
  const path = (role: Role) =>
    linkPath(boardId, keyring.linkToken(links.find((link) => link.role === role)?.linkId ?? ''))
  return {
    links,
    effects: links.map(({ linkId, role }) => ({
      kind: 'addLink',
      link: {
        linkId,
        boardId,
        role,
        tokenHash: keyring.tokenHash(keyring.linkToken(linkId)),
        personal: false,
        revoked: false,
      },
    })),
    answer: { boardId, links: { leader: path('leader'), member: path('member'), listener: path('listener') } },
  }
}

function serverRow(seq: number, at: number, kind: 'createBoard' | 'importBoard', fields: object): Accepted {
  const command = { commandId: randomId(), kind, ...fields }
  const entry: LedgerEntry = { seq, at, by: { userId: 'server', name: 'Server', role: 'server' }, command }
  return { entry, requestHash: hashOf(command), answer: JSON.stringify({ seq }) }
}

async function requireRoom({ store, maxBoards }: BoardServices): Promise<void> {
  if ((await store.countBoards()) >= maxBoards)
    throw new Refusal('unavailable', 'This server holds as many boards as it may.')
}
