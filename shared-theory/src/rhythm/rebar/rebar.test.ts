/** Re-barring: the worked examples of the three tunes, and the laws on generated ones. */
import fc from 'fast-check'
import { describe, expect, it, vi } from 'vitest'
import { chordField, melodyField, passesOf, rows } from '../../../../tests/fixtures/rows.js'
import { lanternSlip } from '../../../../tests/fixtures/worked-rows.js'
import type { ArrangedBar, ArrangedNote, Metre } from '../../contract/index.js'
import { barTicks, defaultGroups, groupStarts, keySignatureOf, mod } from '../../units/index.js'
import { mapTick, rebar, rebarOrWhy, rebarTargets, unbar } from '../index.js'
import { findMap, throughMap } from './maps.js'
import { SHORTEST_TICKS } from './place-bars.js'

const Q = 5040
vi.setConfig({ testTimeout: 30_000 })
const KEY = keySignatureOf('F major')
const chordOf = (symbol: string) =>
  ({ root: 'C', symbol, notes: [], intervals: [], omitted: [], kind: 'other', degrees: [] }) as const

/** Rows as bars, the metre's own groups; `len` quarters a bar. */
const barsOf = (metre: Metre, text: string): ArrangedBar[] =>
  rows(text, { len: barTicks(metre) / Q, key: 'F major', metre, groups: defaultGroups(metre) })
/** A bar in the rows' own words, for comparison. */
const spoken = (bar: ArrangedBar | undefined): string =>
  bar ? `${chordField(bar.chords)} | ${melodyField(bar)}` : 'no bar'

const TUNE_1 = passesOf(lanternSlip(), 'chorus-1')
const COMMON: Metre = { beats: 4, beatType: 4 }
const WALTZ: Metre = { beats: 3, beatType: 4 }
const SEVEN: Metre = { beats: 7, beatType: 4 }

