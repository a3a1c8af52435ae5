import { describe, expect, it } from 'vitest'
import type { ArrangedBar } from '@chartloft/shared-theory'
import { roadMapLine } from './road-map.js'

const bar = (pass: string, sectionId: string, key = 'F major'): ArrangedBar =>
  ({ pass, sectionId, key: { key, mode: 'major', fifths: 0 } }) as ArrangedBar
const times = (count: number, one: ArrangedBar): readonly ArrangedBar[] => Array.from({ length: count }, () => one)

describe('[UI30] the road map in one line', () => {
  it('opening, choruses, solo, lift, ending', () => {
    const bars = [
      ...times(8, bar('opening', 'opening')),
      ...['A1', 'A2', 'B1', 'A3'].flatMap((id) => times(8, bar('chorus-1', id))),
      ...times(8, bar('solo-1', 'A1')),
      ...times(8, bar('chorus-last', 'A1')),
      ...times(8, bar('chorus-last', 'B1', 'Gb major')),
      ...times(4, bar('ending', 'ending', 'Gb major')),
    ]
    expect(roadMapLine(bars)).toBe('opening 8 · A A B A · solo A · A B (B in G♭ major) · ending 4')
  })
})
