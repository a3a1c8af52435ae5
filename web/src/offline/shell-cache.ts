/** What the service worker keeps and answers: the pages' own files, never anything a board holds. */

/** Larger files, the engraver above all, are kept once they have been used, not before. */
export const MOST_KEPT_AHEAD_BYTES = 1_000_000
const PREFIX = 'chartloft-app-'
/** The page behind every board address. */
export const SHELL = '/index.html'

export interface BuiltFile {
  readonly path: string
  readonly bytes: number
}

export type Handling =
  /** The browser's own business: data of boards, other origins, anything that changes something. */
  | 'leave'
  /** The newest page from the network; without one the kept shell. */
  | 'page'
  /** A file whose name holds its content: what is kept is right for good. */
  | 'kept-first'
  /** As `kept-first`, kept over versions of the pages: sounds are large and seldom change. */
  | 'sound'

/** Which built files are fetched ahead: what the board's pages need; the poll page is for phones that come once. */
export function keptAhead(files: readonly BuiltFile[]): readonly string[] {
  return files
    .filter(({ path, bytes }) => bytes <= MOST_KEPT_AHEAD_BYTES && /\.(js|css|html|woff2|svg|webmanifest)$/.test(path))
    .map(({ path }) => path)
    .filter((path) => path !== '/service-worker.js' && !/\/poll[.-]/.test(path))
    .sort()
}

export function handlingOf(
  request: { readonly method: string; readonly mode: string; readonly url: string },
  origin: string,
  kept: ReadonlySet<string>,
): Handling {
  const url = new URL(request.url)
  if (request.method !== 'GET' || url.origin !== origin) return 'leave'
  if (url.pathname.startsWith('/api/') || url.pathname.startsWith('/ws/')) return 'leave'
  if (request.mode === 'navigate') return url.pathname.startsWith('/p/') ? 'leave' : 'page'
  if (url.pathname.startsWith('/sounds/')) return 'sound'
  return url.pathname.startsWith('/assets/') || kept.has(url.pathname) ? 'kept-first' : 'leave'
}

/** Sounds are kept as they are first used. */
export const SOUND_CACHE = 'chartloft-sounds'

/** Kept sounds no version asks for any more. */
export function oldSounds(keptUrls: readonly string[], built: readonly string[]): readonly string[] {
  const current = new Set(built)
  return keptUrls.filter((url) => !current.has(new URL(url).pathname))
}

export const cacheName = (version: string): string => PREFIX + version

/** Caches of other versions of ours; what else an origin caches is not ours to remove. */
export function oldCaches(names: readonly string[], version: string): readonly string[] {
  return names.filter((name) => name.startsWith(PREFIX) && name !== cacheName(version))
}

/** Said by `register.ts`, which shares no file with the service worker: that must be one file. */
const TAKE_OVER = 'take-over '

/** A page opened without a network runs on the files of the version before; they are not taken from under it. */
export const isAskedByOwnPage = (message: unknown, kept: ReadonlySet<string>): boolean =>
  typeof message === 'string' && message.startsWith(TAKE_OVER) && kept.has(message.slice(TAKE_OVER.length))
