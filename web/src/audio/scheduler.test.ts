import { describe, expect, it } from 'vitest'
import type { PlayEvent } from '@chartloft/shared-theory'
import { Scheduler } from './scheduler.js'

const event = (startMs: number, durationMs = 100): PlayEvent => ({
  partId: 'bass',
  startTick: startMs,
  durationTicks: durationMs,
  playTick: startMs,
  playDurationTicks: durationMs,
  startMs,
  durationMs,
  midi: 40,
  velocity: 80,
  barIndex: 0,
})
const quarters = Array.from({ length: 16 }, (_, index) => event(index * 500))

describe('[AU1] the scheduler hands out every note once, in time', () => {
  it('in windows of any size', () => {
    const scheduler = new Scheduler(quarters, 0)
    const starts: number[] = []
    for (let until = 0.013; until < 9; until += 0.177)
      starts.push(...scheduler.due(until).map((note) => note.startsSeconds))
    expect(starts).toEqual(quarters.map((note) => note.startMs / 1000))
  })
  it('from the middle', () => {
    const first = new Scheduler(quarters, 1200).due(1)
    expect(first.map((note) => note.event.startMs)).toEqual([1500, 2000])
    expect(first[0]?.startsSeconds).toBeCloseTo(0.3)
  })
})

describe('[AU2] a loop goes round exactly', () => {
  it('repeats its notes without gap or overlap, and cuts what runs over its end', () => {
    const scheduler = new Scheduler([...quarters, event(1900, 900)], 1000, { fromMs: 1000, toMs: 2000 })
    const due = scheduler.due(3)
    expect(due.map((note) => note.startsSeconds)).toEqual(
      [0, 0.5, 0.9, 1, 1.5, 1.9, 2, 2.5, 2.9].map((seconds) => expect.closeTo(seconds, 6)),
    )
    expect(due[2]?.durationSeconds).toBeCloseTo(0.1)
    expect(scheduler.positionMs(2.25)).toBeCloseTo(1250)
  })
  it('an empty loop does not hang', () => {
    expect(new Scheduler(quarters, 100, { fromMs: 100, toMs: 300 }).due(5)).toEqual([])
  })
})
