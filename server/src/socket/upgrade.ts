/** The socket door: who may come in is decided before the upgrade; what comes in then goes to the room frame by frame. */
import type { IncomingMessage, Server } from 'node:http'
import type { Duplex } from 'node:stream'
import { CLOSE } from '@chartloft/shared-theory/board'
import { WebSocketServer, type WebSocket } from 'ws'
import { coolingDown } from '../access/cool-down.js'
import { addressOf, isOwnOrigin } from '../access/origin.js'
import { messageOf } from '../errors.js'
import { LIMITS } from '../limits.js'
import type { Services } from '../services.js'
import type { LiveSession } from '../store/store.js'
import { Peer } from './peer.js'
import { takeSmallFrames } from './small-frames.js'

/** Close codes that say a client did what no client of ours does. */
const ABUSES: ReadonlySet<number> = new Set([CLOSE.badMessage, CLOSE.tooLarge, CLOSE.tooFast])

const PATH = /^\/ws\/([A-Za-z0-9_-]{1,64})$/
const STATUS: { readonly [status: number]: string } = {
  401: 'Unauthorized',
  403: 'Forbidden',
  404: 'Not Found',
  429: 'Too Many Requests',
  503: 'Service Unavailable',
}

/** `peers` is kept as sockets come and go. */
export function attachSockets(server: Server, services: Services, peers: Set<Peer>): void {
  const sockets = new WebSocketServer({
    noServer: true,
    maxPayload: LIMITS.frameBytes,
    perMessageDeflate: false,
    clientTracking: false,
  })
  const perAddress = new Map<string, number>()
  let count = 0

  server.on('upgrade', (request, socket, head) => {
    const onError = () => socket.destroy()
    socket.on('error', onError)
    const address = addressOf(request, services.config.trustProxy)
    const refuse = (status: number, reason = `upgrade_${status}`, message = '') => {
      services.metrics.refused(reason)
      refuseUpgrade(socket, status, message)
    }
    if (services.isDraining() || count >= services.config.maxSockets) return refuse(503)
    if ((perAddress.get(address) ?? 0) >= services.config.maxSocketsPerAddress) return refuse(429)
    // The place is taken before the session is looked up: a thousand at once would otherwise all find it free.
    count += 1
    perAddress.set(address, (perAddress.get(address) ?? 0) + 1)
    socket.once('close', () => {
      count -= 1
      const left = (perAddress.get(address) ?? 1) - 1
      if (left > 0) perAddress.set(address, left)
      else perAddress.delete(address)
    })
    void admit(services, request)
      .then((admission) => {
        if (socket.destroyed) return
        if (typeof admission === 'number') return refuse(admission)
        const waitMs = services.coolDown.waitOf(address, admission.sessionHash, services.clock())
        if (waitMs > 0) return refuse(429, 'cooling_down', coolingDown(waitMs))
        sockets.handleUpgrade(request, socket, head, (webSocket) => {
          socket.off('error', onError)
          void welcome(services, admission, address, webSocket, socket, peers)
        })
      })
      .catch((error: unknown) => {
        services.log.error({ reason: messageOf(error) }, 'upgrade failed')
        refuseUpgrade(socket, 503)
      })
  })
}

/** A session that may come in, or the HTTP status that says why not. */
async function admit(services: Services, request: IncomingMessage): Promise<LiveSession | number> {
  const { config } = services
  const boardId = PATH.exec((request.url ?? '').split('?')[0] ?? '')?.[1]
  if (boardId === undefined) return 404
  if (!isOwnOrigin(request, config.publicUrl)) return 403
  const session = await services.sessions.find(boardId, request.headers.cookie, services.now())
  if (!session) return (await services.store.board(boardId)) ? 401 : 404
  return session.role === 'listener' ? 403 : session
}

function refuseUpgrade(socket: Duplex, status: number, message = ''): void {
  const body = message === '' ? '' : JSON.stringify({ error: { code: 'too_fast', message } })
  const type = body === '' ? '' : 'Content-Type: application/json\r\n'
  socket.end(
    `HTTP/1.1 ${status} ${STATUS[status] ?? 'Refused'}\r\nConnection: close\r\n${type}Content-Length: ${body.length}\r\n\r\n${body}`,
  )
}

async function welcome(
  services: Services,
  session: LiveSession,
  address: string,
  socket: WebSocket,
  wire: Duplex,
  peers: Set<Peer>,
): Promise<void> {
  socket.binaryType = 'nodebuffer'
  const { boardId } = session
  const peer = new Peer(
    session,
    socket,
    wire,
    {
      caughtUp: (late) => void services.rooms.find(boardId)?.refresh(late).catch(services.diskFailed),
      refused: services.metrics.refused,
      acknowledged: services.metrics.acknowledged,
      closed: (code) => {
        services.metrics.closed(code)
        if (ABUSES.has(code)) services.coolDown.strike(address, session.sessionHash, services.clock())
      },
    },
    services.config.socketMessagesPerSecond,
    services.clock(),
  )
  sayTooLarge(socket, peer)
  socket.on('error', (error) => services.metrics.refused((error as { code?: string }).code ?? 'socket'))
  peers.add(peer)
  socket.once('close', () => peers.delete(peer))
  // Frames that come while the room opens wait here.
  const early: { bytes: Buffer; at: number }[] = []
  let take: (bytes: Buffer, at: number) => void = (bytes, at) => early.push({ bytes, at })
  const hear = (bytes: Buffer, isBinary: boolean): void => {
    const at = services.clock()
    if (!peer.isOpen) return
    if (!isBinary) peer.close(CLOSE.badMessage, 'bad_message', 'Only binary messages are understood here.')
    else if (!peer.mayReceive(bytes.length, at)) peer.close(CLOSE.tooFast, 'too_fast', 'Too many messages at once.')
    else take(bytes, at)
  }
  socket.on('message', hear)
  takeSmallFrames(socket, (bytes) => hear(bytes, true))
  try {
    const ledger = await services.ledgers.get(boardId)
    let room = await services.rooms.get(boardId)
    while (services.rooms.find(boardId) !== room) room = await services.rooms.get(boardId)
    if (!peer.isOpen) return
    socket.once('close', () => room.leave(peer))
    room.enter(peer, ledger.snapshot)
    take = (bytes, at) => room.receive(peer, bytes, at)
    for (const { bytes, at } of early) take(bytes, at)
  } catch (error) {
    services.log.error({ reason: messageOf(error) }, 'room did not open')
    peer.close(CLOSE.tryLater, 'disk', 'This board cannot be opened at the moment; try again later.')
  }
}

/** The library closes an over-long message with 1009, and what is no WebSocket frame with 1002 or 1007; our clients are told our codes, after a notice like any other refusal. */
function sayTooLarge(socket: WebSocket, peer: Peer): void {
  const close = socket.close.bind(socket)
  socket.close = (code, reason) => {
    if (code === 1009) peer.close(CLOSE.tooLarge, 'too_large', 'A message may have at most one mebibyte.')
    else if (code === 1002 || code === 1007)
      peer.close(CLOSE.badMessage, 'bad_message', 'What came is no WebSocket message.')
    else close(code, reason)
  }
}
