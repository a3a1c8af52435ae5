/** MusicXML to SVG pages with the engraver that is given: laid out once to see how much a page holds, then with pages that turn well. */
import { arrangeMarks, linesOf, pageStarts, withPages } from './arrange-mei.js'

export interface PageSize {
  readonly widthTenthsMm: number
  readonly heightTenthsMm: number
  readonly scalePercent: number
}

/** What we use of the engraver. */
export interface EngravingToolkit {
  setOptions(options: { readonly [name: string]: string | number | boolean }): void
  loadData(data: string): boolean
  getMEI(options: object): string
  getPageCount(): number
  getPageWithElement(id: string): number
  renderToSVG(page: number): string
  getLog(): string
}

/** Tenths of a millimetre; the foot has room for the line that names the chart. */
const MARGINS = { left: 120, right: 120, top: 100, bottom: 160 }

export function engraveChart(
  toolkit: EngravingToolkit,
  musicXml: string,
  page: PageSize,
  roadMap = '',
): { readonly pages: readonly string[]; readonly warnings: string } {
  const onPaper = (tenthsMm: number): number => Math.round((tenthsMm * 100) / page.scalePercent)
  const options = {
    pageWidth: onPaper(page.widthTenthsMm),
    pageHeight: onPaper(page.heightTenthsMm),
    pageMarginLeft: onPaper(MARGINS.left),
    pageMarginRight: onPaper(MARGINS.right),
    pageMarginTop: onPaper(MARGINS.top),
    pageMarginBottom: onPaper(MARGINS.bottom),
    scale: page.scalePercent,
    header: 'encoded',
    footer: 'none',
    font: 'Bravura',
    svgViewBox: true,
    svgHtml5: false,
    spacingStaff: 9,
    spacingSystem: 4,
    justifyVertically: true,
    // Pages are filled evenly, so all but the last may be spread.
    justificationMaxVertical: 0.5,
  }
  const load = (inputFrom: string, breaks: string, data: string): void => {
    toolkit.setOptions({ ...options, inputFrom, breaks })
    if (!toolkit.loadData(data)) throw new Error(toolkit.getLog() || 'the engraver could not read the chart')
  }
  load('musicxml', 'none', musicXml)
  let warnings = toolkit.getLog()
  const mei = arrangeMarks(toolkit.getMEI({}), roadMap)
  load('mei', 'line', mei)
  warnings += toolkit.getLog()
  const count = toolkit.getPageCount()
  if (count > 1) {
    const lines = linesOf(mei)
    const held = Array.from({ length: count }, () => 0)
    for (const { firstBar } of lines) {
      const at = toolkit.getPageWithElement(firstBar) - 1
      if (held[at] !== undefined) held[at]++
    }
    const starts = pageStarts(lines, held)
    if (starts.length > 0) load('mei', 'encoded', withPages(mei, starts))
  }
  const pages = Array.from({ length: toolkit.getPageCount() }, (_, index) => toolkit.renderToSVG(index + 1))
  return { pages, warnings }
}
