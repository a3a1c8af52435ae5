/** Asks the engraving worker for pages; started before the first chart is wanted, kept for the next. */
import type { EngravedChart } from '@chartloft/shared-theory'
import type { Head } from './chart-head.js'
import type { ComposedPage } from './compose-pages.js'
import type { PageSize } from './engrave.js'
import type { TuneSheet } from './engrave-tune.js'
import type { ChartRequest, EngraveAnswer, EngraveRequest } from './engraver-worker.js'

export interface Engraved {
  readonly pages: readonly ComposedPage[]
  /** What the engraver remarked on, empty where nothing. */
  readonly warnings: string
}

export const PAPER = {
  a4: { widthTenthsMm: 2100, heightTenthsMm: 2970 },
  letter: { widthTenthsMm: 2159, heightTenthsMm: 2794 },
} as const
export type Paper = keyof typeof PAPER

/** Tenths of a millimetre. */
const PAPER_MARGINS = { left: 130, right: 110, top: 100, bottom: 150 }

export interface Sheet {
  readonly page: PageSize
  readonly margins: ChartRequest['margins']
  readonly head?: Head
  readonly changed?: readonly number[]
}

export const paperSheet = (paper: Paper, scalePercent: number): Sheet => ({
  page: { ...PAPER[paper], scalePercent },
  margins: PAPER_MARGINS,
})

export class Engraver {
  #worker: Worker | undefined
  #next = 1
  readonly #waiting = new Map<number, { resolve: (pages: Engraved) => void; reject: (error: Error) => void }>()

  /** Begins to load the engraver, so that it is there when the music is. */
  warm(): void {
    this.#start()
  }

  engrave({ musicXml, marks }: EngravedChart, { page, margins, head, changed = [] }: Sheet): Promise<Engraved> {
    const chart: Omit<ChartRequest, 'id'> = { musicXml, marks, page, margins, changed, ...(head ? { head } : {}) }
    return this.#ask((id) => ({ id, ...chart }))
  }

  /** One long sheet of a tune that is being brought in. */
  engraveTune(tune: TuneSheet): Promise<Engraved> {
    return this.#ask((id) => ({ id, tune }))
  }

  #ask(make: (id: number) => EngraveRequest): Promise<Engraved> {
    const id = this.#next++
    return new Promise((resolve, reject) => {
      this.#waiting.set(id, { resolve, reject })
      this.#start().postMessage(make(id))
    })
  }

  close(): void {
    this.#worker?.terminate()
    this.#worker = undefined
    for (const { reject } of this.#waiting.values()) reject(new Error('closed'))
    this.#waiting.clear()
  }

  #start(): Worker {
    if (this.#worker) return this.#worker
    const worker = new Worker(new URL('./engraver-worker.ts', import.meta.url), { type: 'module' })
    worker.addEventListener('message', (event: MessageEvent<EngraveAnswer>) => {
      const answer = event.data
      const waiting = this.#waiting.get(answer.id)
      this.#waiting.delete(answer.id)
      if ('error' in answer) waiting?.reject(new Error(answer.error))
      else waiting?.resolve(answer)
    })
    worker.addEventListener('error', () => {
      this.close()
    })
    this.#worker = worker
    return worker
  }
}