describe('worked examples of re-barring', () => {
  it('[RB1] tune 1 to 3/4 keeps map 43a in every bar and gives the worked rows', () => {
    const made = rebar(TUNE_1, { metre: WALTZ, groups: [3] })
    expect(made?.steps.map(({ mapId }) => mapId)).toEqual(Array.from({ length: 32 }, () => '43a'))
    const expected: { readonly [bar: number]: string } = {
      1: 'Fmaj7 | A4:2 F4:0.5 G4:0.5',
      2: 'Dm7 | C5:2.5 G4:0.5',
      3: 'Gm7 | D5:2 C5:0.5 A4:0.5',
      4: 'C7 | G4:2.5 E4:0.5',
      5: 'Gm7 | D5:1.5 C5:0.5 Bb4:1',
      6: 'C7 | A4:2 G4:0.5 E4:0.5',
      7: 'F6 | F4:3~',
      8: 'F6 | F4:3',
      15: 'F6 | F4:3~',
      16: 'Cm7 F7@2 | F4:2 r:1',
      24: 'C7 | C5:2 Bb4:1',
      31: 'F6 | F4:3~',
      32: 'F6 | F4:3',
    }
    for (const [bar, row] of Object.entries(expected)) expect(spoken(made?.bars[Number(bar) - 1])).toBe(row)
    expect(made?.bars.every(({ lengthTicks }) => lengthTicks === 15120)).toBe(true)
  })

  it('[RB1] 43b, when named, gives the worked bars 1 and 5', () => {
    const made = rebar(TUNE_1, { metre: WALTZ, groups: [3] }, ['43b'])
    expect(spoken(made?.bars[0])).toBe('Fmaj7 | A4:1 F4:1 G4:1')
    expect(spoken(made?.bars[4])).toBe('Gm7 | D5:0.75 C5:0.25 Bb4:2')
  })

  it('[RB1] tune 1 to 7/4 (4+3) is sixteen bars of the worked rows, the tied tonic one sounding note', () => {
    const made = rebar(TUNE_1, { metre: SEVEN, groups: [4, 3] })
    const a = [
      'Fmaj7 Dm7@4 | A4:2 F4:1 G4:1 C5:2.5 G4:0.5',
      'Gm7 C7@4 | D5:2 C5:1 A4:1 G4:2.5 E4:0.5',
      'Gm7 C7@4 | D5:1.5 C5:0.5 Bb4:2 A4:2 G4:0.5 E4:0.5',
    ]
    expect(made?.bars.map(spoken)).toEqual([
      ...a,
      'F6 | F4:4~ F4:3',
      ...a,
      'F6 Cm7@4 F7@6 | F4:4~ F4:2 r:1',
      'Bbmaj7 Eb7@4 | D5:3 F5:1 Db5:2.5 C5:0.5',
      'Am7 D7@4 | C5:2 D5:1 E5:1 A4:2.5 F#4:0.5',
      'G7 | G4:2 B4:1 D5:1 E5:2.5 D5:0.5',
      'Gm7 C7@4 | F5:2 D5:1 Bb4:1 C5:2 Bb4:1',
      ...a,
      'F6 | F4:4~ F4:3',
    ])
    expect(made?.bars.every(({ lengthTicks, groups }) => lengthTicks === 35280 && groups.join() === '4,3')).toBe(true)
    expect(made?.bars.map(({ provenance }) => provenance.tuneBar)).toEqual(
      Array.from({ length: 16 }, (_, bar) => bar * 2),
    )
  })

  it('[RB1] samba is the identity map; its long-metre option doubles every bar', () => {
    const made = rebar(TUNE_1, { metre: COMMON, groups: [2, 2] })
    expect(made?.bars.map(spoken)).toEqual(TUNE_1.map(spoken))
    const long = rebar(TUNE_1, { metre: COMMON, groups: [2, 2] }, ['44-long'])
    expect(long?.bars).toHaveLength(64)
    expect(spoken(long?.bars[0])).toBe('Fmaj7 | A4:4')
    expect(spoken(long?.bars[1])).toBe('Fmaj7 | F4:2 G4:2')
    expect(spoken(long?.bars[2])).toBe('Dm7 | C5:4~')
  })

  it('[RB1] tune 2 by 34, tune 3 by 412, tune 1 by 45a as worked', () => {
    const tune2 = barsOf(WALTZ, '1 | Gm6 | D5:2 Bb4:1\n2 | Am7b5 D7b9@2 | C5:2 F#4:1')
    expect(rebar(tune2, { metre: COMMON, groups: [4] }, ['34'])?.bars.map(spoken)).toEqual([
      'Gm6 | D5:3 Bb4:1',
      'Am7b5 D7b9@3 | C5:3 F#4:1',
    ])
    const tune3 = barsOf(
      COMMON,
      '1 | Bb7 | r:1 F4:1 Ab4:1 Bb4:1\n2 | Bb7 | D5:1.5 Bb4:.5 r:2\n3 | G7b9 | D5:1.5 Ab4:.5 r:2',
    )
    const twelve = rebar(tune3, { metre: { beats: 12, beatType: 8 }, groups: [3, 3, 3, 3] })
    expect(twelve?.bars.map(spoken)).toEqual([
      'Bb7 | r:1.5 F4:1.5 Ab4:1.5 Bb4:1.5',
      'Bb7 | D5:2.5 Bb4:0.5 r:3',
      'G7b9 | D5:2.5 Ab4:0.5 r:3',
    ])
    expect(twelve?.bars[1]?.melody[1]?.startTick).toBe(12600)
    const five = rebar(TUNE_1, { metre: { beats: 5, beatType: 4 }, groups: [3, 2] })
    expect(spoken(five?.bars[0])).toBe('Fmaj7 | A4:3 F4:1 G4:1')
    expect(spoken(five?.bars[15]).startsWith('Cm7 F7@3 |')).toBe(true)
  })

  it('[RB2] never joins across a section: the odd last bar stands alone in its own metre', () => {
    const odd = TUNE_1.slice(0, 13).map((bar, index) => ({ ...bar, sectionId: index < 5 ? 'A1' : 'B1' }))
    const made = rebar(odd, { metre: SEVEN, groups: [4, 3] })
    expect(made?.steps.map(({ from }) => from.length)).toEqual([2, 2, 1, 2, 2, 2, 2])
    expect(made?.bars[2]?.metre).toEqual(COMMON)
    const passes = TUNE_1.slice(0, 6).map((bar, index) => ({ ...bar, pass: index < 3 ? 'chorus-1' : 'chorus-2' }))
    expect(rebar(passes, { metre: SEVEN, groups: [4, 3] })?.steps.map(({ from }) => from.length)).toEqual([2, 1, 2, 1])
  })

  it('[RB3] a pickup is the end of a full bar, and with its closing bar makes one', () => {
    const bars = barsOf(COMMON, '1 | C7 | G4:1 r:3\n2 | Fmaj7 | A4:4\n3 | Fmaj7 | A4:2 F4:1 r:1').map((bar, index) => ({
      ...bar,
      sectionId: 'A1',
      lengthTicks: [Q, 4 * Q, 3 * Q][index] as number,
      chords: bar.chords.map((chord) => ({ ...chord, durationTicks: [Q, 4 * Q, 3 * Q][index] as number })),
    }))
    const three = rebar(bars, { metre: WALTZ, groups: [3] }, ['43a'])
    expect(three?.bars.map(({ lengthTicks }) => lengthTicks / Q)).toEqual([0.5, 3, 2.5])
    expect(three && unbar(three, bars)).toEqual(bars)
    const seven = rebar(bars, { metre: SEVEN, groups: [4, 3] })
    expect(seven?.bars.map(({ lengthTicks }) => lengthTicks / Q)).toEqual([0.5, 6.5])
    expect(seven && unbar(seven, bars)).toEqual(bars)
  })

  it('[RB4] real triplets go evenly into dotted quarters while swung pairs go two and one', () => {
    const bars = barsOf(COMMON, '1 | F6 | r:4').map((bar) => ({
      ...bar,
      melody: [0, 1680, 3360].map((startTick) => ({
        startTick,
        durationTicks: 1680,
        midi: 60,
        name: 'C4',
        tuplet: { actual: 3, normal: 2 },
      })),
    }))
    const made = rebar(bars, { metre: { beats: 12, beatType: 8 }, groups: [3, 3, 3, 3] })
    expect(made?.steps[0]?.mapId).toBe('412~1')
    expect(
      made?.bars[0]?.melody.map(({ startTick, durationTicks, tuplet }) => [startTick, durationTicks, tuplet]),
    ).toEqual([
      [0, 2520, undefined],
      [2520, 2520, undefined],
      [5040, 2520, undefined],
    ])
    expect(made && unbar(made, bars)).toEqual(bars)
  })

  it('[RB5] where every map would make a note too short, the obstacle names the bar', () => {
    const sixteenths = Array.from({ length: 16 }, () => 'F4:.25').join(' ')
    const bars = barsOf(COMMON, `1 | F6 | F4:4\n2 | F6 | F4:.25 G4:.25 A4:3.5\n3 | F6 | ${sixteenths}`)
    expect(rebarOrWhy(bars, { metre: WALTZ, groups: [3] }, ['43a', '43b'])).toEqual({
      barIndex: 2,
      why: 'a note would become shorter than a triplet sixteenth',
    })
    expect(rebar(bars, { metre: WALTZ, groups: [3] })?.bars).toHaveLength(6)
    expect(rebarOrWhy(bars, { metre: { beats: 11, beatType: 8 }, groups: [3, 3, 3, 2] })).toEqual({
      why: 'no map leads from 4/4 there',
    })
  })
})

