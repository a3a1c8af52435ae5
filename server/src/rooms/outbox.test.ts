import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest'
import type { Peer } from '../socket/peer.js'
import { wired } from '../socket/frames.js'
import { Outbox } from './outbox.js'

/** Somebody who only notes what is written to them. */
function listener(): { readonly peer: Peer; readonly heard: Buffer[] } {
  const heard: Buffer[] = []
  return { heard, peer: { send: (frame: Buffer) => heard.push(frame) } as unknown as Peer }
}
const frame = (value: number): Buffer => wired(Uint8Array.of(value))

describe('[ME1] what a room tells everybody', () => {
  beforeEach(() => {
    vi.useFakeTimers({ toFake: ['setImmediate', 'clearImmediate'] })
  })
  afterEach(() => {
    vi.useRealTimers()
  })

  it('goes at once after a silence; what comes right after goes together in one write, nobody hears what they sent', () => {
    const [a, b, c] = [listener(), listener(), listener()]
    let now = 1000
    const outbox = new Outbox(new Set([a.peer, b.peer, c.peer]), () => now, 2)
    outbox.tell(frame(1), a.peer)
    expect([a, b, c].map(({ heard }) => heard.length)).toEqual([0, 1, 1])
    now += 1
    outbox.tell(frame(2), a.peer)
    outbox.tell(frame(3), b.peer)
    outbox.tell(frame(4))
    expect(b.heard).toHaveLength(1)
    now += 2
    vi.runAllTimers()
    expect(a.heard).toEqual([Buffer.concat([frame(3), frame(4)])])
    expect(b.heard).toEqual([frame(1), Buffer.concat([frame(2), frame(4)])])
    expect(c.heard).toEqual([frame(1), Buffer.concat([2, 3, 4].map((value) => frame(value)))])
  })
  it('one that made all there is hears nothing; the next after a silence goes at once again', () => {
    const [a, b] = [listener(), listener()]
    let now = 0
    const outbox = new Outbox(new Set([a.peer, b.peer]), () => now, 2)
    outbox.tell(frame(1), a.peer)
    outbox.tell(frame(2), a.peer)
    outbox.tell(frame(3), a.peer)
    now = 2
    vi.runAllTimers()
    expect(a.heard).toEqual([])
    expect(b.heard).toHaveLength(2)
    now = 100
    outbox.tell(frame(4), b.peer)
    expect(a.heard).toEqual([frame(4)])
  })
  it('a closed room tells nobody', () => {
    const a = listener()
    const outbox = new Outbox(new Set([a.peer]), () => 0, 2)
    outbox.tell(frame(1))
    outbox.tell(frame(2))
    outbox.close()
    vi.runAllTimers()
    expect(a.heard).toHaveLength(1)
  })
})
