import { describe, expect, it } from 'vitest'
import type { ArrangedBar, HandEdit } from '@chartloft/shared-theory'
import { placeOf } from './bar-number.js'

const bar = (barIndex: number, pass: string, sectionId: string) => ({ barIndex, pass, sectionId }) as ArrangedBar
const bars = [
  bar(0, 'opening', 'opening'),
  ...[1, 2].map((index) => bar(index, 'chorus-1', 'A')),
  bar(3, 'chorus-1', 'B'),
]
const chord = (startTick: number, at: { pass: string; sectionId: string; bar: number }): HandEdit => ({
  kind: 'chord',
  at,
  metre: { beats: 4, beatType: 4 },
  startTick,
  symbol: 'F7',
})

describe('[OF3] where an edit stands', () => {
  it('is the bar as the reader counts it, and the beat where it is not the first', () => {
    expect(placeOf(bars, chord(0, { pass: 'chorus-1', sectionId: 'A', bar: 1 }))).toEqual({ bar: 3 })
    expect(placeOf(bars, chord(2 * 5040, { pass: 'chorus-1', sectionId: 'B', bar: 0 }))).toEqual({ bar: 4, beat: 3 })
  })

  it('is not known for a bar that is not shown; a length is of a part of the form', () => {
    expect(placeOf(bars, chord(0, { pass: 'ending', sectionId: 'ending', bar: 0 }))).toEqual({})
    expect(placeOf(bars, { kind: 'bars', at: 'ending', bars: 4 })).toEqual({ of: 'ending' })
  })
})
