/** Swing against the published figures, and exactness of the warp. */
import { describe, expect, it } from 'vitest'
import { SWING_TABLE, findGroove, grooveRatioAt, layBackMsAt, rubatoTempo, swingRatioAt, swungTick } from './index.js'

const eighthsMs = (tempo: number) => {
  const ratio = swingRatioAt(tempo) / 100
  const beat = 60_000 / tempo
  return { long: (beat * ratio) / (ratio + 1), short: beat / (ratio + 1) }
}

describe('[GR5] swing', () => {
  it('the ratio falls from above 3 to 1 and the short note stays at 100 ms or more (Friberg & Sundström 2002)', () => {
    let before = Infinity
    for (let tempo = 40; tempo <= 320; tempo++) {
      const ratio = swingRatioAt(tempo)
      expect(ratio).toBeLessThanOrEqual(before)
      expect(Number.isInteger(ratio)).toBe(true)
      before = ratio
      if (tempo <= 300) expect(eighthsMs(tempo).short).toBeGreaterThanOrEqual(99.5)
    }
    expect(swingRatioAt(60)).toBe(330)
    expect(swingRatioAt(120)).toBe(260)
    expect(swingRatioAt(130)).toBe(250)
    expect(swingRatioAt(320)).toBe(100)
  })

  it("the soloist's own ratio, late on the beat and with the ride off it, comes out smaller: 2.2 at 60, 1.8 at 120, 1.46 at 200, 1 at 300", () => {
    for (const [tempo, expected] of [
      [60, 2.2],
      [120, 1.8],
      [200, 1.46],
      [300, 1],
    ] as const) {
      const { long, short } = eighthsMs(tempo)
      const late = layBackMsAt(tempo)
      expect(Math.abs((long - late) / (short + late) - expected)).toBeLessThan(0.08)
    }
  })

  it('the table rises in tempo and falls in ratio and lay-back', () => {
    for (const [index, [tempo, ratio, late]] of SWING_TABLE.entries()) {
      const before = SWING_TABLE[index - 1]
      if (before) expect(tempo > before[0] && ratio < before[1] && late < before[2]).toBe(true)
    }
  })

  it('beats stay, the off-beat moves, everything between goes straight', () => {
    expect([0, 2520, 5040].map((tick) => swungTick(tick, 200))).toEqual([0, 3360, 5040])
    expect(swungTick(1260, 200)).toBe(1680)
    expect(swungTick(3780, 200)).toBe(4200)
    for (let tick = 0; tick <= 5040; tick += 315) expect(swungTick(tick, 100)).toBe(tick)
  })

  it('an even groove never swings, a fixed ratio stays fixed', () => {
    for (const tempo of [60, 120, 240]) {
      expect(grooveRatioAt(findGroove('bossa')!, tempo)).toBe(100)
      expect(grooveRatioAt(findGroove('shuffle')!, tempo)).toBe(200)
      expect(grooveRatioAt(findGroove('street-beat')!, tempo)).toBe(140)
    }
  })
})

describe('[GR6] a rubato phrase breathes', () => {
  it('bars join without a jump, slow at the end, and the first half of eight ends higher', () => {
    const four = [0, 1, 2, 3].map((bar) => rubatoTempo(58, bar, 4))
    expect(four[0]).toEqual({ tempoBpm: 54.52, tempoEndBpm: 59.16 })
    for (const [index, { tempoBpm }] of four.entries())
      if (index > 0) expect(tempoBpm).toBe(four[index - 1]?.tempoEndBpm)
    expect(four[3]?.tempoEndBpm).toBe(46.4)
    expect(rubatoTempo(100, 3, 8).tempoEndBpm).toBe(90)
    expect(rubatoTempo(100, 7, 8).tempoEndBpm).toBe(80)
    expect(rubatoTempo(100, 1, 2)).toEqual({ tempoBpm: 103, tempoEndBpm: 82 })
  })
})
