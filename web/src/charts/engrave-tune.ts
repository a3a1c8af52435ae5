/** A tune as one long sheet as wide as there is room for: what the page that brings tunes shows. */
import type { EngravingToolkit } from './engrave.js'
import { arrangeTune, type BarSize, lineStartsFor, type TuneMarks } from './tune-mei.js'

export interface TuneSheet {
  readonly musicXml: string
  /** A staff is 72 of these high. */
  readonly widthUnits: number
  readonly bars: readonly BarSize[]
  readonly marks: Omit<TuneMarks, 'lineStarts'>
}

/** The tallest page the engraver knows; what is longer goes on on another. */
const TALLEST_UNITS = 60_000

export function engraveTune(
  toolkit: EngravingToolkit,
  { musicXml, widthUnits, bars, marks }: TuneSheet,
): { readonly pages: readonly string[]; readonly warnings: string } {
  const load = (inputFrom: string, breaks: string, data: string): void => {
    toolkit.setOptions({
      inputFrom,
      breaks,
      pageWidth: Math.round(widthUnits),
      pageHeight: TALLEST_UNITS,
      adjustPageHeight: true,
      // Bar numbers stand left of their staff.
      pageMarginLeft: 36,
      pageMarginRight: 18,
      pageMarginTop: 24,
      pageMarginBottom: 24,
      scale: 100,
      header: 'none',
      footer: 'none',
      font: 'Bravura',
      svgViewBox: true,
      svgHtml5: false,
      spacingStaff: 9,
      // Clear air between a letter and the chord symbol under it.
      defaultBottomMargin: 1.5,
      spacingSystem: 6,
      justifyVertically: false,
    })
    if (!toolkit.loadData(data)) throw new Error(toolkit.getLog() || 'the engraver could not read the tune')
  }
  load('musicxml', 'none', musicXml)
  let warnings = toolkit.getLog()
  load('mei', 'line', arrangeTune(toolkit.getMEI({}), { ...marks, lineStarts: lineStartsFor(bars, widthUnits) }))
  warnings += toolkit.getLog()
  return {
    pages: Array.from({ length: toolkit.getPageCount() }, (_, index) => toolkit.renderToSVG(index + 1)),
    warnings,
  }
}
