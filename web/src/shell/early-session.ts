/**
 * A page's first question, who this is and how the board stands, asked while the page's other scripts are still on their way: a script of
 * its own, the first in the page's head. It also sends listeners on to their page before the board's scripts have come.
 */
import { remembered } from './memory.js'
import { routeOf, tokenIn } from './route.js'

/** A request as `fetch` takes it. */
export interface Question {
  readonly path: string
  readonly init: RequestInit
}

/** Nothing is shown before it is answered, so it waits for a network that does not answer only so long. */
const PATIENCE_MS = 6000

/** Comes in by a link's key, or by the cookie of an earlier time; the answer says how the board stands, too. */
export function sessionQuestion(boardId: string, token: string | undefined, name: string): Question {
  if (token === undefined) {
    const path = `/api/session?board=${encodeURIComponent(boardId)}&state`
    return { path, init: { credentials: 'same-origin', signal: AbortSignal.timeout(PATIENCE_MS) } }
  }
  const body = JSON.stringify({ token, ...(name ? { name } : {}), withState: true })
  const headers = { 'content-type': 'application/json' }
  return { path: '/api/session', init: { method: 'POST', credentials: 'same-origin', headers, body } }
}

let early: (Question & { readonly answer: Promise<Response> }) | undefined

/** The answer that is on its way already; once, and only to the very same question. */
export function earlyAnswer({ path, init }: Question): Promise<Response> | undefined {
  const held = early
  early = undefined
  return held?.path === path && held.init.body === init.body ? held.answer : undefined
}

/** What of the browser it needs. */
interface Surroundings {
  readonly location: Pick<Location, 'pathname' | 'hash' | 'replace'>
  readonly storage: Storage | undefined
  readonly fetch: (path: string, init: RequestInit) => Promise<Response>
}

export function askEarly({ location, storage, fetch }: Surroundings): void {
  const route = routeOf(location.pathname)
  if (route.kind !== 'board') return
  const question = sessionQuestion(route.boardId, tokenIn(location.hash), remembered(storage).name)
  const answer = fetch(question.path, question.init)
  early = { ...question, answer }
  // reason: whoever takes the answer hears of what failed.
  sendListenersOn(answer, route.boardId, location).catch(() => undefined)
}

async function sendListenersOn(
  answer: Promise<Response>,
  boardId: string,
  location: Pick<Location, 'replace'>,
): Promise<void> {
  const told = (await (await answer).clone().json()) as { readonly boardId?: string; readonly role?: string }
  if (told.role === 'listener' && told.boardId === boardId) location.replace(`/p/${boardId}`)
}

/** Some browsers refuse even to name it in a private window. */
export function storage(): Storage | undefined {
  try {
    return globalThis.localStorage
  } catch {
    return undefined
  }
}

if ('location' in globalThis) askEarly({ location, storage: storage(), fetch: (path, init) => fetch(path, init) })
