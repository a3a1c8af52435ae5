/** The HTTP calls of the contract, by resource: who may, what is read, what is answered. */
import type { IncomingMessage } from 'node:http'
import { BOARD_LIMITS } from '@chartloft/shared-theory/board'
import { z } from 'zod'
import { coolingDown } from '../access/cool-down.js'
import { addressOf } from '../access/origin.js'
import { Buckets } from '../access/rate.js'
import { createBoard, importBoard } from '../boards/boards.js'
import { writeBoardFile } from '../boards/board-file.js'
import { Refusal } from '../errors.js'
import { parseOrRefuse } from '../ledger/requests.js'
import { LIMITS } from '../limits.js'
import { ownTurn } from '../rooms/turns.js'
import type { Services } from '../services.js'
import { type OpenedPoll, requireSight } from '../polls/polls.js'
import type { LiveSession } from '../store/store.js'
import { readBytes, readJson, sendJson, sendJsonText } from './body.js'
import { sendOptions } from './options.js'
import type { Exchange, Route } from './router.js'

const SessionRequest = z.object({
  token: z.string().max(200),
  name: z.string().max(200).optional(),
  withState: z.boolean().optional(),
})
const BallotRequest = z.object({ ballotId: z.string().min(1).max(BOARD_LIMITS.id), choices: z.unknown() })
const DeleteRequest = z.object({ title: z.string() })

