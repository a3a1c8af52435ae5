/** A poll's options under the address that carries their hash: what is there never changes. */
import { LIMITS } from '../limits.js'
import type { OptionsPage } from '../polls/options-page.js'
import type { Exchange } from './router.js'

/** `isForAll`: caches that serve many people may keep it too. */
export async function sendOptions(
  { request, response }: Exchange,
  page: OptionsPage,
  isForAll: boolean,
): Promise<void> {
  const isZipped = String(request.headers['accept-encoding']).includes('gzip')
  // Another form of the same bytes is another thing to a cache.
  const tag = `"${page.hash}${isZipped ? '-gzip' : ''}"`
  const headers = {
    'content-type': 'application/json; charset=utf-8',
    'cache-control': `${isForAll ? 'public' : 'private'}, max-age=${LIMITS.optionsKeptS}, immutable`,
    etag: tag,
    vary: 'accept-encoding',
    ...(isZipped ? { 'content-encoding': 'gzip' } : {}),
  }
  if (String(request.headers['if-none-match']).includes(tag)) {
    response.writeHead(304, headers).end()
    return
  }
  const body = isZipped ? await page.zippedBody() : Buffer.from(page.body)
  response.writeHead(200, { ...headers, 'content-length': body.length })
  response.end(request.method === 'HEAD' ? undefined : body)
}
