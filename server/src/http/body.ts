/** Request bodies and answers as JSON: bounded in bytes, depth and time. */
import type { IncomingMessage, ServerResponse } from 'node:http'
import { gzip } from 'node:zlib'
import { Refusal } from '../errors.js'
import { LIMITS } from '../limits.js'

const FIRST_BYTES = 16 * 1024
/** Answers from this length on go compressed: music as JSON shrinks to a tenth. What carries a link or a name alone is shorter, so that
 *  its length tells nothing about it. */
const LEAST_COMPRESSED = 8 * 1024
/** Most of the gain for a third of the time. */
const LEVEL = 3

/** The parsed body; Refusal 'too_large' past `most` bytes, 'bad_request' where it is no JSON or nests too deep. */
export async function readJson(request: IncomingMessage, most: number = LIMITS.bodyBytes): Promise<unknown> {
  return parseJson(await readBytes(request, most))
}

/** The body as it came, in memory of its own; Refusal 'too_large' past `most` bytes. */
export async function readBytes(request: IncomingMessage, most: number): Promise<Buffer> {
  const type = request.headers['content-type']
  if (type !== undefined && !/^application\/json\b/i.test(type))
    throw new Refusal('bad_request', 'Send JSON (content-type: application/json).')
  const announced = Number(request.headers['content-length'] ?? 0)
  if (announced > most) throw tooLarge(most)
  // Copied as it comes: many large bodies put together at once at their ends would hold everybody up.
  let held: Buffer = Buffer.allocUnsafeSlow(announced || FIRST_BYTES)
  let size = 0
  try {
    // Left open where it is too large: ending it here would cut the connection under our answer.
    for await (const chunk of request.iterator({ destroyOnReturn: false }) as AsyncIterable<Buffer>) {
      if (size + chunk.length > most) {
        letGo(request)
        throw tooLarge(most)
      }
      if (size + chunk.length > held.length) held = grown(held, Math.max(size + chunk.length, held.length * 2))
      chunk.copy(held, size)
      size += chunk.length
    }
  } catch (error) {
    throw error instanceof Refusal ? error : new Refusal('timeout', 'The request broke off.')
  }
  return held.subarray(0, size)
}

/** What is still coming is thrown away for a moment, so that the sender can read why, then the connection ends. */
function letGo(request: IncomingMessage): void {
  request.resume()
  const timer = setTimeout(() => request.destroy(), LIMITS.closeGraceMs).unref()
  request.once('close', () => clearTimeout(timer))
}

function grown(bytes: Buffer, length: number): Buffer {
  const out = Buffer.allocUnsafeSlow(length)
  bytes.copy(out)
  return out
}

/** JSON within bounds; Refusal 'bad_request' where it is none. */
export function parseJson(bytes: Uint8Array): unknown {
  let text: string
  try {
    text = new TextDecoder('utf-8', { fatal: true }).decode(bytes)
  } catch {
    throw new Refusal('bad_request', 'The body is no UTF-8 text.')
  }
  if (depthOf(text) > LIMITS.jsonDepth)
    throw new Refusal('bad_request', `The body nests deeper than ${LIMITS.jsonDepth} levels.`)
  try {
    return JSON.parse(text)
  } catch {
    throw new Refusal('bad_request', 'The body is no JSON.')
  }
}

/** How deep brackets nest outside strings: found by one pass over the text, before any parser recurses. */
export function depthOf(text: string): number {
  let depth = 0
  let deepest = 0
  let isInText = false
  for (let index = 0; index < text.length; index++) {
    const char = text.charCodeAt(index)
    if (isInText) {
      if (char === 92) index++
      else if (char === 34) isInText = false
    } else if (char === 34) isInText = true
    else if (char === 91 || char === 123) deepest = Math.max(deepest, ++depth)
    else if (char === 93 || char === 125) depth--
  }
  return deepest
}

export function sendJson(
  response: ServerResponse,
  status: number,
  body: unknown,
  headers: { readonly [name: string]: string } = {},
): void {
  sendJsonText(response, status, JSON.stringify(body), headers)
}

export function sendJsonText(
  response: ServerResponse,
  status: number,
  text: string,
  headers: { readonly [name: string]: string } = {},
): void {
  const all = { 'content-type': 'application/json; charset=utf-8', 'cache-control': 'no-store', ...headers }
  const accepted = String(response.req.headers['accept-encoding'] ?? '')
  if (text.length < LEAST_COMPRESSED || !/\bgzip\b/.test(accepted)) {
    response.writeHead(status, all)
    response.end(text)
    return
  }
  // In a thread of the pool: the rooms go on meanwhile.
  gzip(text, { level: LEVEL }, (error, bytes) => {
    if (response.destroyed) return
    response.writeHead(status, { ...all, vary: 'accept-encoding', ...(error ? {} : { 'content-encoding': 'gzip' }) })
    response.end(error ? text : bytes)
  })
}

const tooLarge = (most: number): Refusal =>
  new Refusal('too_large', `A body may have at most ${Math.floor(most / 1024 / 1024)} MiB.`)
