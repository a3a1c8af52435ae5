import { describe, expect, it } from 'vitest'
import type { ChartMark } from '@chartloft/shared-theory'
import { drawnBar, pageToShow, standShape, turnOf } from './stand-pages.js'

const mark = (number: number, ...playings: number[]): ChartMark => ({ number, playings })
/** Four written bars, the first two played twice, bars 3 and 4 one long rest; two pages. */
const marks = [mark(1, 0, 2), mark(2, 1, 3), { ...mark(3, 4), restBars: 2 }, mark(4, 5)]
const pages = [
  { svg: '', bars: [1, 2] },
  { svg: '', bars: [3] },
]

describe('[UI91] the chart on the stand', () => {
  it('finds the bar that sounds, the second time too, and inside a long rest', () => {
    expect([0, 1, 2, 3, 4, 5, 6].map((index) => drawnBar(marks, pages, index)?.number)).toEqual([
      1,
      2,
      1,
      2,
      3,
      3,
      undefined,
    ])
  })
  it('turns in the middle of a page’s last bar, to where the music goes', () => {
    const show = (barIndex: number, beat: number) => pageToShow(marks, pages, { barIndex, beat }, 4)
    expect([show(1, 0), show(1, 3)]).toEqual([0, 0])
    expect([show(3, 1), show(3, 2)]).toEqual([0, 1])
    expect([show(5, 3), show(9, 0)]).toEqual([1, undefined])
  })
  it('a pedal’s keys turn', () => {
    expect(['PageDown', 'ArrowRight', ' ', 'PageUp', 'ArrowLeft', 'Home', 'End', 'x'].map(turnOf)).toEqual([
      'next',
      'next',
      'next',
      'previous',
      'previous',
      'first',
      'last',
      undefined,
    ])
  })
  it('two bars a line on a phone, four on a tablet, the sheet as wide as the screen', () => {
    expect([360, 820, 1440].map((width) => standShape(width, 900).barsALine)).toEqual([2, 4, 4])
    const { page } = standShape(820, 1100).sheet
    expect(Math.round((page.widthTenthsMm * 96) / 254)).toBe(820)
    expect(page.scalePercent).toBeGreaterThanOrEqual(100)
    expect(standShape(3000, 2000).sheet.page.scalePercent).toBeLessThanOrEqual(190)
  })
})
