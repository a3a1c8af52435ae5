/** Requests to handlers by method and path; `:name` in a pattern takes one path segment. */
import type { IncomingMessage, ServerResponse } from 'node:http'
import { Refusal } from '../errors.js'

export interface Exchange {
  readonly request: IncomingMessage
  readonly response: ServerResponse
  readonly url: URL
  readonly params: { readonly [name: string]: string }
}
export type Handler = (exchange: Exchange) => Promise<void> | void
export interface Route {
  readonly method: 'GET' | 'POST' | 'DELETE'
  readonly pattern: string
  readonly handle: Handler
}

/** The route for a path and its parameters; Refusal 'bad_request' (405 is not in our vocabulary) where only the method is wrong. */
export function findRoute(
  routes: readonly Route[],
  method: string,
  path: string,
): { readonly route: Route; readonly params: { readonly [name: string]: string } } | undefined {
  let isKnownPath = false
  for (const route of routes) {
    const params = matchPath(route.pattern, path)
    if (!params) continue
    if (route.method === method || (route.method === 'GET' && method === 'HEAD')) return { route, params }
    isKnownPath = true
  }
  if (isKnownPath) throw new Refusal('bad_request', `${method} is not possible here.`)
  return undefined
}

function matchPath(pattern: string, path: string): { readonly [name: string]: string } | undefined {
  const wanted = pattern.split('/')
  const given = path.split('/')
  if (wanted.length !== given.length) return undefined
  const params: { [name: string]: string } = {}
  for (const [index, segment] of wanted.entries()) {
    const value = given[index] as string
    if (segment.startsWith(':')) {
      if (!/^[A-Za-z0-9_-]{1,64}$/.test(value)) return undefined
      params[segment.slice(1)] = value
    } else if (segment !== value) return undefined
  }
  return params
}
