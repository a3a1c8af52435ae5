import { describe, expect, it } from 'vitest'
import { changedSpan, excerptOf } from './excerpt.js'
import { bar, renumber } from './test-bars.js'

const written = ['C', 'Am', 'Dm7', 'G7', 'C', 'Am', 'Dm7', 'C'].map((symbol, index) => bar(index, symbol))
const isNew = { provenance: { decision: 'ending', optionId: 'e', rule: 'EN1' } } as const

describe('[UI3] excerpts of options', () => {
  it('finds the bars between a common beginning and a common end', () => {
    const changed = renumber([...written.slice(0, 3), bar(3, 'Db7'), ...written.slice(4)])
    expect(changedSpan(written, changed)).toEqual([3, 4])
    expect(changedSpan(written, written)).toEqual([8, 8])
  })

  it('shows an ending from three bars before, its added bars marked, and starts listening a bar earlier', () => {
    const longer = renumber([...written.slice(0, 7), bar(7, 'Abmaj7'), bar(8, 'Dbmaj7', isNew), bar(9, 'C', isNew)])
    const excerpt = excerptOf('ending', written, longer, 7)
    expect(excerpt.bars.map(({ bar }) => bar.barIndex)).toEqual([4, 5, 6, 7, 8, 9])
    expect(excerpt.bars.map(({ changed }) => changed)).toEqual([false, false, false, true, true, true])
    expect(excerpt.bars.map(({ added }) => added)).toEqual([false, false, false, false, true, true])
    expect(excerpt.bars[3]?.ref).toEqual({ pass: 'chorus-1', sectionId: 'A1', bar: 7, ofSection: 7 })
    expect(excerpt.bars.map(({ isLast }) => isLast)).toEqual([false, false, false, false, false, true])
    expect(excerpt.addedBars).toBe(2)
    expect(excerpt.fromBar).toBe(3)
    expect(excerpt.fromTick).toBe(3 * 20160)
    expect(excerpt.toTick).toBe(10 * 20160)
  })

  it('shows the home bars where nothing changes, none of them marked', () => {
    const excerpt = excerptOf('harmony', written, written, 4)
    expect(excerpt.bars.map(({ bar }) => bar.barIndex)).toEqual([3, 4, 5, 6])
    expect(excerpt.bars.some(({ changed, added }) => changed || added)).toBe(false)
  })

  it('never grows past ten bars and counts the rest', () => {
    const vamp = Array.from({ length: 16 }, (_, index) => bar(index, 'G7sus4', isNew))
    const excerpt = excerptOf('opening', written, renumber([...vamp, ...written]), 0)
    expect(excerpt.bars).toHaveLength(10)
    expect(excerpt.more).toBe(8)
  })
})
