import { describe, expect, it } from 'vitest'
import type { ArrangedBar } from '@chartloft/shared-theory'
import { roadMapLine } from './road-map.js'

const bar = (pass: string, sectionId: string, key = 'F major'): ArrangedBar =>
  ({ pass, sectionId, key: { key, mode: 'major', fifths: key === 'G major' ? 1 : -1 } }) as ArrangedBar
const times = (count: number, one: ArrangedBar): readonly ArrangedBar[] => Array.from({ length: count }, () => one)
const aaba = (pass: string): readonly ArrangedBar[] => ['A1', 'A2', 'B1', 'A3'].flatMap((id) => times(8, bar(pass, id)))

describe('[UI30] the road map in one line', () => {
  it('opening, choruses, solos as often as they come, lift, ending', () => {
    const bars = [
      ...times(8, bar('opening', 'opening')),
      ...aaba('chorus-1'),
      ...aaba('solo-1'),
      ...aaba('solo-1#2'),
      ...times(8, bar('chorus-last', 'A1')),
      ...times(8, bar('chorus-last', 'B1', 'G major')),
      ...times(4, bar('ending', 'ending', 'G major')),
    ]
    expect(roadMapLine(bars)).toBe('Opening 8 · A A B A · solos 2×: A A B A · A B (B up a whole step) · Ending 4')
  })
  it('names who plays a solo of their own, and does not add up passes that differ', () => {
    const bars = [...aaba('solo-1'), ...aaba('solo-2'), ...times(8, bar('solo-2#2', 'A1'))]
    expect(roadMapLine(bars, (pass) => (pass === 'solo-1' ? 'Trumpet' : undefined))).toBe(
      'Trumpet solo: A A B A · solos: A A B A · solos: A',
    )
  })
})