export function apiRoutes(services: Services): readonly Route[] {
  const { config, store, sessions, now } = services
  const boardsPace = new Buckets(config.boardsPerMinute / 60, config.boardsPerMinute, LIMITS.addressesRemembered)
  const sessionsPace = new Buckets(config.sessionsPerMinute / 60, config.sessionsPerMinute, LIMITS.addressesRemembered)

  const exportsPace = new Buckets(LIMITS.exportsPerMinute / 60, LIMITS.exportsBurst, LIMITS.addressesRemembered)

  const sessionOf = async (exchange: Exchange, boardId: string): Promise<LiveSession> => {
    const session = await sessions.find(boardId, exchange.request.headers.cookie, now())
    if (session) return session
    if (!(await store.board(boardId))) throw new Refusal('not_found', 'There is no such board.')
    throw new Refusal('no_session', 'Open this board with its link first.')
  }
  const bandOf = async (exchange: Exchange): Promise<LiveSession> => {
    const session = await sessionOf(exchange, param(exchange, 'id'))
    if (session.role === 'listener') throw new Refusal('forbidden', 'Listeners see polls only.')
    return session
  }
  const leaderOf = async (exchange: Exchange): Promise<LiveSession> => {
    const session = await sessionOf(exchange, param(exchange, 'id'))
    if (session.role !== 'leader') throw new Refusal('forbidden', 'Only the leader can do that.')
    return session
  }
  const openedPoll = async (exchange: Exchange): Promise<OpenedPoll> => {
    const poll = await services.polls.find(param(exchange, 'id'))
    if (!poll) throw noPoll()
    return poll
  }
  const pollOf = async (exchange: Exchange): Promise<{ poll: OpenedPoll; session: LiveSession }> => {
    const poll = await openedPoll(exchange)
    return { poll, session: await sessionOf(exchange, poll.boardId) }
  }
  /** What a client learns about itself; asked for, and to the band only, the board as it stands too: a page shows it before its socket is open. */
  const entered = async ({ boardId, role, userId, name }: LiveSession, withState: boolean) => ({
    boardId,
    role,
    userId,
    name,
    ...(withState && role !== 'listener' ? { state: (await services.ledgers.get(boardId)).state } : {}),
  })
  const mayCreate = (exchange: Exchange): void => {
    if (!config.openBoardCreation) throw new Refusal('forbidden', 'New boards cannot be made here.')
    if (!boardsPace.take(addressOf(exchange.request, config.trustProxy), now()))
      throw new Refusal('too_fast', 'Too many new boards; wait a minute.')
  }

  /** Where an address cools down, only those who were here before come in: nobody gets round a wait with a new session. */
  const mayEnter = (request: IncomingMessage): void => {
    const address = addressOf(request, config.trustProxy)
    const waitMs = services.coolDown.waitOf(address, undefined, services.clock())
    if (waitMs === 0) return
    services.metrics.refused('cooling_down')
    throw new Refusal('too_fast', coolingDown(waitMs))
  }

  /** Read in another thread: megabytes of JSON would keep every room waiting. */
  const boardFileOf = async ({ request }: Exchange): Promise<unknown> => {
    const bytes = await readBytes(request, LIMITS.importBytes)
    const read = await services.run('readBoardFile', bytes, config.maxLedgerRows)
    if (read.ok) return read.value
    throw new Refusal(read.code, read.message, read.issues)
  }

  return [
    {
      method: 'POST',
      pattern: '/api/boards',
      async handle(exchange) {
        mayCreate(exchange)
        sendJson(exchange.response, 201, await createBoard(services, await readJson(exchange.request)))
      },
    },
    {
      method: 'POST',
      pattern: '/api/boards/import',
      async handle(exchange) {
        mayCreate(exchange)
        sendJson(exchange.response, 201, await importBoard(services, await boardFileOf(exchange), false))
      },
    },
    {
      method: 'POST',
      pattern: '/api/session',
      async handle({ request, response }) {
        if (!sessionsPace.take(addressOf(request, config.trustProxy), now()))
          throw new Refusal('too_fast', 'Too many sessions; wait a minute.')
        mayEnter(request)
        const { token, name, withState } = parseOrRefuse(SessionRequest, await readJson(request))
        const { session, cookie } = await sessions.open(token, name, request.headers.cookie, now())
        sendJson(response, 200, await entered(session, withState === true), { 'set-cookie': cookie })
      },
    },
    {
      method: 'GET',
      pattern: '/api/session',
      async handle({ request, response, url }) {
        const boardId = url.searchParams.get('board') ?? ''
        if (!/^[A-Za-z0-9_-]{1,64}$/.test(boardId)) throw new Refusal('bad_request', 'Say which board: ?board=<id>.')
        const session = await sessions.find(boardId, request.headers.cookie, now())
        if (!session) throw new Refusal('no_session', 'Open this board with its link first.')
        sendJson(response, 200, await entered(session, url.searchParams.has('state')))
      },
    },
    {
      method: 'POST',
      pattern: '/api/boards/:id/commands',
      async handle(exchange) {
        const { request, response } = exchange
        const session = await sessionOf(exchange, param(exchange, 'id'))
        if (session.role === 'listener') throw new Refusal('forbidden', 'Listeners see polls only.')
        const again = () => sessions.find(session.boardId, request.headers.cookie, now())
        sendJson(response, 200, await services.commands.give(session, await readJson(request), again))
      },
    },
    {
      method: 'GET',
      pattern: '/api/boards/:id/ledger',
      async handle(exchange) {
        const { boardId } = await bandOf(exchange)
        const after = exchange.url.searchParams.get('after') ?? '0'
        if (!/^\d{1,12}$/.test(after)) throw new Refusal('bad_request', 'after= takes the seq you have.')
        const entries = await store.entries(boardId, Number(after), LIMITS.ledgerPage)
        const seq = (await store.board(boardId))?.seq ?? 0
        const isMore = (entries.at(-1)?.seq ?? seq) < seq
        sendJson(exchange.response, 200, { entries, seq, ...(isMore ? { more: true } : {}) })
      },
    },
    {
      method: 'GET',
      pattern: '/api/boards/:id/polls',
      async handle(exchange) {
        const session = await sessionOf(exchange, param(exchange, 'id'))
        sendJson(exchange.response, 200, { polls: await services.polls.list(session) })
      },
    },
    {
      method: 'GET',
      pattern: '/api/boards/:id/export',
      async handle(exchange) {
        const { boardId, userId } = await leaderOf(exchange)
        if (!exportsPace.take(userId, now())) throw new Refusal('too_fast', 'Too many exports; wait a minute.')
        await ownTurn()
        const file = await writeBoardFile(store, boardId, await services.rooms.exportDraft(boardId, store), now())
        if (!file) throw new Refusal('not_found', 'There is no such board.')
        sendJson(exchange.response, 200, file, {
          'content-disposition': `attachment; filename="chartloft-${boardId}.json"`,
        })
      },
    },
    {
      method: 'DELETE',
      pattern: '/api/boards/:id',
      async handle(exchange) {
        const { boardId } = await leaderOf(exchange)
        const { title } = parseOrRefuse(DeleteRequest, await readJson(exchange.request))
        const board = await store.board(boardId)
        if (!board) throw new Refusal('not_found', 'There is no such board.')
        if (title.trim() !== board.title) throw new Refusal('invalid', 'Type the board’s title exactly to delete it.')
        await services.deleteBoard(boardId)
        sendJson(exchange.response, 200, { boardId })
      },
    },
    {
      method: 'GET',
      pattern: '/api/polls/:id',
      async handle(exchange) {
        const { poll, session } = await pollOf(exchange)
        const shown = await services.polls.show(poll, session)
        if (!shown) throw noPoll()
        // With the options as they are kept: large, and read by nobody here.
        sendJsonText(exchange.response, 200, `${JSON.stringify(shown).slice(0, -1)},"options":${poll.page.options}}`)
      },
    },
    {
      method: 'GET',
      pattern: '/api/polls/:id/state',
      async handle(exchange) {
        const { poll, session } = await pollOf(exchange)
        const shown = await services.polls.show(poll, session)
        if (!shown) throw noPoll()
        sendJson(exchange.response, 200, shown)
      },
    },
    {
      method: 'GET',
      pattern: '/api/polls/:id/options/:hash',
      async handle(exchange) {
        const poll = await openedPoll(exchange)
        const isForAll = poll.audience === 'everyone'
        if (!isForAll) requireSight(poll, await sessionOf(exchange, poll.boardId))
        if (param(exchange, 'hash') !== poll.page.hash) throw new Refusal('not_found', 'These are not its options.')
        await sendOptions(exchange, poll.page, isForAll)
      },
    },
    {
      method: 'POST',
      pattern: '/api/polls/:id/ballots',
      async handle(exchange) {
        const { poll, session } = await pollOf(exchange)
        const { ballotId, choices } = parseOrRefuse(BallotRequest, await readJson(exchange.request))
        if (!services.ballotPace.take(session.userId, now()))
          throw new Refusal('too_fast', 'Too many ballots; wait a moment.')
        await services.polls.vote(poll, session, ballotId, choices)
        services.metrics.voted()
        sendJson(exchange.response, 200, { ballotId })
      },
    },
  ]
}

const noPoll = (): Refusal => new Refusal('not_found', 'There is no such poll.')

const param = ({ params }: Exchange, name: string): string => params[name] ?? ''
