/** Whether a request comes from our own pages: the Origin rule for upgrades and for everything that changes something. */
import type { IncomingMessage } from 'node:http'

/** The origins a request may name: PUBLIC_URL's, or whatever host it was sent to where none is set. */
export function isOwnOrigin(request: IncomingMessage, publicUrl: string | undefined): boolean {
  const { origin, host } = request.headers
  if (origin === undefined) return false
  if (publicUrl !== undefined) return origin === publicUrl
  return host !== undefined && (origin === `http://${host}` || origin === `https://${host}`)
}

/** A state-changing request is foreign only where it says so: scripts and command lines send no Origin. */
export function isForeign(request: IncomingMessage, publicUrl: string | undefined): boolean {
  return request.headers.origin !== undefined && !isOwnOrigin(request, publicUrl)
}

/** Who is at the other end, behind as many proxies as the configuration trusts. */
export function addressOf(request: IncomingMessage, trustProxy: number): string {
  const direct = request.socket.remoteAddress ?? 'unknown'
  if (trustProxy === 0) return direct
  const hops = String(request.headers['x-forwarded-for'] ?? '')
    .split(',')
    .map((hop) => hop.trim())
    .filter((hop) => hop !== '')
  return hops.at(-trustProxy) ?? direct
}
