/** The drummer: patterns by level, fills, the last hit. */
import { describe, expect, it, vi } from 'vitest'
import { groove, QUARTET, played, band, notesOf } from '../../../tests/fixtures/played-band.js'
import { passesOf, rows } from '../../../tests/fixtures/rows.js'
import { lanternSlip } from '../../../tests/fixtures/worked-rows.js'
import type { ArrangedBar, PassPlan } from '../contract/index.js'
import { GROOVES } from '../rhythm/index.js'
import { realiseBand } from './index.js'

vi.setConfig({ testTimeout: 30_000 })

describe('[BA6] drums', () => {
  const strokes = (bar: ArrangedBar | undefined, name: string) =>
    notesOf(bar, 'drums').flatMap((note) => (note.name === name ? [note.startTick] : []))

  it('level 1 keeps only its rows, level 2 is main or two, 3 and more vary in pairs', () => {
    const quiet = band(played(lanternSlip(), groove('swing-medium')), groove('swing-medium'), QUARTET, 0.1)
    expect([...new Set(notesOf(quiet[1], 'drums').map(({ name }) => name))].sort()).toEqual(['hat', 'hatfoot'])
    const medium = band(played(lanternSlip(), groove('swing-medium')), groove('swing-medium'), QUARTET, 0.5)
    expect(strokes(medium[0], 'snare')).toEqual([])
    expect(strokes(medium[2], 'snare')).toEqual([7560])
    expect(strokes(medium[0], 'ride')).toEqual([0, 5040, 7560, 10080, 15120, 17640])
  })

  it('a fill ends a section where the melody leaves room, and the downbeat after it is marked', () => {
    const bars = band(played(lanternSlip(), groove('backbeat')), groove('backbeat'), QUARTET, 0.7)
    expect(strokes(bars[15], 'tomfloor')).toEqual([17640])
    expect(strokes(bars[16], 'crash')).toEqual([0])
    expect(strokes(bars[7], 'tomfloor').length).toBe(1)
    const busy = rows([1, 2, 3, 4, 5, 6, 7, 8].map((bar) => `${bar} | F6 | A4:1 G4:1 F4:1 G4:1`).join('\n'), {
      len: 4,
      key: 'F major',
      feel: 'even',
      sections: [
        ['A1', 4],
        ['B1', 4],
      ],
    })
    expect(strokes(band(busy, groove('backbeat'), QUARTET, 0.7)[3], 'tomfloor')).toEqual([])
  })

  it('the last bar is one hit together', () => {
    for (const of of GROOVES.filter(({ metre }) => metre !== 'any')) {
      const last = band(played(lanternSlip(), of, 'chorus-1'), of).at(-1)
      for (const id of ['piano', 'bass', 'drums'])
        expect(notesOf(last, id).filter(({ startTick }) => startTick === 0).length, `${of.id} ${id}`).toBeGreaterThan(0)
      expect(notesOf(last, 'drums').every(({ startTick }) => startTick === 0)).toBe(true)
    }
  })

  it('bossa keeps one direction for the whole tune', () => {
    const bars = band(played(lanternSlip(), groove('bossa')), groove('bossa'), QUARTET, 0.7)
    bars.slice(0, 24).forEach((bar, index) => {
      if (index % 8 === 7) return
      expect(strokes(bar, 'xstick')[0], `bar ${index}`).toBe(index % 2 === 0 ? 0 : 5040)
    })
  })

  it('trading: the drums alone every other four', () => {
    const roadmap: readonly PassPlan[] = [{ id: 'solo-1', kind: 'solo', sections: [], soloist: 'piano', trading: 4 }]
    const bars = passesOf(lanternSlip(), 'solo-1').map((bar) => ({ ...bar, melody: [] }))
    const made = realiseBand(bars, { lineup: QUARTET, roadmap, groove: groove('swing-medium'), seed: 1 })
    expect(notesOf(made[4], 'bass')).toEqual([])
    expect(notesOf(made[4], 'piano')).toEqual([])
    expect(notesOf(made[4], 'drums').length).toBeGreaterThan(4)
    expect(notesOf(made[8], 'bass').length).toBeGreaterThan(0)
  })
})
