import { createServer } from 'node:http'
import { type AddressInfo, connect } from 'node:net'
import { describe, expect, it } from 'vitest'
import { depthOf, readBytes } from './body.js'
import { findRoute, type Route } from './router.js'

const route = (method: Route['method'], pattern: string): Route => ({ method, pattern, handle: () => undefined })

describe('[AB2] requests', () => {
  it('depth counts brackets outside texts', () => {
    expect(['1', '[]', '{"a":[{}]}', '"[[[["', '["\\"[[", []]', '['.repeat(5000)].map(depthOf)).toEqual([
      0, 1, 3, 0, 2, 5000,
    ])
  })
  it('routes take plain segments only', () => {
    const routes = [
      route('GET', '/api/boards/:id/ledger'),
      route('POST', '/api/boards/import'),
      route('POST', '/api/boards'),
    ]
    expect(findRoute(routes, 'GET', '/api/boards/abc-1/ledger')?.params).toEqual({ id: 'abc-1' })
    expect(findRoute(routes, 'HEAD', '/api/boards/abc-1/ledger')?.params).toEqual({ id: 'abc-1' })
    for (const path of [
      '/api/boards/a%2fb/ledger',
      '/api/boards//ledger',
      '/api/boards/a/ledger/',
      `/api/boards/${'x'.repeat(65)}/ledger`,
    ])
      expect(findRoute(routes, 'GET', path)).toBeUndefined()
    expect(() => findRoute(routes, 'DELETE', '/api/boards')).toThrow('not possible')
  })
  it('who sends too much in chunks hears why, though it never stops sending, and is cut off then', async () => {
    const server = createServer((request, response) => {
      readBytes(request, 1024).then(
        () => response.end(),
        () => response.writeHead(413).end(),
      )
    })
    await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve))
    const answers = await Promise.all(
      Array.from({ length: 8 }, () => {
        const socket = connect((server.address() as AddressInfo).port, '127.0.0.1')
        const chunk = `10000\r\n${'x'.repeat(65_536)}\r\n`
        const send = (): void => {
          if (!socket.destroyed) socket.write(chunk, () => setTimeout(send, 1))
        }
        socket.write('POST / HTTP/1.1\r\nHost: a\r\nTransfer-Encoding: chunked\r\n\r\n', send)
        return new Promise<string>((resolve) => {
          let heard = ''
          socket.on('data', (bytes) => (heard += bytes.toString('latin1')))
          socket.on('error', () => undefined)
          socket.once('close', () => resolve(heard.slice(0, 12)))
        })
      }),
    )
    expect(answers).toEqual(answers.map(() => 'HTTP/1.1 413'))
    await new Promise((resolve) => server.close(resolve))
  })
})
