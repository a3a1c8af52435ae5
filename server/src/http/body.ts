/** Request bodies and answers as JSON: bounded in bytes, depth and time. */
import type { IncomingMessage, ServerResponse } from 'node:http'
import { Refusal } from '../errors.js'
import { LIMITS } from '../limits.js'

/** The parsed body; Refusal 'too_large' past `most` bytes, 'bad_request' where it is no JSON or nests too deep. */
export async function readJson(request: IncomingMessage, most: number = LIMITS.bodyBytes): Promise<unknown> {
  return parseJson(await readBytes(request, most))
}

/** The body as it came; Refusal 'too_large' past `most` bytes. */
export async function readBytes(request: IncomingMessage, most: number): Promise<Buffer> {
  const type = request.headers['content-type']
  if (type !== undefined && !/^application\/json\b/i.test(type))
    throw new Refusal('bad_request', 'Send JSON (content-type: application/json).')
  if (Number(request.headers['content-length'] ?? 0) > most) throw tooLarge(most)
  const chunks: Buffer[] = []
  let size = 0
  try {
    for await (const chunk of request as AsyncIterable<Buffer>) {
      size += chunk.length
      if (size > most) throw tooLarge(most)
      chunks.push(chunk)
    }
  } catch (error) {
    throw error instanceof Refusal ? error : new Refusal('timeout', 'The request broke off.')
  }
  return Buffer.concat(chunks)
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
  const text = JSON.stringify(body)
  response.writeHead(status, {
    'content-type': 'application/json; charset=utf-8',
    'cache-control': 'no-store',
    ...headers,
  })
  response.end(text)
}

const tooLarge = (most: number): Refusal =>
  new Refusal('too_large', `A body may have at most ${Math.floor(most / 1024 / 1024)} MiB.`)