/** Undoing may take nothing but the frame from the original: melody and chords emptied, they must come back. */
const emptied = (bars: readonly ArrangedBar[]): ArrangedBar[] => bars.map((bar) => ({ ...bar, melody: [], chords: [] }))

const METRES: readonly Metre[] = [
  { beats: 2, beatType: 4 },
  WALTZ,
  COMMON,
  { beats: 6, beatType: 8 },
  { beats: 12, beatType: 8 },
  { beats: 5, beatType: 4 },
  { beats: 7, beatType: 8 },
  { beats: 9, beatType: 8 },
]

/** Tunes in eighths, sixteenths or triplets, with rests, ties, chord changes on units, sections and an optional pickup. */
const tuneArb = fc
  .record({
    metre: fc.constantFrom(...METRES),
    bars: fc.array(
      fc.record({
        cuts: fc.array(fc.nat(23), { maxLength: 6 }),
        rest: fc.boolean(),
        tie: fc.boolean(),
        midi: fc.integer({ min: 55, max: 79 }),
        chordAt: fc.nat(3),
        symbol: fc.constantFrom('Fmaj7', 'Dm7', 'Gm7', 'C7'),
      }),
      { minLength: 1, maxLength: 12 },
    ),
    sectionBars: fc.integer({ min: 1, max: 5 }),
    pickupQuarters: fc.integer({ min: 0, max: 2 }),
    grid: fc.constantFrom(2520, 2520, 1260, 1680),
  })
  .map(({ metre, bars, sectionBars, pickupQuarters, grid }): ArrangedBar[] => {
    const full = barTicks(metre)
    const all = pickupQuarters > 0 ? [bars[0] as (typeof bars)[number], ...bars] : bars
    return all.map((spec, barIndex) => {
      const isPickup = pickupQuarters > 0 && barIndex === 0
      const lengthTicks = isPickup ? pickupQuarters * (full > 2 * Q ? Q : 2520) : full
      const steps = Math.floor(lengthTicks / grid)
      const starts = [...new Set([0, ...spec.cuts.map((cut) => cut % steps)])].sort((a, b) => a - b)
      const melody = starts.flatMap((start, index): ArrangedNote[] => {
        if (spec.rest && index === 1) return []
        const end = starts[index + 1] ?? steps
        const isLast = index === starts.length - 1
        return [
          {
            startTick: start * grid,
            durationTicks: (end - start) * grid,
            midi: spec.midi + index,
            name: 'C4',
            ...(spec.tie && isLast ? { tiedToNext: true as const } : {}),
            ...(((end - start) * grid) % 315 === 0 ? {} : { tuplet: { actual: 3, normal: 2 } }),
            source: { bar: barIndex, index },
          },
        ]
      })
      const unit = (4 * Q) / metre.beatType
      const change = isPickup ? 0 : mod(spec.chordAt, metre.beats) * unit
      const chords =
        change > 0
          ? [
              { startTick: 0, durationTicks: change, chord: chordOf(spec.symbol) },
              { startTick: change, durationTicks: lengthTicks - change, chord: chordOf('F6') },
            ]
          : [{ startTick: 0, durationTicks: lengthTicks, chord: chordOf(spec.symbol) }]
      const played = pickupQuarters > 0 ? barIndex - 1 : barIndex
      return {
        barIndex,
        sectionId: `S${Math.max(0, Math.floor(played / sectionBars))}`,
        pass: 'chorus-1',
        metre,
        groups: defaultGroups(metre),
        lengthTicks,
        key: KEY,
        tempoBpm: 120,
        feel: 'even',
        chords,
        melody,
        parts: {},
        provenance: { decision: 'tune', rule: 'TU1', tuneBar: barIndex },
      }
    })
  })

