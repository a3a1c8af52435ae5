/** The chart on the stand: my part as large as the screen lets it be, turned by tap, key or pedal, and with the music while it plays. */
import { consume } from '@lit/context'
import type { ChartMark } from '@chartloft/shared-theory'
import { html, nothing, type PropertyValues, type TemplateResult } from 'lit'
import { customElement, state } from 'lit/decorators.js'
import { listeningOf } from '../listen/listening-of.js'
import { LoftElement } from '../look/element.js'
import { boardPath } from '../shell/route.js'
import { Observe } from '../state/observe.js'
import { type Room, roomContext } from '../state/room.js'
import { StayAwake } from '../state/stay-awake.js'
import { words } from '../words.js'
import { cleanSvg } from './clean-svg.js'
import type { ComposedPage } from './compose-pages.js'
import { SCORE } from './downloads.js'
import { Engraver } from './engraver.js'
import { drawnBar, pageToShow, standShape, turnOf } from './stand-pages.js'

interface OnStand {
  readonly marks: readonly ChartMark[]
  readonly pages: readonly ComposedPage[]
  readonly leaves: readonly SVGSVGElement[]
}

@customElement('loft-stand')
export class LoftStand extends LoftElement {
  @consume({ context: roomContext }) private room!: Room
  /** A part's id; absent: mine. */
  @state() private chosen: string | undefined
  @state() private isFolded = false
  @state() private page = 0
  @state() private shown: OnStand | undefined
  @state() private why = ''
  private readonly engraver = new Engraver()
  private readonly awake = new StayAwake(this)
  #size: readonly [number, number] = [0, 0]
  #asked = ''
  /** The page the music asked for last: a page turned by hand stays until the music asks for another. */
  #followed: number | undefined
  #resizing: ResizeObserver | undefined
  protected readonly observe = new Observe(this, () =>
    this.room
      ? [
          this.room.form,
          this.room.sounding,
          this.room.ledger.state,
          listeningOf(this.room).mix,
          listeningOf(this.room).stage,
        ]
      : [],
  )

  override connectedCallback(): void {
    super.connectedCallback()
    this.engraver.warm()
    this.observe.refresh()
    document.addEventListener('keydown', this.onKey)
  }

  override disconnectedCallback(): void {
    super.disconnectedCallback()
    document.removeEventListener('keydown', this.onKey)
    this.#resizing?.disconnect()
    this.engraver.close()
  }

  private get shownPart(): string {
    const lineup = this.room.board?.lineup ?? []
    const wanted = this.chosen ?? listeningOf(this.room).mix.value.myPart
    return wanted === SCORE || lineup.some(({ id }) => id === wanted) ? (wanted as string) : (lineup[0]?.id ?? SCORE)
  }

