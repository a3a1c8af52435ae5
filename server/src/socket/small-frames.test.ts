import { describe, expect, it } from 'vitest'
import { wholeMessage } from './small-frames.js'

/** One frame as a client sends it. Source: RFC 6455 5.2. */
function frame(payload: Uint8Array, { first = 0x82, isMasked = true, isLong = payload.length > 125 } = {}): Buffer {
  const mask = Uint8Array.of(0x37, 0xfa, 0x21, 0x3d)
  const length = isLong ? [126, payload.length >> 8, payload.length & 0xff] : [payload.length]
  return Buffer.from([
    first,
    (length[0] as number) | (isMasked ? 0x80 : 0),
    ...length.slice(1),
    ...(isMasked ? mask : []),
    ...payload.map((byte, at) => (isMasked ? byte ^ (mask[at & 3] as number) : byte)),
  ])
}
const bytes = (count: number): Uint8Array => Uint8Array.from({ length: count }, (_, at) => (at * 37) & 0xff)

describe('[ME1] a message that comes as one frame in one piece', () => {
  it('is read as the standard’s own example says', () => {
    // RFC 6455 5.7: a masked "Hello", here as binary.
    const hello = Buffer.from([0x82, 0x85, 0x37, 0xfa, 0x21, 0x3d, 0x7f, 0x9f, 0x4d, 0x51, 0x58])
    expect(wholeMessage(hello)?.toString('latin1')).toBe('Hello')
  })
  it.each([0, 1, 3, 125, 126, 1000, 65_535])('of %i bytes is its payload', (count) => {
    expect([...(wholeMessage(frame(bytes(count))) ?? [])]).toEqual([...bytes(count)])
  })
  it.each([
    ['text', frame(bytes(5), { first: 0x81 })],
    ['a ping', frame(bytes(5), { first: 0x89 })],
    ['a close', frame(bytes(2), { first: 0x88 })],
    ['a first fragment', frame(bytes(5), { first: 0x02 })],
    ['a last fragment', frame(bytes(5), { first: 0x80 })],
    ['a reserved bit', frame(bytes(5), { first: 0xc2 })],
    ['no mask', frame(bytes(5), { isMasked: false })],
    ['a length in eight bytes', Buffer.from([0x82, 0xff, 0, 0, 0, 0, 0, 1, 0, 0, 1, 2, 3, 4])],
    ['a head cut off', frame(bytes(5)).subarray(0, 5)],
    ['a long head cut off', frame(bytes(200)).subarray(0, 3)],
    ['a payload cut off', frame(bytes(5)).subarray(0, 9)],
    ['two frames at once', Buffer.concat([frame(bytes(5)), frame(bytes(5))])],
    ['nothing', Buffer.alloc(0)],
  ])('is left to the library where it is %s, untouched', (_what, chunk) => {
    const before = Buffer.from(chunk)
    expect(wholeMessage(chunk)).toBeUndefined()
    expect(chunk.equals(before)).toBe(true)
  })
})
