import { describe, expect, it } from 'vitest'
import { DEMO_TUNES } from '@chartloft/demo'
import { type ArrangedBar, compile, defaultPlan, readTune, scheduleEvents, tempoMap } from '@chartloft/shared-theory'
import type { Playable } from '../state/theory-protocol.js'
import { clicksOf, countInOf } from './clicks.js'

function demo(id: string): { readonly bars: readonly ArrangedBar[]; readonly playable: Playable } {
  const read = readTune('abc', DEMO_TUNES.find((tune) => tune.id === id)?.abc ?? '')
  if (!read.ok) throw new Error('the tune does not read')
  const { arrangement } = compile(defaultPlan(read.value))
  const map = tempoMap(arrangement)
  const playable: Playable = {
    planHash: '',
    events: scheduleEvents(arrangement),
    barStartTicks: map.barStartTicks,
    barStartMs: map.barStartTicks.map((tick) => map.msAt(tick)),
    totalMs: map.totalMs,
  }
  return { bars: arrangement.bars, playable }
}
const barOf = (beats: number, beatType: number, lengthTicks: number, tempoBpm = 120, feel = 'even') =>
  ({ metre: { beats, beatType }, lengthTicks, tempoBpm, feel }) as unknown as ArrangedBar

describe('[AU31] clicks along with the music', () => {
  it('fall on every beat, the first of each bar louder', () => {
    const { bars, playable } = demo('ferry-bell')
    const clicks = clicksOf(playable, bars)
    expect(clicks).toHaveLength(bars.length * 3)
    expect(clicks.slice(0, 7).map(({ velocity }) => velocity > 84)).toEqual([
      true,
      false,
      false,
      true,
      false,
      false,
      true,
    ])
    for (const [index, start] of playable.barStartMs.entries())
      expect(clicks.find(({ barIndex }) => barIndex === index)?.startMs).toBeCloseTo(start, 6)
  })
  it('are dotted quarters in 6/8 and 12/8, and none in free time', () => {
    const one: Playable = { planHash: '', events: [], barStartTicks: [0], barStartMs: [0], totalMs: 1000 }
    const places = (bar: ArrangedBar) => clicksOf(one, [bar]).map(({ startTick }) => startTick)
    expect(places(barOf(6, 8, 15_120))).toEqual([0, 7560])
    expect(places(barOf(12, 8, 30_240))).toHaveLength(4)
    expect(places(barOf(7, 8, 17_640))).toHaveLength(7)
    expect(places(barOf(4, 4, 20_160, 60, 'rubato'))).toEqual([])
    // A pickup of three eighths: its first beat is the fourth of the bar, an eighth in.
    expect(places(barOf(4, 4, 7560))).toEqual([2520])
  })
})

describe('[AU31] the count-in', () => {
  it('is bars of the beat people count', () => {
    expect(countInOf(barOf(4, 4, 20_160), 1, 1)).toEqual({ lengthMs: 2000, beatMs: 500, beatsABar: 4 })
    expect(countInOf(barOf(4, 4, 20_160), 2, 0.5)).toEqual({ lengthMs: 8000, beatMs: 1000, beatsABar: 4 })
    expect(countInOf(barOf(12, 8, 30_240, 180), 1, 1)).toEqual({ lengthMs: 2000, beatMs: 500, beatsABar: 4 })
  })
  it('goes on through the beats a pickup leaves, so that its downbeat comes on one', () => {
    // One beat of pickup: four beats counted, then three more.
    expect(countInOf(barOf(4, 4, 5040), 1, 1)?.lengthMs).toBe(3500)
  })
  it('is nothing in free time, and where nobody asked for it', () => {
    expect(countInOf(barOf(4, 4, 20_160, 58, 'rubato'), 2, 1)).toBeUndefined()
    expect(countInOf(barOf(4, 4, 20_160), 0, 1)).toBeUndefined()
    expect(countInOf(undefined, 1, 1)).toBeUndefined()
  })
})
