/** Grooves with their groups the other way round. */
import { describe, expect, it } from 'vitest'
import { GROOVES, findGroove, grooveOfBar, isTurned, turnedGroove } from './index.js'

const SEVEN = { beats: 7, beatType: 4 } as const

describe('[RB9] groups turned', () => {
  it('the kick of the relaxed seven as 3+4 is the known one, and every row still fills its bar', () => {
    const even = findGroove('seven-4-even')
    const turned = even && turnedGroove(even)
    expect(turned?.groups).toEqual([3, 4])
    expect(turned?.drums.main?.find(({ row }) => row === 'kick')?.bars).toEqual(['x..o..x..o..o.'])
    for (const groove of GROOVES) {
      const made = turnedGroove(groove)
      if (!made) continue
      for (const tokens of Object.values(made.bass).flat()) {
        let at = 0
        for (const { position, length } of tokens) {
          expect(position).toBe(at)
          at = position + length
        }
        expect(at).toBe(made.grid)
      }
      for (const row of [...made.comp.flat(), made.leftHand, made.guitar]) expect(row).toHaveLength(made.grid)
      // Nothing is held that was not struck, over the bar line or in it.
      for (const cell of made.comp) expect(cell.join('')).not.toMatch(/^-|\.-/)
      expect(made.drums.fill).toEqual(groove.drums.fill)
    }
  })
  it('only grooves of two unlike groups have such a form', () => {
    expect(
      GROOVES.filter((groove) => turnedGroove(groove))
        .map(({ id }) => id)
        .sort(),
    ).toEqual(['five-4', 'seven-4-even', 'seven-4-fast'])
  })
  it('a bar of 3+4 is played so, one of 4+3 as it is', () => {
    const even = findGroove('seven-4-even')!
    const bar = { feel: 'even', metre: SEVEN, tempoBpm: 116 }
    expect(grooveOfBar(even, { ...bar, groups: [4, 3] })).toBe(even)
    expect(grooveOfBar(even, { ...bar, groups: [3, 4] }).groups).toEqual([3, 4])
    expect(isTurned(even, [4, 3])).toBe(false)
  })
})
