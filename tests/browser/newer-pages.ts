/** The server seen through a relay that hands out its pages, or newer ones: the same files under another version, told apart by a mark. */
import { createServer, request } from 'node:http'
import { type AddressInfo, connect } from 'node:net'

export interface NewerPages {
  readonly url: string
  /** From now on the pages are a newer version's. */
  publish(): void
  close(): void
}

export const MARK = 'a-newer-version'

export function newerPages(port: number): Promise<NewerPages> {
  let isNewer = false
  const changed = (path: string, text: string) =>
    path === '/service-worker.js'
      ? text.replace(/(["`']?version["`']?\s*:\s*["`'])[0-9a-f]{16}/, '$1ffffffffffffffff')
      : text.replace('</head>', `<meta name="${MARK}"></head>`)
  const relay = createServer((asked, answer) => {
    const [path = ''] = (asked.url ?? '').split('?')
    const headers = { ...asked.headers }
    const isPage = path === '/service-worker.js' || path === '/' || path === '/index.html' || path.startsWith('/b/')
    if (isPage) {
      delete headers['accept-encoding']
      delete headers['if-none-match']
      delete headers['if-modified-since']
    }
    const passed = request({ port, host: '127.0.0.1', method: asked.method, path: asked.url, headers }, (got) => {
      if (!isPage || !isNewer) {
        answer.writeHead(got.statusCode ?? 502, got.headers)
        got.pipe(answer)
        return
      }
      const pieces: Buffer[] = []
      got.on('data', (piece: Buffer) => pieces.push(piece))
      got.on('end', () => {
        const text = changed(path, Buffer.concat(pieces).toString('utf8'))
        const { 'content-length': _length, etag: _etag, ...others } = got.headers
        answer.writeHead(got.statusCode ?? 502, others)
        answer.end(text)
      })
    })
    passed.on('error', () => answer.destroy())
    asked.pipe(passed)
  })
  relay.on('upgrade', (asked, near, head) => {
    const far = connect(port, '127.0.0.1', () => {
      const lines = Array.from({ length: asked.rawHeaders.length / 2 }, (_, index) =>
        asked.rawHeaders.slice(2 * index, 2 * index + 2).join(': '),
      )
      far.write(`${asked.method} ${asked.url} HTTP/1.1\r\n${lines.join('\r\n')}\r\n\r\n`)
      far.write(head)
      far.pipe(near).pipe(far)
    })
    far.on('error', () => near.destroy())
    near.on('error', () => far.destroy())
  })
  return new Promise((resolve) =>
    relay.listen(0, '127.0.0.1', () =>
      resolve({
        url: `http://127.0.0.1:${(relay.address() as AddressInfo).port}`,
        publish: () => (isNewer = true),
        close: () => {
          relay.close()
          relay.closeAllConnections()
        },
      }),
    ),
  )
}
