/** Score and every part in one print: each engraved in turn, shown to the printer alone, gone again once it is printed. */
import { html, nothing, type ReactiveController, type ReactiveControllerHost, type TemplateResult } from 'lit'
import { words } from '../words.js'

/** A chart ready for paper. */
export interface Printable {
  readonly key: string
  readonly bars: readonly string[]
  readonly sheets: readonly TemplateResult[]
}
interface Host extends ReactiveControllerHost {
  /** Score first, then the parts as the band stands. */
  readonly everyChart: readonly { readonly id: string; readonly name: string }[]
  readonly printable: (chart: string) => Promise<Printable>
  readonly printed: (charts: readonly Printable[]) => Promise<void>
}

type Stage =
  | { readonly kind: 'none' }
  | { readonly kind: 'making'; readonly name: string; readonly at: number; readonly of: number }
  | { readonly kind: 'ready'; readonly charts: readonly Printable[] }
  | { readonly kind: 'failed'; readonly why: string }

export class PrintAll implements ReactiveController {
  #stage: Stage = { kind: 'none' }
  #asked = 0

  constructor(private readonly host: Host) {
    host.addController(this)
  }

  hostConnected(): void {
    addEventListener('afterprint', this.#done)
  }

  hostDisconnected(): void {
    removeEventListener('afterprint', this.#done)
    this.#asked++
    this.#stage = { kind: 'none' }
  }

  button(): TemplateResult {
    const isMaking = this.#stage.kind === 'making'
    return html`<button
      class="btn"
      type="button"
      aria-disabled=${isMaking ? 'true' : 'false'}
      @click=${() => void this.#print()}
    >
      ${words.charts.printAll}
    </button>`
  }

  /** How far it is, and what went wrong. */
  status(): TemplateResult {
    const stage = this.#stage
    return html`<p class="printing" role="status">
        ${
          stage.kind === 'making'
            ? html`<progress max=${stage.of} .value=${stage.at} aria-hidden="true"></progress>
                ${words.charts.printing(stage.name, stage.at + 1, stage.of)}
                <button class="btn bare" type="button" @click=${() => this.#leave()}>${words.cancel}</button>`
            : nothing
        }
      </p>
      ${stage.kind === 'failed' ? html`<p class="issue" role="alert">${words.charts.failed(stage.why)}</p>` : nothing}`
  }

  /** The pages for the printer; while they are there the chart on the screen is not printed. */
  pages(): TemplateResult | typeof nothing {
    if (this.#stage.kind !== 'ready') return nothing
    return html`<div class="everychart" aria-hidden="true">${this.#stage.charts.map(({ sheets }) => sheets)}</div>`
  }

  async #print(): Promise<void> {
    if (this.#stage.kind === 'making') return
    const asked = ++this.#asked
    const all = this.host.everyChart
    const charts: Printable[] = []
    try {
      for (const [at, { id, name }] of all.entries()) {
        this.#to({ kind: 'making', name, at, of: all.length })
        charts.push(await this.host.printable(id))
        if (asked !== this.#asked) return
      }
      this.#to({ kind: 'ready', charts })
      await this.host.updateComplete
      await document.fonts.ready
      if (asked !== this.#asked) return
      print()
      await this.host.printed(charts)
    } catch (error) {
      if (asked === this.#asked)
        this.#to({ kind: 'failed', why: error instanceof Error ? error.message : String(error) })
    }
  }

  #leave(): void {
    this.#asked++
    this.#to({ kind: 'none' })
  }

  readonly #done = (): void => {
    if (this.#stage.kind === 'ready') this.#to({ kind: 'none' })
  }

  #to(stage: Stage): void {
    this.#stage = stage
    this.host.requestUpdate()
  }
}
