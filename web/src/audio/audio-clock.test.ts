import { describe, expect, it } from 'vitest'
import { AudioClock } from './audio-clock.js'

/** Timestamps every 25 ms of a context that began at `atMs` of the page's clock; `wrongBy` says how far one of them is off. */
function told(clock: AudioClock, count: number, atMs: number, wrongBy: (index: number) => number = () => 0, from = 4) {
  for (let index = from; index < from + count; index++) {
    const contextTime = index * 0.025
    clock.take({ contextTime, performanceTime: atMs + contextTime * 1000 + wrongBy(index - from) })
  }
}

describe('[AU17] where audio lies on the page’s clock', () => {
  it('comes from the middle of many timestamps: late blocks do not move it', () => {
    const clock = new AudioClock()
    told(clock, 20, 5000, (index) => (index % 3 === 0 ? 10 : 0))
    expect(clock.offsetMs).toBeCloseTo(5000, 6)
  })

  it('leaves out a context that is waking, and is steady only after several timestamps', () => {
    const clock = new AudioClock()
    // Measured in Chromium: zero for some time, then 20 and 10 ms off until the buffers are full.
    for (const [contextTime, wrongBy] of [
      [0, -400],
      [0, -20],
      [0.011, -10],
      [0.02, -10],
    ] as const)
      clock.take({ contextTime, performanceTime: 700 + contextTime * 1000 + wrongBy })
    expect(clock.offsetMs).toBeUndefined()
    told(clock, 6, 700)
    expect(clock.isSteady).toBe(false)
    told(clock, 1, 700, undefined, 10)
    expect(clock.isSteady).toBe(true)
    expect(clock.offsetMs).toBeCloseTo(700, 6)
  })

  it('a timestamp told twice counts once', () => {
    const clock = new AudioClock()
    for (let times = 0; times < 9; times++) clock.take({ contextTime: 0.1, performanceTime: 800 })
    expect(clock.isSteady).toBe(false)
  })

  it('follows a device that lost a block within a quarter of a second, and one that runs fast', () => {
    const clock = new AudioClock()
    told(clock, 20, 700)
    told(clock, 11, 710, undefined, 24)
    expect(clock.offsetMs).toBeCloseTo(710, 6)
    const fast = new AudioClock()
    // 100 ppm, more than sound cards are apart: a minute of it is 6 ms, of which a quarter of a second’s part is not yet followed.
    told(fast, 2400, 700, (index) => index * 0.025 * 0.1)
    expect(Math.abs((fast.offsetMs ?? 0) - 706)).toBeLessThan(0.05)
  })

  it('a context that slept is measured anew', () => {
    const clock = new AudioClock()
    told(clock, 20, 700)
    clock.forget()
    expect(clock.isSteady).toBe(false)
    told(clock, 7, 9700, undefined, 24)
    expect(clock.offsetMs).toBeCloseTo(9700, 6)
  })
})
