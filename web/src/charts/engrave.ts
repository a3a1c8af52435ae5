/** MusicXML to the lines of a chart, with the engraver that is given: laid out once, however many pages are made of it. */
import { laterKeys, withOwnKeys } from './own-keys.js'
import { type ChartSystem, type Shapes, shapesOf, systemsOf } from './systems.js'

/** Tenths of a millimetre and per cent of a 7.2 mm staff. */
export interface PageSize {
  readonly widthTenthsMm: number
  readonly heightTenthsMm: number
  readonly scalePercent: number
}

/** What we use of the engraver. */
export interface EngravingToolkit {
  setOptions(options: { readonly [name: string]: string | number | boolean | readonly string[] }): void
  loadData(data: string): boolean
  getMEI(options: object): string
  getPageCount(): number
  renderToSVG(page: number): string
  getLog(): string
}

export interface EngravedLines {
  readonly systems: readonly ChartSystem[]
  readonly shapes: Shapes
  /** What the engraver remarked on, empty where nothing. */
  readonly warnings: string
}

/** The highest page it takes: lines come one below the other, pages are made of them afterwards. */
const ENDLESS = 60_000
/** The engraver counts ten units to a pixel. */
const UNITS = 10

/** The engraver's units to tenths of a millimetre on paper. */
export const unitsOf = (tenthsMm: number, scalePercent: number): number =>
  Math.round((tenthsMm * 100) / scalePercent) * UNITS

export function engraveLines(
  toolkit: EngravingToolkit,
  musicXml: string,
  innerTenthsMm: number,
  scalePercent: number,
): EngravedLines {
  const options = {
    pageWidth: unitsOf(innerTenthsMm, scalePercent) / UNITS,
    pageHeight: ENDLESS,
    adjustPageHeight: true,
    pageMarginLeft: 0,
    pageMarginRight: 0,
    pageMarginTop: 0,
    pageMarginBottom: 0,
    scale: 100,
    header: 'none',
    footer: 'none',
    font: 'Bravura',
    smuflTextFont: 'none',
    svgViewBox: true,
    svgHtml5: false,
    svgFormatRaw: true,
    svgAdditionalAttribute: ['measure@n'],
    spacingStaff: 9,
    spacingSystem: 4,
    minLastJustification: 0.6,
    multiRestStyle: 'block',
  }
  const load = (inputFrom: string, breaks: string, data: string): string => {
    toolkit.setOptions({ ...options, inputFrom, breaks })
    if (!toolkit.loadData(data)) throw new Error(toolkit.getLog() || 'the engraver could not read the chart')
    return toolkit.getLog()
  }
  const keys = laterKeys(musicXml)
  let warnings = load('musicxml', keys.length > 0 ? 'none' : 'line', musicXml)
  if (keys.length > 0) warnings += load('mei', 'line', withOwnKeys(toolkit.getMEI({}), keys))
  const drawn = Array.from({ length: toolkit.getPageCount() }, (_, index) => lean(toolkit.renderToSVG(index + 1)))
  return {
    systems: drawn.flatMap(systemsOf),
    shapes: new Map(drawn.flatMap((svg) => [...shapesOf(svg)])),
    warnings,
  }
}

/** Ids of groups are only the engraver's; those of shapes are referred to. */
const lean = (svg: string): string => svg.replaceAll(/<g id="[^"]*" class=/g, '<g class=')
