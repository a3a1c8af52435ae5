/** Asks the engraving worker for pages; started with the first chart, kept for the next. */
import type { TuneSheet } from './engrave-tune.js'
import type { ChartRequest, EngraveAnswer, EngraveRequest } from './engraver-worker.js'

export interface Engraved {
  readonly pages: readonly string[]
  /** What the engraver remarked on, empty where nothing. */
  readonly warnings: string
}

export const PAPER = {
  a4: { widthTenthsMm: 2100, heightTenthsMm: 2970 },
  letter: { widthTenthsMm: 2159, heightTenthsMm: 2794 },
} as const
export type Paper = keyof typeof PAPER

export class Engraver {
  #worker: Worker | undefined
  #next = 1
  readonly #waiting = new Map<number, { resolve: (pages: Engraved) => void; reject: (error: Error) => void }>()

  engrave(musicXml: string, paper: Paper, scalePercent: number, roadMap = ''): Promise<Engraved> {
    const page = { ...PAPER[paper], scalePercent }
    const chart: Omit<ChartRequest, 'id'> = { musicXml, page, roadMap }
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
