/** The HTTP server: every request through one door that sets headers, checks where it comes from, finds its handler and turns whatever goes wrong into one error shape. */
import { createServer, type IncomingMessage, type Server, type ServerResponse } from 'node:http'
import { isFrom } from '../access/networks.js'
import { addressOf, isForeign } from '../access/origin.js'
import { Refusal, StoreError, messageOf } from '../errors.js'
import { LIMITS } from '../limits.js'
import type { Services } from '../services.js'
import { apiRoutes } from './api.js'
import { sendJson } from './body.js'
import { setSecurityHeaders } from './headers.js'
import { APP_FOLDER, servePage } from './pages.js'
import { findRoute, type Exchange, type Route } from './router.js'

export function createHttpServer(services: Services): Server {
  const routes = [...opsRoutes(services), ...apiRoutes(services)]
  const server = createServer(
    { requestTimeout: LIMITS.requestMs, headersTimeout: LIMITS.headersMs, connectionsCheckingInterval: 1000 },
    (request, response) => {
      void answer(services, routes, request, response)
    },
  )
  server.on('clientError', (error: NodeJS.ErrnoException, socket) => {
    if (error.code === 'ECONNRESET' || !socket.writable) {
      socket.destroy()
      return
    }
    const isLate = error.code === 'ERR_HTTP_REQUEST_TIMEOUT'
    services.metrics.refused(isLate ? 'timeout' : 'bad_request')
    socket.end(`HTTP/1.1 ${isLate ? '408 Request Timeout' : '400 Bad Request'}\r\nConnection: close\r\n\r\n`)
  })
  return server
}

async function answer(
  services: Services,
  routes: readonly Route[],
  request: IncomingMessage,
  response: ServerResponse,
): Promise<void> {
  try {
    setSecurityHeaders(response)
    const exchange = exchangeOf(request, response)
    const method = request.method ?? 'GET'
    const { pathname } = exchange.url
    if (!['GET', 'HEAD'].includes(method) && isForeign(request, services.config.publicUrl)) {
      throw new Refusal('forbidden', 'This request comes from another site.')
    }
    const found = findRoute(routes, method, pathname)
    if (found) await found.route.handle({ ...exchange, params: found.params })
    else if (pathname.startsWith('/api/')) throw new Refusal('not_found', 'There is no such call.')
    else if (method !== 'GET' && method !== 'HEAD') throw new Refusal('bad_request', `${method} is not possible here.`)
    else await servePage(exchange, APP_FOLDER)
  } catch (error) {
    refuse(services, request, response, error)
  }
}

function exchangeOf(request: IncomingMessage, response: ServerResponse): Exchange {
  const target = request.url ?? '/'
  if (!target.startsWith('/') || !URL.canParse(target, 'http://board.invalid'))
    throw new Refusal('bad_request', 'This address does not read.')
  const url = new URL(target.replace(/^\/+/, '/'), 'http://board.invalid')
  return { request, response, url, params: {} }
}

function refuse(services: Services, request: IncomingMessage, response: ServerResponse, error: unknown): void {
  const refusal = refusalOf(services, error)
  services.metrics.refused(refusal.code)
  if (response.headersSent) {
    response.destroy()
    return
  }
  const isUnread = !request.complete
  sendJson(
    response,
    refusal.status,
    { error: { code: refusal.code, message: refusal.message, ...(refusal.issues ? { issues: refusal.issues } : {}) } },
    isUnread ? { connection: 'close' } : {},
  )
  if (isUnread) request.resume()
}

function refusalOf({ log, diskFailed }: Services, error: unknown): Refusal {
  if (error instanceof Refusal) return error
  if (error instanceof StoreError) {
    if (error.code === 'disk') {
      diskFailed(error)
      return new Refusal('disk', 'The server cannot save at the moment; nothing was changed. Try again later.')
    }
    log.error({ code: error.code, reason: error.message }, 'store refused')
    return new Refusal('unavailable', 'The server cannot read or write this board at the moment.')
  }
  log.error({ reason: messageOf(error), stack: error instanceof Error ? error.stack : undefined }, 'request failed')
  return new Refusal('unavailable', 'Something went wrong on the server; it is noted.')
}

function opsRoutes(services: Services): readonly Route[] {
  const mayReadFigures = isFrom(services.config.metricsFrom)
  return [
    { method: 'GET', pattern: '/healthz', handle: ({ response }) => sendJson(response, 200, { ok: true }) },
    {
      method: 'GET',
      pattern: '/readyz',
      async handle({ response }) {
        const state = await services.readiness()
        sendJson(response, state === 'ready' ? 200 : 503, {
          ready: state === 'ready',
          ...(state === 'ready'
            ? {}
            : { error: { code: state === 'draining' ? 'unavailable' : 'disk', message: state } }),
        })
      },
    },
    {
      method: 'GET',
      pattern: '/metrics',
      async handle({ request, response }) {
        const address = addressOf(request, services.config.trustProxy)
        if (!mayReadFigures(address))
          throw new Refusal('forbidden', 'Figures are told on this machine, and to whom METRICS_FROM names.')
        response.writeHead(200, { 'content-type': services.metrics.contentType, 'cache-control': 'no-store' })
        response.end(await services.metrics.text())
      },
    },
  ]
}
