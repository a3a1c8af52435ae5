/** Engraves MusicXML into SVG pages, off the page's own thread: the engraver is large and takes its time. */
import createEngraver from 'verovio/wasm'
import { VerovioToolkit } from 'verovio/esm'
import { type PageSize, engraveChart } from './engrave.js'
import { engraveTune, type TuneSheet } from './engrave-tune.js'

export type EngraveRequest = ChartRequest | { readonly id: number; readonly tune: TuneSheet }
export interface ChartRequest {
  readonly id: number
  readonly musicXml: string
  readonly page: PageSize
  /** Printed below the title. */
  readonly roadMap: string
}
export type EngraveAnswer =
  | { readonly id: number; readonly pages: readonly string[]; readonly warnings: string }
  | { readonly id: number; readonly error: string }

const ready = createEngraver().then((module: unknown) => new VerovioToolkit(module))

async function engrave(request: EngraveRequest): Promise<EngraveAnswer> {
  const toolkit = await ready
  if ('tune' in request) return { id: request.id, ...engraveTune(toolkit, request.tune) }
  const { id, musicXml, page, roadMap } = request
  return { id, ...engraveChart(toolkit, musicXml, page, roadMap) }
}

self.addEventListener('message', (event: MessageEvent<EngraveRequest>) => {
  engrave(event.data).then(
    (answer) => postMessage(answer),
    (error: unknown) => postMessage({ id: event.data.id, error: String(error) } satisfies EngraveAnswer),
  )
})
