/** A guitarist without a drummer. */
import { describe, expect, it, vi } from 'vitest'
import { band, groove, notesOf, part, played } from '../../../tests/fixtures/played-band.js'
import { lanternSlip } from '../../../tests/fixtures/worked-rows.js'
import type { ArrangedBar } from '../contract/index.js'
import { GROOVES } from '../rhythm/index.js'
import { isHeld } from './guitar-hand.js'

vi.setConfig({ testTimeout: 30_000 })

const TRIO = [part('flute', 'flute', 'lead'), part('guitar', 'guitar', 'chords'), part('bass', 'double-bass', 'bass')]
const DUO = TRIO.slice(1)
const bars = (id: string, energy = 0.5, lineup = TRIO): readonly ArrangedBar[] =>
  band(played(lanternSlip(), groove(id), 'chorus-1', 'solo-1'), groove(id), lineup, energy)
const guitar = (bar: ArrangedBar | undefined) => notesOf(bar, 'guitar')
const starts = (bar: ArrangedBar | undefined) => [...new Set(guitar(bar).map(({ startTick }) => startTick))]
const at = (bar: ArrangedBar | undefined, tick: number) => guitar(bar).filter(({ startTick }) => startTick === tick)

describe('[BA16] guitar without drums', () => {
  it('ballads are arpeggios that ring: string by string, in six-eight up and down', () => {
    const even = bars('ballad-even')[32]
    expect(starts(even)).toEqual([0, 2520, 5040, 7560, 10080, 12600, 15120, 17640])
    for (const tick of starts(even)) expect(at(even, tick)).toHaveLength(1)
    const up = guitar(even)
      .slice(0, 3)
      .map(({ midi }) => midi)
    expect(up).toEqual([...up].sort((a, b) => a - b))
    expect(Math.max(...guitar(even).map(({ durationTicks }) => durationTicks))).toBeGreaterThan(5040)
    const six = guitar(bars('ballad-6-8')[64]).map(({ midi }) => midi)
    expect(six).toHaveLength(6)
    expect(six.indexOf(Math.max(...six))).toBeGreaterThan(0)
    expect(six.indexOf(Math.max(...six))).toBeLessThan(5)
    expect(six[5]).toBeLessThan(Math.max(...six))
  })

  it('in a swing ballad one inner voice moves on three while the rest rings', () => {
    const [bar] = bars('ballad-swing').slice(32)
    expect(at(bar, 0).length).toBeGreaterThanOrEqual(3)
    expect(at(bar, 10080)).toHaveLength(1)
    const rung = at(bar, 0).filter(({ durationTicks }) => durationTicks === 20160)
    expect(rung).toHaveLength(at(bar, 0).length - 1)
    const inner = at(bar, 0).find(({ durationTicks }) => durationTicks === 10080)
    expect(Math.abs((inner?.midi ?? 0) - (at(bar, 10080)[0]?.midi ?? 0))).toBeLessThanOrEqual(2)
  })

  it('swing has three strings on all fours; fast swing above 220 only accents', () => {
    expect(starts(bars('swing-medium')[32])).toEqual([0, 5040, 10080, 15120])
    for (const tick of [0, 5040, 10080, 15120]) expect(at(bars('swing-medium')[32], tick).length).toBeLessThanOrEqual(3)
    const fast = (tempoBpm: number) =>
      band(
        played(lanternSlip(), groove('swing-fast'), 'solo-1').map((bar) => ({ ...bar, tempoBpm })),
        groove('swing-fast'),
        TRIO,
        0.5,
      ).slice(0, 8)
    const strokes = (tempoBpm: number) => fast(tempoBpm).reduce((sum, bar) => sum + starts(bar).length, 0)
    expect(strokes(200)).toBe(32)
    expect(strokes(260)).toBeLessThan(16)
  })

  it('the shuffle goes root and fifth, root and sixth on the low strings; bossa and samba have the thumb below', () => {
    const apart = starts(bars('shuffle')[32]).map((tick) => {
      const [low, high] = at(bars('shuffle')[32], tick)
      return (high?.midi ?? 0) - (low?.midi ?? 0)
    })
    expect(apart).toEqual([7, 7, 9, 9, 7, 7, 9, 9])
    for (const [id, beats] of [
      ['bossa', [0, 10080]],
      ['samba', [0, 5040, 10080, 15120]],
    ] as const) {
      const thumb = guitar(bars(id)[32]).filter(({ voice }) => voice === 2)
      expect(thumb.map(({ startTick }) => startTick)).toEqual(beats)
      for (const { midi } of thumb) expect(midi).toBeLessThanOrEqual(52)
    }
  })

  it('cha-cha in octaves, backbeat damped on its soft strokes, half-time ringing', () => {
    const octaves = bars('cha-cha')
      .slice(32, 36)
      .flatMap((bar) => starts(bar).map((tick) => at(bar, tick).map(({ midi }) => midi)))
    expect(octaves.length).toBeGreaterThan(8)
    expect(octaves.every(([low = 0, high = 0]) => high - low === 12)).toBe(true)
    const damped = guitar(bars('backbeat')[32]).filter(({ durationTicks }) => durationTicks < 1260)
    expect(damped.length).toBeGreaterThan(0)
    const ringing = guitar(bars('backbeat-half')[32])
    expect(Math.min(...ringing.map(({ durationTicks }) => durationTicks))).toBeGreaterThanOrEqual(5040)
  })

  it('a hand can hold whatever sounds together, in every groove and level', () => {
    const broken: string[] = []
    for (const { id, metre } of GROOVES) {
      if (metre === 'any') continue
      for (const energy of [0.3, 0.9])
        for (const bar of bars(id, energy))
          for (const tick of starts(bar)) {
            const sounding = guitar(bar).filter(
              (note) => note.startTick <= tick && tick < note.startTick + note.durationTicks,
            )
            if (!isHeld([...new Set(sounding.map(({ midi }) => midi))]))
              broken.push(`${id} bar ${bar.barIndex} ${tick}`)
          }
    }
    expect(broken).toEqual([])
  })

  it('who leads strums only in the gaps of the own melody', () => {
    const led = bars('swing-medium', 0.5, DUO)
    let strummed = 0
    for (const bar of led.slice(0, 31)) {
      const attacks = bar.melody.map(({ startTick }) => startTick)
      for (const { startTick } of guitar(bar).filter(({ voice }) => voice === 2)) {
        strummed++
        const before = attacks.findLast((tick) => tick <= startTick) ?? 0
        expect(attacks).not.toContain(startTick)
        expect(startTick - before).toBeGreaterThanOrEqual(2520)
      }
    }
    expect(strummed).toBeGreaterThan(10)
  })
})
