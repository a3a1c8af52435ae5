/**
 * Opens the pages without a network. The build writes the list of files and their version into this one file; a new version is fetched whole
 * beside the old one and takes over with the next load.
 */
import { cacheName, handlingOf, isAskedByOwnPage, oldCaches, oldSounds, SHELL, SOUND_CACHE } from './shell-cache.js'

/** Put in by the build (`vite.config.ts`). */
declare const __KEPT_AHEAD__: {
  readonly version: string
  readonly paths: readonly string[]
  readonly sounds: readonly string[]
}

interface Waits extends Event {
  waitUntil(work: Promise<unknown>): void
}
interface Fetches extends Waits {
  readonly request: Request
  respondWith(answer: Promise<Response>): void
}
interface Scope {
  readonly location: Location
  readonly clients: {
    claim(): Promise<void>
    matchAll(which: { readonly type: 'window'; readonly includeUncontrolled: true }): Promise<readonly unknown[]>
  }
  skipWaiting(): Promise<void>
  addEventListener(type: 'install' | 'activate', heard: (event: Waits) => void): void
  addEventListener(type: 'message', heard: (event: Waits & { readonly data: unknown }) => void): void
  addEventListener(type: 'fetch', heard: (event: Fetches) => void): void
}

const scope = globalThis as unknown as Scope
const { version, paths, sounds } = __KEPT_AHEAD__
const kept = new Set(paths)
/** A network that does not answer is none: by then the kept page is better. */
const PATIENCE_MS = 4000

scope.addEventListener('install', (event) => {
  event.waitUntil(caches.open(cacheName(version)).then((cache) => cache.addAll([...paths])))
})

scope.addEventListener('activate', (event) => {
  event.waitUntil(removeOld().then(() => scope.clients.claim()))
})

/** A page that loads asks the waiting version to take over; it does where that page has the new files and no other still runs on the old ones. */
scope.addEventListener('message', (event) => {
  if (isAskedByOwnPage(event.data, kept)) event.waitUntil(takeOver())
})

scope.addEventListener('fetch', (event) => {
  const handling = handlingOf(event.request, scope.location.origin, kept)
  if (handling === 'page') event.respondWith(page(event.request))
  else if (handling === 'kept-first') event.respondWith(keptFirst(event.request, cacheName(version)))
  else if (handling === 'sound') event.respondWith(keptFirst(event.request, SOUND_CACHE))
})

async function takeOver(): Promise<void> {
  const pages = await scope.clients.matchAll({ type: 'window', includeUncontrolled: true })
  if (pages.length <= 1) await scope.skipWaiting()
}

async function removeOld(): Promise<void> {
  const old = oldCaches(await caches.keys(), version)
  await Promise.all(old.map((name) => caches.delete(name)))
  const kept = await caches.open(SOUND_CACHE)
  const requests = await kept.keys()
  const gone = oldSounds(
    requests.map(({ url }) => url),
    sounds,
  )
  await Promise.all(gone.map((url) => kept.delete(url, { ignoreVary: true })))
}

async function page(request: Request): Promise<Response> {
  const shell = () => caches.match(SHELL, { cacheName: cacheName(version), ignoreVary: true })
  try {
    const answer = await Promise.race([fetch(request), tooLate()])
    return answer.status < 500 ? answer : ((await shell()) ?? answer)
  } catch (error) {
    const held = await shell()
    if (held) return held
    throw error
  }
}

/** From any version's cache, since a page of the old version may still ask; else from the network, kept for the next time. */
async function keptFirst(request: Request, name: string): Promise<Response> {
  const held = await caches.match(request, { ignoreVary: true })
  if (held) return held
  const answer = await fetch(request)
  if (answer.ok) {
    const cache = await caches.open(name)
    await cache.put(request, answer.clone()).catch(() => undefined)
  }
  return answer
}

function tooLate(): Promise<never> {
  return new Promise((_resolve, reject) => {
    setTimeout(() => reject(new Error('the network did not answer')), PATIENCE_MS)
  })
}
