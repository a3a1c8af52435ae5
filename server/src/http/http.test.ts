import { describe, expect, it } from 'vitest'
import { depthOf } from './body.js'
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
})
