import { describe, expect, it } from 'vitest'
import { type PageLine, pageStarts } from './page-turns.js'

const line = (flags: Partial<PageLine> = {}): PageLine => ({
  height: 100,
  beginsSection: false,
  beginsSilent: false,
  endsSilent: false,
  ...flags,
})
const room = { first: 1090, other: 1090, gap: 10 }

describe('[UI39] page turns', () => {
  it('what fits one page stays on it', () => {
    expect(
      pageStarts(
        Array.from({ length: 10 }, () => line()),
        room,
      ),
    ).toEqual([0])
    expect(pageStarts([], room)).toEqual([0])
  })
  it('a line left over is shared out evenly, on as few pages as hold all', () => {
    const lines = Array.from({ length: 21 }, (_, index) => line({ beginsSection: index % 2 === 0 }))
    const starts = pageStarts(lines, room)
    const sizes = starts.map((start, index) => (starts[index + 1] ?? lines.length) - start)
    expect(sizes).toHaveLength(3)
    expect(Math.min(...sizes)).toBeGreaterThanOrEqual(6)
    expect(Math.max(...sizes)).toBeLessThanOrEqual(10)
  })
  it('the first page holds less below its head', () => {
    const lines = Array.from({ length: 16 }, () => line())
    expect(pageStarts(lines, { ...room, first: 540 })[1]).toBeLessThanOrEqual(5)
  })
  it('a rest near the middle draws the turn to it', () => {
    const lines = Array.from({ length: 16 }, (_, index) =>
      line(index === 6 ? { endsSilent: true } : index === 7 ? { beginsSection: true } : {}),
    )
    expect(pageStarts(lines, room)).toEqual([0, 7])
  })
  it('a line higher than a page has one of its own', () => {
    expect(pageStarts([line(), line({ height: 5000 }), line()], room)).toEqual([0, 1, 2])
  })
})
