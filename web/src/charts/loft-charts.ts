/** The charts page: choose score or part, see the engraved pages, print them one by one or all, take the files home. */
import { consume } from '@lit/context'
import type { EngravedChart, PartSpec } from '@chartloft/shared-theory'
import { html, nothing, type PropertyValues, type TemplateResult } from 'lit'
import { customElement, state } from 'lit/decorators.js'
import { LoftElement } from '../look/element.js'
import { Observe } from '../state/observe.js'
import { boardPath } from '../shell/route.js'
import { type Room, roomContext } from '../state/room.js'
import { words } from '../words.js'
import { cleanSvg } from './clean-svg.js'
import { downloads, SCORE } from './downloads.js'
import { Engraver, type Paper, paperSheet } from './engraver.js'
import { barsOfChart, changesSince, type Print, type PrintChanges, printOf, runsOf } from './printed-bars.js'
import { type Printable, PrintAll } from './print-all.js'
import { roadMapLine, roadMapSteps, type SoloistOf } from './road-map.js'

type Pages =
  | { readonly stage: 'working' }
  | { readonly stage: 'here'; readonly sheets: readonly SVGSVGElement[]; readonly made: Made }
  | { readonly stage: 'failed'; readonly why: string }

/** What stands on the sheets, and how it differs from the last print. */
interface Made {
  readonly chart: string
  readonly bars: readonly string[]
  readonly print?: Print
  readonly changes?: PrintChanges
}

type Pitch = 'written' | 'concert'

/** Per cent of a 7.2 mm staff: parts are read from a stand, the score from a desk. */
const PART_SCALE = 98
const scoreScale = (parts: number): number => (parts <= 5 ? 66 : 58)

@customElement('loft-charts')
export class LoftCharts extends LoftElement {
  @consume({ context: roomContext }) private room!: Room
  @state() private chart = SCORE
  @state() private pitch: Pitch = usualPitch(SCORE)
  @state() private isFolded = true
  @state() private paper: Paper = 'a4'
  @state() private pages: Pages = { stage: 'working' }
  @state() private showsChanges = true
  private readonly engraver = new Engraver()
  private readonly all = new PrintAll(this)
  #asked = ''
  protected readonly observe = new Observe(this, () => (this.room ? [this.room.form, this.room.ledger.state] : []))

  override connectedCallback(): void {
    super.connectedCallback()
    this.engraver.warm()
    this.observe.refresh()
  }

  override disconnectedCallback(): void {
    super.disconnectedCallback()
    this.engraver.close()
  }