describe('[RB1] out of five, seven and nine', () => {
  const places = (id: string, ...quarters: readonly number[]): readonly (number | undefined)[] =>
    quarters.map((quarter) => {
      const tick = throughMap(findMap(id)?.points ?? [], quarter * Q)
      return tick === undefined ? undefined : tick / Q
    })
  it('5/4 gives back what 45a and 45b made of 4/4', () => {
    expect(places('45a+54a', 0, 0.5, 1, 2, 2.5, 3, 3.5, 4)).toEqual([0, 0.5, 1, 2, 2.5, 3, 3.5, 4])
    expect(places('45b+54b', 0, 0.5, 1, 2, 2.5, 3, 3.5, 4)).toEqual([0, 0.5, 1, 2, 2.5, 3, 3.5, 4])
  })
  it('7/8 is doubled, or one of its last three eighths is', () => {
    expect(places('78-7', 0, 2, 2.5, 3, 3.5)).toEqual([0, 4, 5, 6, 7])
    expect(places('784a', 0, 2, 2.5, 3, 3.5)).toEqual([0, 2, 3, 3.5, 4])
    expect(places('784b', 0, 2, 2.5, 3, 3.5)).toEqual([0, 2, 2.5, 3, 4])
  })
  it('9/8 goes dotted quarter to quarter', () => {
    expect(places('934', 0, 1, 1.5, 2.5, 3, 4.5)).toEqual([0, 0.5, 1, 1.5, 2, 3])
    expect(findMap('934~2')?.points).toContainEqual([2 * 7560, 2 * Q])
  })
})

