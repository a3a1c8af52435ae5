/** Engraves MusicXML into SVG pages, off the page's own thread: the engraver is large and takes its time. */
import createEngraver from 'verovio/wasm'
import { VerovioToolkit } from 'verovio/esm'

export interface EngraveRequest {
  readonly id: number
  readonly musicXml: string
  readonly page: { readonly widthTenthsMm: number; readonly heightTenthsMm: number; readonly scalePercent: number }
}
export type EngraveAnswer =
  | { readonly id: number; readonly pages: readonly string[]; readonly warnings: string }
  | { readonly id: number; readonly error: string }

const ready = createEngraver().then((module: unknown) => new VerovioToolkit(module))

async function engrave({ id, musicXml, page }: EngraveRequest): Promise<EngraveAnswer> {
  const toolkit = await ready
  toolkit.setOptions({
    inputFrom: 'musicxml',
    pageWidth: Math.round((page.widthTenthsMm * 100) / page.scalePercent),
    pageHeight: Math.round((page.heightTenthsMm * 100) / page.scalePercent),
    pageMarginLeft: 110,
    pageMarginRight: 110,
    pageMarginTop: 90,
    pageMarginBottom: 90,
    scale: page.scalePercent,
    breaks: 'line',
    header: 'encoded',
    footer: 'none',
    font: 'Bravura',
    svgViewBox: true,
    svgHtml5: false,
    spacingStaff: 9,
    spacingSystem: 4,
    justifyVertically: true,
  })
  if (!toolkit.loadData(musicXml)) return { id, error: toolkit.getLog() || 'the engraver could not read the chart' }
  const pages: string[] = []
  for (let number = 1; number <= toolkit.getPageCount(); number++) pages.push(toolkit.renderToSVG(number))
  return { id, pages, warnings: toolkit.getLog() }
}

self.addEventListener('message', (event: MessageEvent<EngraveRequest>) => {
  engrave(event.data).then(
    (answer) => postMessage(answer),
    (error: unknown) => postMessage({ id: event.data.id, error: String(error) } satisfies EngraveAnswer),
  )
})