  protected override updated(_changed: PropertyValues): void {
    const leaf = this.querySelector('.leaf')
    if (leaf && !this.#resizing) {
      this.#resizing = new ResizeObserver(() => {
        this.#size = [leaf.clientWidth, leaf.clientHeight]
        this.requestUpdate()
      })
      this.#resizing.observe(leaf)
    }
    this.follow()
    const form = this.room.form.value
    const [width, height] = this.#size
    if (!form || width === 0 || height === 0) return
    const wanted = [form.planHash, this.shownPart, this.isFolded, width, height].join(' ')
    if (wanted === this.#asked) return
    this.#asked = wanted
    void this.engrave(wanted, width, height)
  }

  private async engrave(wanted: string, width: number, height: number): Promise<void> {
    const plan = this.room.plan.value
    if (!plan) return
    const { barsALine, sheet } = standShape(width, height)
    try {
      const chart = await this.room.theory.ask('chart', plan, {
        ...(this.shownPart === SCORE ? {} : { part: this.shownPart }),
        folded: this.isFolded,
        barsALine,
      })
      const { pages } = await this.engraver.engrave(chart, sheet)
      if (wanted !== this.#asked) return
      this.shown = { marks: chart.marks, pages, leaves: pages.flatMap(({ svg }) => cleanSvg(svg) ?? []) }
      this.why = ''
      this.page = Math.min(this.page, Math.max(0, pages.length - 1))
      this.#followed = undefined
    } catch (error) {
      if (wanted !== this.#asked || !this.isConnected) return
      this.why = words.charts.failed(error instanceof Error ? error.message : String(error))
    }
  }

  /** Turns with the music, and shades the bar that sounds. */
  private follow(): void {
    const sounding = this.room.sounding.value
    const isPlaying = sounding?.isPlaying === true
    const here = isPlaying && this.shown ? drawnBar(this.shown.marks, this.shown.pages, sounding.barIndex) : undefined
    for (const wash of this.querySelectorAll('.wash'))
      wash.classList.toggle('now', here !== undefined && wash.getAttribute('data-bar') === String(here.number))
    if (!isPlaying || !this.shown) {
      this.#followed = undefined
      return
    }
    const beats = this.room.form.value?.bars[sounding.barIndex]?.metre.beats ?? 4
    const page = pageToShow(this.shown.marks, this.shown.pages, sounding, beats)
    if (page === undefined || page === this.#followed) return
    this.#followed = page
    this.page = page
  }

  private turn(way: NonNullable<ReturnType<typeof turnOf>>): void {
    const last = Math.max(0, (this.shown?.pages.length ?? 1) - 1)
    if (way === 'first') this.page = 0
    else if (way === 'last') this.page = last
    else this.page = Math.max(0, Math.min(last, this.page + (way === 'next' ? 1 : -1)))
  }

  private readonly onKey = (event: KeyboardEvent): void => {
    if (event.defaultPrevented || event.ctrlKey || event.metaKey || event.altKey) return
    const { target } = event
    if (target instanceof HTMLElement && target.closest('select, input, textarea, button, a')) {
      // A control keeps the keys that work it; page keys are the pedal's.
      if (!['PageDown', 'PageUp'].includes(event.key) || target.closest('select')) return
    }
    if (event.key === 'Escape') return this.leave()
    const way = turnOf(event.key)
    if (!way) return
    event.preventDefault()
    this.turn(way)
  }

  private leave(): void {
    this.dispatchEvent(
      new CustomEvent('open-page', { detail: boardPath(this.room.boardId, 'charts'), bubbles: true, composed: true }),
    )
  }

  /** The left third turns back, the rest on. */
  private onTap(event: MouseEvent): void {
    const { left, width } = (event.currentTarget as HTMLElement).getBoundingClientRect()
    this.turn(event.clientX - left < width / 3 ? 'previous' : 'next')
  }

  protected override render(): TemplateResult {
    const state = this.room.board
    if (!state?.tune) return html`<p class="lead">${words.listen.none}</p>`
    const pages = this.shown?.pages.length ?? 0
    const leaf = this.shown?.leaves[this.page]
    return html`<div class="standview">
      <h1 class="vh">${words.pages.stand}</h1>
      <div class="leaf" @click=${(event: MouseEvent) => this.onTap(event)}>
        ${
          this.why
            ? html`<p class="trouble" role="alert">${this.why}</p>`
            : leaf
              ? html`<figure
                  class="sheet"
                  data-page=${this.page + 1}
                  aria-label=${words.charts.stand.page(this.page + 1, pages)}
                >
                  ${leaf}
                </figure>`
              : html`<p class="busy" role="status">
                  <progress aria-hidden="true"></progress>${words.charts.engraving}
                </p>`
        }
      </div>
      ${this.foot(pages)}
    </div>`
  }

  private foot(pages: number): TemplateResult {
    const listening = listeningOf(this.room)
    const isStopped = listening.stage.value === 'stopped' || listening.stage.value === 'asleep'
    const { stand } = words.charts
    return html`<div class="foot">
      <a class="btn" href=${boardPath(this.room.boardId, 'charts')} aria-label=${stand.leave}
        ><span class="long">${stand.leave}</span><span class="short">${stand.leaveShort}</span></a
      >
      <label class="vh" for="stand-part">${words.charts.which}</label>
      <select id="stand-part" @change=${(event: Event) => (this.chosen = (event.target as HTMLSelectElement).value)}>
        ${[...(this.room.board?.lineup ?? []), { id: SCORE, name: words.charts.score }].map(
          ({ id, name }) => html`<option value=${id} ?selected=${id === this.shownPart}>${name}</option>`,
        )}
      </select>
      <label class="vh" for="stand-form">${words.charts.form}</label>
      <select
        id="stand-form"
        @change=${(event: Event) => (this.isFolded = (event.target as HTMLSelectElement).value === 'folded')}
      >
        <option value="linear" ?selected=${!this.isFolded}>${words.charts.linear}</option>
        <option value="folded" ?selected=${this.isFolded}>${words.charts.folded}</option>
      </select>
      <button class="btn" @click=${() => void listening.toggle()}>${isStopped ? stand.play : stand.stop}</button>
      <span class="soft" role="status">${this.awake.isAwake ? stand.awake : stand.asleep}</span>
      <span class="turns">
        <button
          class="btn"
          aria-label=${stand.previous}
          ?disabled=${this.page === 0}
          @click=${() => this.turn('previous')}
        >
          ‹
        </button>
        <span class="num" aria-live="off" title=${stand.hint}
          >${pages === 0 ? nothing : stand.page(this.page + 1, pages)}</span
        >
        <button
          class="btn"
          aria-label=${stand.next}
          ?disabled=${this.page >= pages - 1}
          @click=${() => this.turn('next')}
        >
          ›
        </button>
      </span>
    </div>`
  }
}