describe('laws of re-barring on generated tunes', () => {
  const report = { seed: 20260, numRuns: 25 }

  it(`[RB6] bars sum, order and notes are kept, nothing too short, downbeats stay strong, undo is exact (seed ${report.seed})`, () => {
    let downbeats = 0
    let kept = 0
    fc.assert(
      fc.property(tuneArb, (bars) => {
        const metre = (bars[0] as ArrangedBar).metre
        for (const target of rebarTargets(metre)) {
          const made = rebar(bars, target)
          if (!made) continue
          for (const [index, bar] of made.bars.entries()) {
            const isWhole = bar.lengthTicks === barTicks(bar.metre) || index === 0 || index === made.bars.length - 1
            expect(isWhole).toBe(true)
            expect(bar.groups.reduce((sum, group) => sum + group, 0)).toBe(bar.metre.beats)
            expect(bar.chords[0]?.startTick).toBe(0)
            expect(bar.chords.reduce((sum, { durationTicks }) => sum + durationTicks, 0)).toBe(bar.lengthTicks)
            let at = 0
            for (const note of bar.melody) {
              expect(note.startTick).toBeGreaterThanOrEqual(at)
              expect(note.durationTicks).toBeGreaterThanOrEqual(SHORTEST_TICKS)
              at = note.startTick + note.durationTicks
            }
            expect(at).toBeLessThanOrEqual(bar.lengthTicks)
          }
          const sources = made.bars.flatMap(({ melody }) =>
            melody.map(({ source }) => `${source?.bar}:${source?.index}`),
          )
          const wanted = bars.flatMap(({ melody }) => melody.map(({ source }) => `${source?.bar}:${source?.index}`))
          expect([...new Set(sources)]).toEqual(wanted)
          for (const [barIndex, bar] of bars.entries()) {
            if (bar.lengthTicks < barTicks(metre) || bar.melody[0]?.startTick !== 0) continue
            const place = mapTick(made, bars, barIndex, 0)
            const landed = made.bars[place.barIndex] as ArrangedBar
            downbeats++
            if (groupStarts(landed.metre, landed.groups).includes(place.tick)) kept++
          }
          const back = unbar(made, emptied(bars))
          expect(back.map(({ melody }) => melody)).toEqual(bars.map(({ melody }) => melody))
          expect(unbar(made, bars)).toEqual(bars)
        }
      }),
      report,
    )
    expect(downbeats).toBeGreaterThan(200)
    expect(kept / downbeats).toBeGreaterThanOrEqual(0.95)
  })

  it('[RB7] every map of every route is found, covers its bars and rises', () => {
    for (const metre of METRES) {
      for (const { mapIds, metre: to } of rebarTargets(metre)) {
        for (const id of mapIds) {
          const map = findMap(id)
          expect(map?.to).toEqual(to)
          for (const [index, [a, b]] of (map?.points ?? []).entries()) {
            if (index === 0) expect([a, b]).toEqual([0, 0])
            else expect(a > (map?.points[index - 1]?.[0] ?? 0) && b > (map?.points[index - 1]?.[1] ?? 0)).toBe(true)
          }
        }
      }
    }
    expect(findMap('43a+47')).toBeUndefined()
    expect(findMap('nonsense')).toBeUndefined()
  })
})
