import type { IncomingMessage } from 'node:http'
import { describe, expect, it } from 'vitest'
import { addressOf, isForeign, isOwnOrigin } from './origin.js'
import { Bucket, Buckets } from './rate.js'
import { keyringOf, randomId, sameText } from './secret.js'
import { plainName } from './sessions.js'

const requestWith = (headers: object, remoteAddress = '10.0.0.1') =>
  ({ headers, socket: { remoteAddress } }) as unknown as IncomingMessage

describe('[AC1] tokens', () => {
  it('are 43 characters of a keyed hash, the same for the same link and secret only', () => {
    const [one, other] = [keyringOf(Buffer.alloc(32, 1)), keyringOf(Buffer.alloc(32, 2))]
    expect(one.linkToken('a')).toMatch(/^[A-Za-z0-9_-]{43}$/)
    expect(one.linkToken('a')).toBe(one.linkToken('a'))
    expect(
      new Set([one.linkToken('a'), one.linkToken('b'), other.linkToken('a'), one.tokenHash('a'), one.sessionHash('a')])
        .size,
    ).toBe(5)
  })
  it('texts compare whole', () => {
    expect([sameText('abc', 'abc'), sameText('abc', 'abd'), sameText('abc', 'ab'), sameText('', '')]).toEqual([
      true,
      false,
      false,
      true,
    ])
    expect(new Set(Array.from({ length: 1000 }, () => randomId())).size).toBe(1000)
  })
  it('names are one line of visible text', () => {
    expect(plainName('  Tove\n\u0000\u202E the  drummer ')).toBe('Tove the drummer')
    expect(plainName('x'.repeat(500))).toHaveLength(80)
  })
})

const at = (origin?: string) => requestWith({ host: 'localhost:8080', ...(origin ? { origin } : {}) })

describe('[AC2] origins', () => {
  it('are the host’s own, or PUBLIC_URL’s alone', () => {
    expect(
      [at('http://localhost:8080'), at('https://localhost:8080'), at('http://localhost:8081'), at('null'), at()].map(
        (request) => isOwnOrigin(request, undefined),
      ),
    ).toEqual([true, true, false, false, false])
    expect(
      [at('https://band.example'), at('http://localhost:8080')].map((request) =>
        isOwnOrigin(request, 'https://band.example'),
      ),
    ).toEqual([true, false])
    expect([at(), at('http://evil.example')].map((request) => isForeign(request, undefined))).toEqual([false, true])
  })
  it('addresses behind proxies count from the right', () => {
    const request = requestWith({ 'x-forwarded-for': '6.6.6.6, 1.1.1.1, 2.2.2.2' })
    expect([0, 1, 2].map((proxies) => addressOf(request, proxies))).toEqual(['10.0.0.1', '2.2.2.2', '1.1.1.1'])
    expect(addressOf(requestWith({}), 2)).toBe('10.0.0.1')
  })
})

describe('[AC5] pace', () => {
  it('a bucket gives its burst, then so many a second', () => {
    const bucket = new Bucket(10, 3, 0)
    expect([0, 0, 0, 0, 50, 100, 100].map((now) => bucket.take(now))).toEqual([
      true,
      true,
      true,
      false,
      false,
      true,
      false,
    ])
    expect(bucket.take(10_000, 3)).toBe(true)
    expect(bucket.take(9000)).toBe(false)
  })
  it('buckets are one a key, the longest unused forgotten first', () => {
    const buckets = new Buckets(0, 1, 2)
    expect(['a', 'a', 'b', 'a', 'c', 'b'].map((key) => buckets.take(key, 0))).toEqual([
      true,
      false,
      true,
      false,
      true,
      true,
    ])
  })
})
