import { describe, expect, it } from 'vitest'
import { arrangeMarks, type ChartLine, linesOf, pageStarts, withPages } from './arrange-mei.js'

const BOX = '<reh xml:id="r" staff="1"><rend rend="box" fontweight="bold">B</rend></reh>'
const WORDS = '<dir staff="1" tstamp="1"><rend fontstyle="normal" fontweight="bold">A · bar 5</rend></dir>'
const TEMPO =
  '<tempo staff="1" tstamp="1"><rend fontweight="bold">Waltz</rend><rend glyph.auth="smufl">\uECA5</rend> = 90</tempo>'
const bar = (id: string, inner: string): string => `<measure xml:id="${id}" n="1">${inner}</measure>`

describe('[UI39] marks of an engraved chart', () => {
  it('section words and tempo go above the chord symbols, beside the boxed letter', () => {
    const arranged = arrangeMarks(bar('m1', `<note />${BOX}${WORDS}${TEMPO}<harm>F</harm>`), '')
    expect(arranged).toBe(
      bar(
        'm1',
        `<note />${BOX}<reh place="above" staff="1" tstamp="1"><rend halign="left" fontweight="bold">A · bar 5\u2003Waltz♩ = 90</rend></reh><harm>F</harm>`,
      ),
    )
  })
  it('a tempo alone too; other words stay where they are', () => {
    expect(arrangeMarks(bar('m1', TEMPO), '')).not.toContain('<tempo')
    expect(arrangeMarks(bar('m1', WORDS), '')).toBe(bar('m1', WORDS))
  })
  it('a road map is escaped and broken at its dots', () => {
    const head = '<pgHead><rend xml:id="t" halign="center" fontweight="bold">T</rend></pgHead>'
    const arranged = arrangeMarks(head, Array.from({ length: 12 }, (_, index) => `verse <${index}>`).join(' · '))
    expect(arranged).toContain('verse &lt;0&gt; · verse &lt;1&gt;')
    expect(arranged).toContain('<lb/>')
    expect(arranged).toContain('fontsize="190%"')
  })
})

describe('[UI39] page turns', () => {
  const line = (flags: Partial<ChartLine> = {}): ChartLine => ({
    firstBar: 'm',
    beginsSection: false,
    beginsSilent: false,
    endsSilent: false,
    ...flags,
  })
  it('a page with one line left over is shared out', () => {
    const lines = Array.from({ length: 21 }, (_, index) => line({ beginsSection: index % 2 === 0 }))
    const starts = pageStarts(lines, [10, 10, 1])
    const sizes = starts.map((start, index) => (starts[index + 1] ?? lines.length) - start)
    expect(Math.min(...sizes)).toBeGreaterThanOrEqual(6)
    expect(Math.max(...sizes)).toBeLessThanOrEqual(10)
  })
  it('a rest near the middle draws the turn to it', () => {
    const lines = Array.from({ length: 16 }, (_, index) =>
      line(index === 6 ? { endsSilent: true, beginsSection: true } : {}),
    )
    expect(pageStarts(lines, [10, 6])).toEqual([0, 7])
  })
  it('lines are told from the breaks in the text, and page breaks put there', () => {
    const mei = `${bar('m1', '<note />')}<sb xml:id="s1" />${bar('m2', `<mRest />${BOX}`)}<sb xml:id="s2" />${bar('m3', '<note />')}`
    expect(
      linesOf(mei).map(({ firstBar, beginsSection, endsSilent }) => [firstBar, beginsSection, endsSilent]),
    ).toEqual([
      ['m1', false, false],
      ['m2', true, true],
      ['m3', false, false],
    ])
    expect(withPages(mei, [0, 2])).toContain('<sb xml:id="s1" />')
    expect(withPages(mei, [0, 2])).toContain(`<pb />${bar('m3', '<note />')}`)
  })
})
