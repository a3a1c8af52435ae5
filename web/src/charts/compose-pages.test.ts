import { describe, expect, it } from 'vitest'
import type { ChartMark } from '@chartloft/shared-theory'
import { drawHead } from './chart-head.js'
import { composePages, type SheetShape } from './compose-pages.js'
import { laterKeys, withOwnKeys } from './own-keys.js'
import { shapesOf, systemsOf } from './systems.js'

/** A line as the engraver draws it: four bars of one staff from `top` on, a chord symbol above, a note high above the last bar. */
const system = (first: number, top: number): string =>
  `<g class="system">${[0, 1, 2, 3]
    .map(
      (place) =>
        `<g class="measure" data-n="${first + place}"><g class="staff">${[0, 180, 360, 540, 720]
          .map((y) => `<path d="M${place * 1000} ${top + y} L${place * 1000 + 1000} ${top + y}" stroke-width="13" />`)
          .join(
            '',
          )}<g class="layer"><g class="${place === 3 ? 'note' : 'mRest'}"><use xlink:href="#E0A4-x" transform="translate(${place * 1000 + 400}, ${top - (place === 3 ? 900 : -360)}) scale(0.72, 0.72)" /></g></g></g>${
          place === 0
            ? `<g class="mNum"><text y="${top - 300}" text-anchor="middle" font-size="300px"><tspan font-size="300px">${first}</tspan></text></g><g class="harm"><text x="100" y="${top - 400}" font-size="0px"><tspan font-size="405px">F&amp;7</tspan></text></g>`
            : ''
        }</g>`,
    )
    .join('')}</g>`
const drawn = `<svg><defs><g id="E0A4-x"><path d="M0 0"/></g><g id="E0A3-x"><path d="M1 1"/></g></defs><g class="page-margin">${[0, 1, 2].map((index) => system(1 + index * 4, 1000 + index * 3000)).join('')}</g></svg>`
const systems = systemsOf(drawn)
const shapes = shapesOf(drawn)
const mark = (number: number, more: Partial<ChartMark> = {}): ChartMark => ({ number, playings: [number - 1], ...more })
const sheet: SheetShape = {
  width: 5000,
  height: 9000,
  margins: { left: 500, right: 500, top: 300, bottom: 500 },
}
/** Where a text of a page stands, foot of its letters. */
const footOf = (svg: string, text: string): number =>
  Number(new RegExp(`y="(-?\\d+)"[^>]*>${text}<`).exec(svg)?.[1] ?? Number.NaN)

describe('[UI39] lines of an engraved chart', () => {
  it('are told apart, with their bars, staves and all that is drawn', () => {
    expect(systems).toHaveLength(3)
    expect(systems[1]?.bars.map(({ number, left, right, isSilent }) => [number, left, right, isSilent])).toEqual([
      [5, 0, 1000, true],
      [6, 1000, 2000, true],
      [7, 2000, 3000, true],
      [8, 3000, 4000, false],
    ])
    expect([systems[1]?.staffTop, systems[1]?.staffBottom]).toEqual([4000, 4720])
    expect(Math.min(...(systems[0]?.ink ?? []).map(({ top }) => top))).toBeLessThanOrEqual(1000 - 900)
  })
  it('keep room under the staff for a G clef, and none for clefs that stay inside it', () => {
    const lowest = (glyph: string) => {
      const clef = `<g class="clef"><use xlink:href="#${glyph}-x" transform="translate(90, 1360) scale(0.72, 0.72)" /></g>`
      const [line] = systemsOf(drawn.replace('<g class="layer">', `${clef}<g class="layer">`))
      return Math.max(...(line?.ink ?? []).map(({ bottom }) => bottom))
    }
    expect(lowest('E050')).toBeGreaterThan(lowest('E062'))
    expect(lowest('E062')).toBe(systems[0]?.staffBottom)
  })
  it('stand closer where that saves a page, and no closer than they need to', () => {
    const pagesOf = (height: number) =>
      composePages(systems, shapes, { marks: [], sheet: { ...sheet, height } }).map(({ svg }) =>
        [...svg.matchAll(/<g class="line" transform="translate\(0, (-?\d+)\)">/g)].map(([, down]) => Number(down)),
      )
    const line =
      Math.max(...(systems[0]?.ink ?? []).map(({ bottom }) => bottom)) -
      Math.min(...(systems[0]?.ink ?? []).map(({ top }) => top))
    const { top, bottom } = sheet.margins
    expect(pagesOf(top + bottom + 3 * line + 2 * 260)).toHaveLength(1)
    const [tight] = pagesOf(top + bottom + 3 * line + 2 * 150)
    expect(tight).toHaveLength(3)
    expect(pagesOf(top + bottom + 3 * line + 2 * 149)).toHaveLength(2)
  })
})