  protected override updated(_changed: PropertyValues): void {
    const form = this.room.form.value
    if (!form) return
    const wanted = [form.planHash, this.chart, this.pitch, this.isFolded, this.paper, this.showsChanges].join(' ')
    if (wanted === this.#asked) return
    this.#asked = wanted
    void this.engrave(wanted)
  }

  private async engrave(wanted: string): Promise<void> {
    if (!this.room.plan.value) return
    // What is there stays readable while the next is made, unless it is another chart.
    if (this.pages.stage !== 'here' || this.pages.made.chart !== this.keyOf(this.chart, this.pitch))
      this.pages = { stage: 'working' }
    try {
      const made = await this.sheetsOf(this.chart, this.pitch)
      if (wanted === this.#asked) this.pages = { stage: 'here', ...made }
    } catch (error) {
      if (wanted !== this.#asked || !this.isConnected) return
      this.pages = { stage: 'failed', why: error instanceof Error ? error.message : String(error) }
    }
  }

  private async sheetsOf(
    asked: string,
    pitch: Pitch,
  ): Promise<{ readonly sheets: readonly SVGSVGElement[]; readonly made: Made }> {
    const plan = this.room.plan.value
    if (!plan) throw new Error(words.listen.none)
    const chart = await this.room.theory.ask('chart', plan, {
      ...(asked === SCORE ? {} : { part: asked }),
      pitch,
      folded: this.isFolded,
    })
    const made = this.made(chart, this.keyOf(asked, pitch))
    const { pages } = await this.engraver.engrave(chart, {
      ...paperSheet(this.paper, asked === SCORE ? scoreScale(plan.lineup.length) : PART_SCALE),
      head: {
        title: this.room.board?.title ?? '',
        part: nameOf(asked, plan.lineup),
        roadMap: roadMapSteps(this.room.form.value?.bars ?? [], this.soloistOf),
      },
      changed: this.showsChanges ? (made.changes?.changed ?? []) : [],
    })
    return { sheets: pages.flatMap(({ svg }) => cleanSvg(svg) ?? []), made }
  }

  /** Names a chart among what was printed: a part in another pitch, or written out, is another sheet of paper. */
  private keyOf(chart: string, pitch: Pitch): string {
    return [chart, pitch, this.isFolded ? 'folded' : 'linear'].join(' ')
  }

  private made(chart: EngravedChart, key: string): Made {
    const bars = barsOfChart(chart)
    const print = printOf(this.room.notes.read('prints', {}), key)
    if (!print) return { chart: key, bars }
    return { chart: key, bars, print, changes: changesSince(print, bars, chart.marks) }
  }

  private readonly soloistOf: SoloistOf = (passId) => {
    const soloist = this.room.board?.roadmap.find(({ id }) => id === passId)?.soloist
    return this.room.board?.lineup.find(({ id }) => id === soloist)?.name
  }

  /** Prints what is on the page. */
  private async print(): Promise<void> {
    const { pages } = this
    if (pages.stage !== 'here') return
    print()
    await this.printed([{ key: pages.made.chart, bars: pages.made.bars }])
  }

  /** Score at sounding pitch and every part as its player reads it, on the paper and in the form chosen. */
  get everyChart(): readonly { readonly id: string; readonly name: string }[] {
    const lineup = this.room.board?.lineup ?? []
    return [SCORE, ...lineup.map(({ id }) => id)].map((id) => ({ id, name: nameOf(id, lineup) }))
  }

  async printable(chart: string): Promise<Printable> {
    const { sheets, made } = await this.sheetsOf(chart, usualPitch(chart))
    const name = nameOf(chart, this.room.board?.lineup ?? [])
    return { key: made.chart, bars: made.bars, sheets: this.figures(sheets, made, name) }
  }

  /** Remembered as what this person has on paper. */
  async printed(charts: readonly Pick<Printable, 'key' | 'bars'>[]): Promise<void> {
    const version = this.room.board?.seq ?? 0
    const at = Date.now()
    const prints = charts.map(({ key, bars }) => [key, { at, version, bars }] as const)
    this.room.notes.write('prints', { ...this.room.notes.read<object>('prints', {}), ...Object.fromEntries(prints) })
    if (this.room.isLeader) await this.room.command('markPrinted', {}).catch((error: unknown) => this.room.say(error))
  }

  protected override render(): TemplateResult {
    const state = this.room.board
    if (!state?.tune) return html`<p class="lead">${words.listen.none}</p>`
    const bars = this.room.form.value?.bars ?? []
    return html`<div class="title charts-title">
        <div>
          <h1>${words.charts.title}</h1>
          <p class="sub">${state.title}</p>
          <p class="soft">
            ${words.charts.locked(state.locks.length)}${state.locks.length < 5 ? html`. ${words.charts.openNote}` : nothing}
          </p>
          <p class="road"><b>${words.charts.roadMap}:</b> ${roadMapLine(bars, this.soloistOf)}</p>
          <p class="bandline">
            ${words.details.plays(state.lineup.map(({ name }) => name))}
            <a href=${boardPath(this.room.boardId, 'band')}>${words.details.open}</a>
          </p>
        </div>
      </div>
      ${this.choices(state.lineup)} ${this.all.status()} ${this.sinceLastPrint()}
      <div class="charts">
        <section
          class="sheets"
          aria-label=${nameOf(this.chart, state.lineup)}
          aria-busy=${this.pages.stage === 'working' ? 'true' : 'false'}
        >
          ${this.sheets(state.lineup)}
        </section>
        ${this.all.pages()}
        <aside class="take">
          <h2>${words.charts.take}</h2>
          ${downloads(this.room, state.lineup, { chart: this.chart, pitch: this.pitch })}
          ${
            state.rights === 'own' || state.rights === 'public-domain'
              ? nothing
              : html`<p class="care"><b>${words.charts.rightsTitle}</b> ${words.charts.rights}</p>`
          }
        </aside>
      </div>`
  }

  private choices(lineup: readonly PartSpec[]): TemplateResult {
    return html`<form class="choose" @submit=${(event: Event) => event.preventDefault()}>
      ${select('chart', words.charts.which, this.chart, [[SCORE, words.charts.score], ...lineup.map((part) => [part.id, part.name] as const)], (value) => this.choose(value))}
      ${select(
        'pitch',
        words.charts.pitch,
        this.pitch,
        [
          ['written', words.charts.written],
          ['concert', words.charts.concert],
        ],
        (value) => (this.pitch = value as Pitch),
      )}
      ${select(
        'form',
        words.charts.form,
        this.isFolded ? 'folded' : 'linear',
        [
          ['folded', words.charts.folded],
          ['linear', words.charts.linear],
        ],
        (value) => (this.isFolded = value === 'folded'),
      )}
      ${select(
        'paper',
        words.charts.paper,
        this.paper,
        [
          ['a4', words.charts.papers.a4],
          ['letter', words.charts.papers.letter],
        ],
        (value) => (this.paper = value as Paper),
      )}
      <a class="btn" href=${boardPath(this.room.boardId, 'stand')}>${words.charts.stand.open}</a>
      <button class="btn main" type="button" @click=${() => void this.print()}>${words.charts.print}</button>
      ${this.all.button()}
    </form>`
  }

  /** What differs from the paper this person has, in words, and whether it is marked on the sheets. */
  private sinceLastPrint(): TemplateResult | typeof nothing {
    if (this.pages.stage !== 'here') return nothing
    const { print, changes } = this.pages.made
    if (!print || !changes) return nothing
    const gone = changes.gone.map(({ count, before }) => words.charts.gone(count, before))
    const isSame = changes.changed.length === 0 && gone.length === 0
    return html`<div class="since">
      <p>
        ${
          isSame
            ? words.charts.unchanged(print.at)
            : words.charts.changedSince(print.at, runsOf(changes.changed), changes.changed.length, gone)
        }
      </p>
      ${
        changes.changed.length === 0
          ? nothing
          : html`<label
              ><input
                type="checkbox"
                ?checked=${this.showsChanges}
                @change=${(event: Event) => (this.showsChanges = (event.target as HTMLInputElement).checked)}
              />
              ${words.charts.showChanges}</label
            >`
      }
    </div>`
  }

  private sheets(lineup: readonly PartSpec[]): TemplateResult {
    const { pages } = this
    if (pages.stage === 'working')
      return html`<p class="busy" role="status"><progress aria-hidden="true"></progress>${words.charts.engraving}</p>`
    if (pages.stage === 'failed') return html`<p class="trouble" role="alert">${words.charts.failed(pages.why)}</p>`
    return html`${this.figures(pages.sheets, pages.made, nameOf(this.chart, lineup))}`
  }

  private figures(sheets: readonly SVGSVGElement[], made: Made, name: string): readonly TemplateResult[] {
    const footer = words.charts.footer(this.room.board?.title ?? '', name, Date.now(), this.room.board?.seq ?? 0)
    const { print, changes } = made
    const since = this.showsChanges && print && changes && changes.changed.length > 0
    return sheets.map(
      (sheet, index) =>
        html`<figure class="sheet" data-paper=${this.paper} data-page=${index + 1}>
          ${sheet}
          <figcaption>
            ${since ? html`<span class="ruled">${words.charts.ruled(print.at)}</span>` : nothing} ${footer} ·
            ${words.charts.pageOf(index + 1, sheets.length)}
          </figcaption>
        </figure>`,
    )
  }

  private choose(chart: string): void {
    this.chart = chart
    this.pitch = usualPitch(chart)
  }
}

/** A score is read at sounding pitch, a part as its player reads it, until somebody asks otherwise. */
const usualPitch = (chart: string): Pitch => (chart === SCORE ? 'concert' : 'written')

const nameOf = (chart: string, lineup: readonly PartSpec[]): string =>
  lineup.find((part) => part.id === chart)?.name ?? words.charts.score

function select(
  id: string,
  label: string,
  value: string,
  choices: readonly (readonly [value: string, text: string])[],
  take: (value: string) => void,
): TemplateResult {
  return html`<div class="grp">
    <label for="chart-${id}">${label}</label>
    <select id="chart-${id}" @change=${(event: Event) => take((event.target as HTMLSelectElement).value)}>
      ${choices.map(([one, text]) => html`<option value=${one} ?selected=${one === value}>${text}</option>`)}
    </select>
  </div>`
}
