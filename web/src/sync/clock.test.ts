import { describe, expect, it } from 'vitest'
import { ServerClock } from './clock.js'

/** A server 5,000 ms ahead; each exchange takes the given way out and back. */
function exchange(clock: ServerClock, time: { now: number }, ahead: number, outMs: number, backMs: number): boolean {
  const t0 = time.now
  time.now += outMs
  const t1 = time.now + ahead
  time.now += backMs
  return clock.heard({ t0, t1, t2: t1 })
}

describe('[SY3] the server clock', () => {
  it('finds the offset from the quickest of ten exchanges, and allows for what two clocks go apart meanwhile', () => {
    const time = { now: 1000 }
    const clock = new ServerClock(() => time.now)
    const more = Array.from({ length: 10 }, (_, index) =>
      exchange(clock, time, 5000, index === 4 ? 3 : 40, index === 4 ? 3 : 70),
    )
    expect(more).toEqual([true, true, true, true, true, true, true, true, true, false])
    time.now += 60_000
    expect(clock.serverNow() - time.now).toBeCloseTo(5000, 5)
    expect(clock.errorMs).toBeGreaterThan(3)
    expect(clock.errorMs).toBeLessThan(3.1)
    expect(clock.localTimeOf(clock.serverNow())).toBeCloseTo(time.now, 5)
  })

  it('takes better estimates at once while the page still loads, then slews a small correction and jumps a large one', () => {
    const time = { now: 0 }
    const clock = new ServerClock(() => time.now)
    for (let index = 0; index < 10; index++) exchange(clock, time, 5000, 30, 10)
    expect(clock.serverNow() - time.now).toBeCloseTo(5010, 5)
    for (let index = 0; index < 10; index++) exchange(clock, time, 5000, 1, 1)
    expect(clock.serverNow() - time.now).toBeCloseTo(5000, 5)
    for (let index = 0; index < 10; index++) exchange(clock, time, 5010, 0, 0)
    expect(clock.serverNow() - time.now).toBeLessThan(5001)
    time.now += 1000
    expect(clock.serverNow() - time.now).toBeCloseTo(5002, 0)
    time.now += 30_000
    expect(clock.serverNow() - time.now).toBeCloseTo(5010, 5)
    for (let index = 0; index < 10; index++) exchange(clock, time, 9000, 0, 0)
    expect(clock.serverNow() - time.now).toBeCloseTo(9000, 5)
  })
  it('a quiet way out and a quiet way back count, though no exchange had both', () => {
    const time = { now: 0 }
    const clock = new ServerClock(() => time.now)
    for (let index = 0; index < 10; index++) exchange(clock, time, 5000, index % 2 ? 20 : 55, index % 2 ? 55 : 20)
    expect(clock.serverNow() - time.now).toBeCloseTo(5000, 5)
    expect(clock.errorMs).toBeLessThan(21)
  })
  it('one quiet exchange outweighs the busy ones of the next half minute', () => {
    const time = { now: 0 }
    const clock = new ServerClock(() => time.now)
    exchange(clock, time, 5000, 1, 1)
    for (let index = 0; index < 19; index++) exchange(clock, time, 5000, 80, 20)
    expect(clock.serverNow() - time.now).toBeCloseTo(5000, 5)
  })
})