describe('[UI39] what stands above a line', () => {
  const compose = (marks: readonly ChartMark[], changed: readonly number[] = []): string =>
    composePages(systems, shapes, { marks, sheet, changed: new Set(changed) })
      .map(({ svg }) => svg)
      .join('')
  it('stands just clear of bar number and chord symbol, and no higher than what is below it asks', () => {
    const svg = compose([mark(1, { letter: 'A', form: 'Opening' })])
    const foot = footOf(svg, 'A')
    // The chord's letters reach 405 × 0.75 above their foot at 600.
    expect(foot).toBeLessThan(600 - 300)
    expect(foot).toBeGreaterThan(600 - 300 - 600)
  })
  it('a jump ends at its bar, above a high note there', () => {
    const svg = compose([mark(4, { jump: 'D.S. al Coda' })])
    expect(footOf(svg, 'D\\.S\\. al Coda')).toBeLessThan(1000 - 900 - 190)
    expect(svg).toContain('class="above jump"')
  })
  it('segno and coda are signs, tempo a drawn note, words are text', () => {
    const svg = compose([
      mark(1, { segno: true, time: { feel: '<Swing>', beat: { unit: 'half', isDotted: true, perMinute: 60 } } }),
      mark(3, { toCoda: true }),
    ])
    expect(svg).toContain('class="sign segno"')
    expect(svg).toContain('class="sign coda"')
    expect(svg).toContain('&lt;Swing&gt;')
    expect(svg).toMatch(/<ellipse[^>]*fill="none"[\s\S]*<ellipse[\s\S]*>= 60</)
  })
  it('[UI90] changed bars are ruled above, and stroked in the margin of their line', () => {
    const changed = /<g class="changed">(.*?)<\/g>/.exec(compose([], [5, 6]))?.[1] ?? ''
    expect(changed.match(/<rect /g)).toHaveLength(3)
    expect(changed).toContain('x="-420"')
    expect(compose([])).not.toContain('class="changed"')
  })
})

describe('[UI39] pages', () => {
  it('hold their lines in order, shapes they use and ids of their own', () => {
    const pages = composePages(systems, shapes, { marks: [], sheet: { ...sheet, height: 5800 } })
    expect(pages).toHaveLength(2)
    expect(pages.flatMap(({ bars }) => bars)).toEqual(Array.from({ length: 12 }, (_, index) => index + 1))
    for (const [index, { svg }] of pages.entries()) {
      expect(svg).toContain(`id="E0A4-x-p${index + 1}"`)
      expect(svg).toContain(`xlink:href="#E0A4-x-p${index + 1}"`)
      expect(svg).not.toContain('E0A3')
    }
  })
  it('lines keep clear of each other and stay on the paper', () => {
    const [page] = composePages(systems, shapes, { marks: [], sheet })
    const downs = [...(page?.svg ?? '').matchAll(/class="line" transform="translate\(0, (-?\d+)\)"/g)].map(([, y]) =>
      Number(y),
    )
    const spans = systems.map(({ ink }, index) => ({
      top: Math.min(...ink.map(({ top }) => top)) + (downs[index] ?? 0),
      bottom: Math.max(...ink.map(({ bottom }) => bottom)) + (downs[index] ?? 0),
    }))
    expect(spans[0]?.top).toBeGreaterThanOrEqual(300)
    expect(spans[2]?.bottom).toBeLessThanOrEqual(9000 - 500)
    for (const [index, { top }] of spans.entries())
      if (index > 0) expect(top - (spans[index - 1]?.bottom ?? 0)).toBeGreaterThanOrEqual(260)
  })
  it('a head has title, part and road map, escaped and broken between its steps', () => {
    const roadMap = Array.from({ length: 12 }, (_, index) => `verse <${index}>`)
    const { svg, height } = drawHead({ title: 'A & B', part: 'Trumpet', roadMap }, 12_000)
    expect(svg).toContain('A &amp; B')
    expect(svg).toContain('verse &lt;0&gt; · verse &lt;1&gt;')
    expect(svg.match(/<text /g)?.length).toBeGreaterThan(3)
    expect(height).toBeGreaterThan(drawHead({ title: 'A', part: 'B', roadMap: [] }, 12_000).height)
  })
})

describe('[UI39] keys of a score', () => {
  const part = (keys: readonly (number | undefined)[], staves = 1): string =>
    `<part id="P">${keys.map((fifths, index) => `<measure number="${index}">${index === 0 ? `<staves>${staves}</staves>` : ''}${fifths === undefined ? '' : `<key><fifths>${fifths}</fifths></key>`}</measure>`).join('')}</part>`
  it('staves that change to different keys have their own signatures, a drummer none', () => {
    const changes = laterKeys(part([1, undefined, 3]) + part([-1, undefined, 1], 2) + part([0, undefined, 0]))
    expect(changes).toEqual([[3, 1, 1, 0]])
    const first = '<scoreDef><staffGrp><keySig sig="1s" /></staffGrp></scoreDef>'
    expect(withOwnKeys(`${first}<scoreDef xml:id="a"><keySig sig="3s" /></scoreDef>`, changes)).toBe(
      `${first}<scoreDef xml:id="a"><staffGrp>${[3, 1, 1, 0].map((fifths, index) => `<staffDef n="${index + 1}"><keySig sig="${fifths === 0 ? '0' : `${fifths}s`}" /></staffDef>`).join('')}</staffGrp></scoreDef>`,
    )
  })
  it('a part, and a score that changes alike, are left alone', () => {
    expect(laterKeys(part([1, 3]))).toEqual([])
    expect(laterKeys(part([1, 3]) + part([1, 3]))).toEqual([])
  })
})
