import { describe, expect, it } from 'vitest'
import { arrangeTune, lineStartsFor } from './tune-mei.js'

const measure = (inside: string, n: number): string => `<measure n="${n}"><staff/>${inside}</measure>`
const WRITTEN = `<score><scoreDef><pgHead func="first"><rend>Score</rend></pgHead></scoreDef><section><pb xml:id="p"/>${[
  measure(
    '<reh place="above"><rend rend="box">A</rend></reh><dir place="above"><rend fontweight="bold">A · bar 1</rend></dir><tempo mm="112">x</tempo><harm tstamp="1">F</harm><harm tstamp="3">C7</harm>',
    1,
  ),
  '<sb xml:id="s"/>',
  measure('<dir place="above">N.C.</dir><harm tstamp="2">B♭</harm>', 2),
].join('')}</section></score>`

describe('[UI61] a tune for the engraver', () => {
  const arranged = arrangeTune(WRITTEN, {
    sections: new Map([[1, 'B & <C>']]),
    proposed: new Map([[0, [false, true]]]),
    lineStarts: new Set([0, 1]),
  })
  it('has its own section names in place of running marks, and no title or tempo', () => {
    expect(arranged).not.toMatch(/bar 1|pgHead|tempo|<pb|>A</)
    expect(arranged).toContain('<rend rend="box" fontweight="bold">B &amp; &lt;C&gt;</rend></reh></measure>')
    expect(arranged).toContain('N.C.')
  })
  it('has proposed chords in brackets and named so', () => {
    expect(arranged).toContain('<harm tstamp="1">F</harm><harm tstamp="3" type="proposed">(C7)</harm>')
    expect(arranged).toContain('<harm tstamp="2">B♭</harm>')
  })
  it('breaks lines where asked, not before the first bar', () => {
    expect(arranged.match(/<sb/g)).toHaveLength(1)
    expect(arranged).toMatch(/<sb\/><measure n="2"/)
  })
})

describe('[UI61] bars to a line', () => {
  const bars = (count: number, notes: number, begins: readonly number[] = [0]) =>
    Array.from({ length: count }, (_, index) => ({ notes, chords: 1, begins: begins.includes(index) }))
  it('four where every line has room, else two; sections begin lines', () => {
    expect([...lineStartsFor(bars(10, 4, [0, 5]), 2200)]).toEqual([0, 3, 5, 8])
    // Six are three and three, ten four, three and three.
    expect([...lineStartsFor(bars(16, 4, [0, 6]), 2200)]).toEqual([0, 3, 6, 10, 13])
    expect([...lineStartsFor(bars(7, 4), 2200)]).toEqual([0, 4])
    expect([...lineStartsFor(bars(6, 4), 980)]).toEqual([0, 2, 4])
  })
  it('one where two have none, in that section only', () => {
    const busy = [...bars(2, 4), ...bars(2, 14).map((bar, index) => ({ ...bar, begins: index === 0 }))]
    expect([...lineStartsFor(busy, 980)]).toEqual([0, 2, 3])
  })
  it('a pickup stands before the first four', () => {
    const [first, ...rest] = bars(9, 4)
    expect([...lineStartsFor([{ ...first!, isPickup: true }, ...rest], 2200)]).toEqual([0, 5])
  })
})
