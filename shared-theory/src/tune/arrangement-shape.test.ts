import { describe, expect, it } from 'vitest'
import { lanternArrangement } from '../../../tests/fixtures/lantern-band.js'
import type { ArrangedBar, Arrangement } from '../contract/index.js'
import { arrangementShape } from './index.js'

const whole = lanternArrangement()
const withBar = (change: object): Arrangement => ({
  ...whole,
  bars: whole.bars.map((bar, index) => (index === 2 ? ({ ...bar, ...change } as ArrangedBar) : bar)),
})
const third = (given: unknown): ArrangedBar | undefined => arrangementShape(given).bars[2]

describe('[CO13] the door of what reads an arrangement', () => {
  it('a whole arrangement is the same object, and so is every whole bar of a broken one', () => {
    expect(arrangementShape(whole)).toBe(whole)
    const broken = arrangementShape(withBar({ feel: 7 }))
    expect(broken.bars[1]).toBe(whole.bars[1])
    expect(broken.bars[2]).toEqual({ ...whole.bars[2], feel: '' })
  })
  it('a bar without metre and length is left out; with one of them it is kept', () => {
    expect(arrangementShape(withBar({ metre: null, lengthTicks: -1 })).bars).toHaveLength(whole.bars.length - 1)
    expect(third(withBar({ metre: null }))?.metre).toEqual({ beats: 4, beatType: 4 })
    expect(third(withBar({ lengthTicks: Number.NaN }))?.lengthTicks).toBe(20160)
    expect(third(withBar({ groups: [3, 3] }))?.groups.reduce((sum, size) => sum + size, 0)).toBe(4)
  })
  it('notes and chords that cannot be are left out, the others stay', () => {
    const note = { startTick: 0, durationTicks: 5040, midi: 60, name: 'C4', velocity: 80 }
    const parts = { alto: [note, { ...note, startTick: -1 }, { ...note, name: 'H9' }, { ...note, midi: 1e9 }, 7] }
    expect(third(withBar({ parts }))?.parts).toEqual({ alto: [note] })
    expect(third(withBar({ chords: [{ startTick: 0, durationTicks: 20160, chord: 'C7' }] }))?.chords).toEqual([])
    expect(third(withBar({ melody: 'la la' }))?.melody).toEqual([])
  })
  it('numbers that no tempo is', () => {
    for (const tempoBpm of [0, -1, 1e308, Number.NaN, '138'])
      expect(third(withBar({ tempoBpm }))?.tempoBpm, String(tempoBpm)).toBe(120)
    expect(Object.keys(third(withBar({ tempoEndBpm: 0 })) ?? {})).not.toContain('tempoEndBpm')
  })
})
