/** Engraves charts into SVG pages, off the page's own thread: the engraver is large and takes its time. Lines once laid out are kept, so that
 *  another paper length, marks of change or a look back cost next to nothing. */
import type { ChartMark } from '@chartloft/shared-theory'
import createEngraver from 'verovio/wasm'
import { VerovioToolkit } from 'verovio/esm'
import type { Head } from './chart-head.js'
import { type ComposedPage, composePages } from './compose-pages.js'
import { type EngravedLines, engraveLines, type PageSize, unitsOf } from './engrave.js'
import { engraveTune, type TuneSheet } from './engrave-tune.js'
import { WARMING } from './warming.js'

export type EngraveRequest = ChartRequest | { readonly id: number; readonly tune: TuneSheet }
export interface ChartRequest {
  readonly id: number
  readonly musicXml: string
  readonly marks: readonly ChartMark[]
  readonly page: PageSize
  /** Tenths of a millimetre; the foot has room for the line that names the chart. */
  readonly margins: { readonly left: number; readonly right: number; readonly top: number; readonly bottom: number }
  readonly head?: Head
  /** Numbers of the bars to rule as changed. */
  readonly changed: readonly number[]
}
export type EngraveAnswer =
  | { readonly id: number; readonly pages: readonly ComposedPage[]; readonly warnings: string }
  | { readonly id: number; readonly error: string }

/** Charts whose lines are kept. */
const KEPT = 16
const kept = new Map<string, EngravedLines>()

const ready = createEngraver().then((module: unknown) => {
  const toolkit = new VerovioToolkit(module)
  // The engraver's code gets quick by being used.
  engraveLines(toolkit, WARMING, 1860, 100)
  return toolkit
})

async function answerTo(request: EngraveRequest): Promise<EngraveAnswer> {
  if (!('tune' in request)) return engrave(request)
  const { pages, warnings } = engraveTune(await ready, request.tune)
  return { id: request.id, pages: pages.map((svg) => ({ svg, bars: [] })), warnings }
}

async function engrave(request: ChartRequest): Promise<EngraveAnswer> {
  const { id, musicXml, marks, page, margins, head, changed } = request
  const { scalePercent } = page
  const inner = page.widthTenthsMm - margins.left - margins.right
  const { systems, shapes, warnings } = await linesOf(musicXml, inner, scalePercent)
  const units = (tenthsMm: number): number => unitsOf(tenthsMm, scalePercent)
  const pages = composePages(systems, shapes, {
    marks,
    sheet: {
      width: units(page.widthTenthsMm),
      height: units(page.heightTenthsMm),
      margins: {
        left: units(margins.left),
        right: units(margins.right),
        top: units(margins.top),
        bottom: units(margins.bottom),
      },
    },
    ...(head ? { head } : {}),
    changed: new Set(changed),
  })
  return { id, pages, warnings }
}

async function linesOf(musicXml: string, inner: number, scalePercent: number): Promise<EngravedLines> {
  const key = `${inner}/${scalePercent}/${musicXml}`
  const known = kept.get(key)
  kept.delete(key)
  const lines = known ?? engraveLines(await ready, musicXml, inner, scalePercent)
  kept.set(key, lines)
  const oldest = kept.keys().next()
  if (kept.size > KEPT && !oldest.done) kept.delete(oldest.value)
  return lines
}

self.addEventListener('message', (event: MessageEvent<EngraveRequest>) => {
  answerTo(event.data).then(
    (answer) => postMessage(answer),
    (error: unknown) => postMessage({ id: event.data.id, error: String(error) } satisfies EngraveAnswer),
  )
})
