/** The built web app: hashed assets for good, pages checked each time, ready-made compressed forms where they lie beside the file. */
import { createReadStream, existsSync, readFileSync, statSync } from 'node:fs'
import type { ServerResponse } from 'node:http'
import { extname, join, normalize, sep } from 'node:path'
import { promisify } from 'node:util'
import { gzip } from 'node:zlib'
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
/** Files whose text compresses well. */
const COMPRESSIBLE = /\.(css|html|js|json|map|svg|txt|wasm|webmanifest|musicxml|abc)$/
const MOST_COMPRESSED = 16 * 1024 * 1024
const NOT_BUILT = 'The pages are not built yet: run "npm run build", then reload.\n'

/** Serves a GET: a file of the app, else the page its address belongs to. */
export async function servePage(exchange: Exchange, folder: string): Promise<void> {
  const { response, url } = exchange
  const file = fileFor(folder, url.pathname)
  if (file) {
    const isHashed = /^\/(assets|sounds)\//.test(url.pathname) && HASHED.test(url.pathname)
    await sendFile(exchange, file, isHashed ? 'public, max-age=31536000, immutable' : 'no-cache')
    return
  }
  if (extname(url.pathname) !== '') {
    sendText(response, 404, 'There is no such file.\n')
    return
  }
  const page = join(folder, url.pathname.startsWith('/p/') ? 'poll.html' : 'index.html')
  const fallback = existsSync(page) ? page : join(folder, 'index.html')
  if (existsSync(fallback)) await sendFile(exchange, fallback, 'no-cache')
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

interface Form {
  readonly encoding?: string
  readonly tag: string
  readonly size: number
  readonly send: (response: ServerResponse) => void
}

async function sendFile({ request, response }: Exchange, file: string, cacheControl: string): Promise<void> {
  const { encoding, tag, size, send } = await formOf(file, String(request.headers['accept-encoding']))
  const headers = {
    'content-type': TYPES[extname(file)] ?? 'application/octet-stream',
    'cache-control': cacheControl,
    etag: tag,
    vary: 'accept-encoding',
    ...(encoding === undefined ? {} : { 'content-encoding': encoding }),
  }
  if (request.headers['if-none-match'] === tag) {
    response.writeHead(304, headers).end()
    return
  }
  response.writeHead(200, { ...headers, 'content-length': size })
  if (request.method === 'HEAD') response.end()
  else send(response)
}

/** The smallest form of a file the browser takes: compressed beside it, compressed by us once, or as it is. */
async function formOf(file: string, accepted: string): Promise<Form> {
  const ready = ENCODINGS.find(({ name, extension }) => accepted.includes(name) && existsSync(file + extension))
  const path = ready ? file + ready.extension : file
  const { size, mtimeMs } = statSync(path)
  const tag = `"${size.toString(36)}-${Math.floor(mtimeMs).toString(36)}${ready ? `-${ready.name}` : ''}"`
  const isWorthIt =
    !ready && accepted.includes('gzip') && size > 1024 && size < MOST_COMPRESSED && COMPRESSIBLE.test(file)
  if (isWorthIt) {
    const bytes = await compressed(file, tag)
    return {
      encoding: 'gzip',
      tag: `${tag.slice(0, -1)}-gzip"`,
      size: bytes.length,
      send: (response) => response.end(bytes),
    }
  }
  const send = (response: ServerResponse) => {
    createReadStream(path)
      .on('error', () => response.destroy())
      .pipe(response)
  }
  return { ...(ready ? { encoding: ready.name } : {}), tag, size, send }
}

const zipped = new Map<string, { readonly tag: string; readonly bytes: Promise<Buffer> }>()

/** Each version of a file is compressed once. */
function compressed(file: string, tag: string): Promise<Buffer> {
  const known = zipped.get(file)
  if (known?.tag === tag) return known.bytes
  const bytes = promisify(gzip)(readFileSync(file))
  zipped.set(file, { tag, bytes })
  return bytes
}

function sendText(response: ServerResponse, status: number, text: string): void {
  response.writeHead(status, { 'content-type': 'text/plain; charset=utf-8', 'cache-control': 'no-store' }).end(text)
}
