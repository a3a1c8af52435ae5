/** The built web app: hashed assets for good, pages checked each time, ready-made compressed forms where they lie beside the file. */
import { createReadStream, existsSync, statSync } from 'node:fs'
import type { ServerResponse } from 'node:http'
import { extname, join, normalize, sep } from 'node:path'
import { fileURLToPath } from 'node:url'
import type { Exchange } from './router.js'

/** Where `npm run build` puts the pages, seen from this package. */
export const APP_FOLDER = fileURLToPath(new URL('../../../web/dist/app', import.meta.url))

const TYPES: { readonly [extension: string]: string } = {
  '.css': 'text/css; charset=utf-8',
  '.html': 'text/html; charset=utf-8',
  '.ico': 'image/x-icon',
  '.js': 'text/javascript; charset=utf-8',
  '.json': 'application/json; charset=utf-8',
  '.map': 'application/json; charset=utf-8',
  '.mid': 'audio/midi',
  '.mp3': 'audio/mpeg',
  '.ogg': 'audio/ogg',
  '.otf': 'font/otf',
  '.png': 'image/png',
  '.svg': 'image/svg+xml',
  '.ttf': 'font/ttf',
  '.txt': 'text/plain; charset=utf-8',
  '.wasm': 'application/wasm',
  '.wav': 'audio/wav',
  '.webmanifest': 'application/manifest+json',
  '.woff': 'font/woff',
  '.woff2': 'font/woff2',
}
const ENCODINGS = [
  { name: 'br', extension: '.br' },
  { name: 'gzip', extension: '.gz' },
] as const
/** A name with a content hash in it, as the bundler writes them. */
const HASHED = /[.-][A-Za-z0-9_-]{8,}\.[a-z0-9]+$/
const NOT_BUILT = 'The pages are not built yet: run "npm run build", then reload.\n'

/** Serves a GET: a file of the app, else the page its address belongs to. */
export function servePage(exchange: Exchange, folder: string): void {
  const { response, url } = exchange
  const file = fileFor(folder, url.pathname)
  if (file) {
    const isHashed = url.pathname.startsWith('/assets/') && HASHED.test(url.pathname)
    sendFile(exchange, file, isHashed ? 'public, max-age=31536000, immutable' : 'no-cache')
    return
  }
  if (extname(url.pathname) !== '') {
    sendText(response, 404, 'There is no such file.\n')
    return
  }
  const page = join(folder, url.pathname.startsWith('/p/') ? 'poll.html' : 'index.html')
  const fallback = existsSync(page) ? page : join(folder, 'index.html')
  if (existsSync(fallback)) sendFile(exchange, fallback, 'no-cache')
  else sendText(response, 503, NOT_BUILT)
}

/** The file a path names inside the folder; undefined where there is none or the path leads out of it. */
function fileFor(folder: string, path: string): string | undefined {
  let decoded: string
  try {
    decoded = decodeURIComponent(path)
  } catch {
    return undefined
  }
  if (decoded.includes('\0')) return undefined
  const file = normalize(join(folder, decoded))
  if (!file.startsWith(folder + sep)) return undefined
  return existsSync(file) && statSync(file).isFile() ? file : undefined
}

function sendFile({ request, response }: Exchange, file: string, cacheControl: string): void {
  const accepted = String(request.headers['accept-encoding'])
  const encoding = ENCODINGS.find(({ name, extension }) => accepted.includes(name) && existsSync(file + extension))
  const path = encoding ? file + encoding.extension : file
  const { size, mtimeMs } = statSync(path)
  const tag = `"${size.toString(36)}-${Math.floor(mtimeMs).toString(36)}"`
  const headers = {
    'content-type': TYPES[extname(file)] ?? 'application/octet-stream',
    'cache-control': cacheControl,
    etag: tag,
    vary: 'accept-encoding',
    ...(encoding ? { 'content-encoding': encoding.name } : {}),
  }
  if (request.headers['if-none-match'] === tag) {
    response.writeHead(304, headers).end()
    return
  }
  response.writeHead(200, { ...headers, 'content-length': size })
  if (request.method === 'HEAD') response.end()
  else
    createReadStream(path)
      .on('error', () => response.destroy())
      .pipe(response)
}

function sendText(response: ServerResponse, status: number, text: string): void {
  response.writeHead(status, { 'content-type': 'text/plain; charset=utf-8', 'cache-control': 'no-store' }).end(text)
}
