/** The socket door: who may come in is decided before the upgrade; what comes in then goes to the room frame by frame. */
import type { IncomingMessage, Server } from 'node:http'
import type { Duplex } from 'node:stream'
import { CLOSE } from '@chartloft/shared-theory/board'
import { WebSocketServer, type WebSocket } from 'ws'
import { addressOf, isOwnOrigin } from '../access/origin.js'
import { messageOf } from '../errors.js'
import { LIMITS } from '../limits.js'
import type { Services } from '../services.js'
import type { LiveSession } from '../store/store.js'
import { Peer } from './peer.js'

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
    void admit(services, request, () => count, perAddress)
      .then((admission) => {
        if (socket.destroyed) return
        if (typeof admission === 'number') {
          services.metrics.refused(`upgrade_${admission}`)
          refuseUpgrade(socket, admission)
          return
        }
        const address = addressOf(request, services.config.trustProxy)
        sockets.handleUpgrade(request, socket, head, (webSocket) => {
          socket.off('error', onError)
          count += 1
          perAddress.set(address, (perAddress.get(address) ?? 0) + 1)
          webSocket.once('close', () => {
            count -= 1
            const left = (perAddress.get(address) ?? 1) - 1
            if (left > 0) perAddress.set(address, left)
            else perAddress.delete(address)
          })
          void welcome(services, admission, webSocket, socket, peers)
        })
      })
      .catch((error: unknown) => {
        services.log.error({ reason: messageOf(error) }, 'upgrade failed')
        refuseUpgrade(socket, 503)
      })
  })
}

/** A session that may come in, or the HTTP status that says why not. */
async function admit(
  services: Services,
  request: IncomingMessage,
  count: () => number,
  perAddress: ReadonlyMap<string, number>,
): Promise<LiveSession | number> {
  const { config } = services
  if (services.isDraining() || count() >= config.maxSockets) return 503
  if ((perAddress.get(addressOf(request, config.trustProxy)) ?? 0) >= config.maxSocketsPerAddress) return 429
  const boardId = PATH.exec((request.url ?? '').split('?')[0] ?? '')?.[1]
  if (boardId === undefined) return 404
  if (!isOwnOrigin(request, config.publicUrl)) return 403
  const session = await services.sessions.find(boardId, request.headers.cookie, services.now())
  if (!session) return (await services.store.board(boardId)) ? 401 : 404
  return session.role === 'listener' ? 403 : session
}

function refuseUpgrade(socket: Duplex, status: number): void {
  socket.end(`HTTP/1.1 ${status} ${STATUS[status] ?? 'Refused'}\r\nConnection: close\r\nContent-Length: 0\r\n\r\n`)
}

async function welcome(
  services: Services,
  session: LiveSession,
  socket: WebSocket,
  wire: Duplex,
  peers: Set<Peer>,
): Promise<void> {
  socket.binaryType = 'nodebuffer'
  sayTooLarge(socket)
  const { boardId } = session
  const peer = new Peer(
    session,
    socket,
    wire,
    {
      caughtUp: (late) => void services.rooms.find(boardId)?.refresh(late).catch(services.diskFailed),
      refused: services.metrics.refused,
    },
    services.config.socketMessagesPerSecond,
    services.clock(),
  )
  socket.on('error', (error) => services.metrics.refused((error as { code?: string }).code ?? 'socket'))
  peers.add(peer)
  socket.once('close', () => peers.delete(peer))
  // Frames that come while the room opens wait here.
  const early: { bytes: Buffer; at: number }[] = []
  let take: (bytes: Buffer, at: number) => void = (bytes, at) => early.push({ bytes, at })
  socket.on('message', (bytes: Buffer, isBinary) => {
    const at = services.clock()
    if (!peer.isOpen) return
    if (!isBinary) peer.close(CLOSE.badMessage, 'bad_message', 'Only binary messages are understood here.')
    else if (!peer.mayReceive(bytes.length, at)) peer.close(CLOSE.tooFast, 'too_fast', 'Too many messages at once.')
    else take(bytes, at)
  })
  try {
    const ledger = await services.ledgers.get(boardId)
    let room = await services.rooms.get(boardId)
    while (services.rooms.find(boardId) !== room) room = await services.rooms.get(boardId)
    if (!peer.isOpen) return
    socket.once('close', () => room.leave(peer))
    room.enter(peer, ledger.snapshot)
    take = (bytes, at) => void room.receive(peer, bytes, at)
    for (const { bytes, at } of early) take(bytes, at)
  } catch (error) {
    services.log.error({ reason: messageOf(error) }, 'room did not open')
    peer.close(CLOSE.tryLater, 'disk', 'This board cannot be opened at the moment; try again later.')
  }
}

/** The library closes an over-long message with 1009; our clients are told 4413, after a notice like any other refusal. */
function sayTooLarge(socket: WebSocket): void {
  const close = socket.close.bind(socket)
  socket.close = (code, reason) => (code === 1009 ? close(CLOSE.tooLarge, 'too_large') : close(code, reason))
}
