/** The tune engraved, each bar a button: one stop for the Tab key, arrows move between bars, Enter opens one. */
import type { Issue, Tune } from '@chartloft/shared-theory'
import { html, nothing, type PropertyValues, type TemplateResult } from 'lit'
import { customElement, property, state } from 'lit/decorators.js'
import { cleanSvg } from '../charts/clean-svg.js'
import type { Engraver } from '../charts/engraver.js'
import { LoftElement } from '../look/element.js'
import { vars } from '../look/vars.js'
import type { Theory } from '../state/theory.js'
import { bringWords } from '../words-bring.js'
import { barNumberOf, sheetMarks, spokenBar } from './sheet-marks.js'

/** A staff is 72 engraver's units high; on a phone it is drawn smaller than on a desk. */
const STAFF_UNITS = 72
const STAFF_PX = { narrow: 24, wide: 28, fromWidth: 560 }
const SETTLE_MS = 120

interface Box {
  readonly bar: number
  readonly left: number
  readonly top: number
  readonly width: number
  readonly height: number
}

@customElement('loft-sheet')
export class LoftSheet extends LoftElement {
  @property({ attribute: false }) tune!: Tune
  @property({ attribute: false }) issues: readonly Issue[] = []
  @property({ attribute: false }) theory!: Theory
  @property({ attribute: false }) engraver!: Engraver
  /** The bar whose desk is open, and the one that sounds. */
  @property({ type: Number }) chosen: number | undefined
  @property({ type: Number }) sounding: number | undefined
  /** A sheet to look at only. */
  @property({ type: Boolean }) isStill = false
  @state() private pages: readonly SVGSVGElement[] = []
  @state() private boxes: readonly Box[] = []
  @state() private isWorking = true
  @state() private failed = ''
  @state() private stop = 0
  #asked = 0
  #madeFor: { tune?: Tune; width?: number } = {}
  #timer: ReturnType<typeof setTimeout> | undefined
  readonly #watch = new ResizeObserver(() => this.#soon())

  override connectedCallback(): void {
    super.connectedCallback()
    this.#watch.observe(this)
  }

  override disconnectedCallback(): void {
    super.disconnectedCallback()
    this.#watch.disconnect()
    clearTimeout(this.#timer)
    this.#asked++
  }

  protected override updated(changed: PropertyValues): void {
    if (changed.has('tune')) this.#soon()
    if (changed.has('pages')) this.boxes = this.#measured()
    if (changed.has('chosen') && this.chosen !== undefined) this.stop = this.chosen
  }

  /** The focus goes to a bar, and the bar into view. */
  focusBar(bar: number): void {
    this.stop = bar
    void this.updateComplete.then(() => {
      const hit = this.querySelector<HTMLElement>(`[data-bar="${bar}"]`)
      hit?.focus()
      hit?.scrollIntoView({
        block: 'center',
        behavior: matchMedia('(prefers-reduced-motion: reduce)').matches ? 'auto' : 'smooth',
      })
    })
  }

  #soon(): void {
    clearTimeout(this.#timer)
    this.#timer = setTimeout(() => void this.#engrave(), this.pages.length === 0 ? 0 : SETTLE_MS)
  }

  async #engrave(): Promise<void> {
    const width = Math.floor(this.getBoundingClientRect().width)
    const { tune } = this
    if (width < 40 || (this.#madeFor.tune === tune && this.#madeFor.width === width)) return
    this.#madeFor = { tune, width }
    const asked = ++this.#asked
    this.isWorking = true
    try {
      const musicXml = await this.theory.ask('sheet', tune)
      if (asked !== this.#asked) return
      const staffPx = width >= STAFF_PX.fromWidth ? STAFF_PX.wide : STAFF_PX.narrow
      const sheet = { musicXml, widthUnits: (width * STAFF_UNITS) / staffPx, ...sheetMarks(tune) }
      const { pages } = await this.engraver.engraveTune(sheet)
      if (asked !== this.#asked) return
      this.failed = ''
      this.pages = pages.flatMap(({ svg }) => cleanSvg(svg) ?? [])
    } catch (error) {
      if (asked !== this.#asked) return
      this.failed = error instanceof Error ? error.message : String(error)
    }
    this.isWorking = false
  }

  /** Where each bar stands, in shares of the whole, so that it stays right while the page is resized. */
  #measured(): readonly Box[] {
    const whole = this.querySelector('.engraved')?.getBoundingClientRect()
    if (!whole || whole.width === 0) return []
    return [...this.querySelectorAll('.engraved g.measure')].map((measure, bar): Box => {
      const own = measure.getBoundingClientRect()
      const line = measure.querySelector('.staff > path')?.getBoundingClientRect() ?? own
      return {
        bar,
        left: (line.left - whole.left) / whole.width,
        width: line.width / whole.width,
        top: (own.top - whole.top) / whole.height,
        height: own.height / whole.height,
      }
    })
  }

  protected override render(): TemplateResult {
    return html`<div class="sheetbox" aria-busy=${this.isWorking ? 'true' : 'false'}>
      ${
        this.isWorking && this.pages.length === 0
          ? html`<p class="busy" role="status"><progress aria-hidden="true"></progress>${bringWords.engraving}</p>`
          : nothing
      }
      ${this.failed ? html`<p class="issue" role="alert">${bringWords.engraveFailed(this.failed)}</p>` : nothing}
      <div class="engraved" aria-hidden=${this.isStill ? nothing : 'true'}>${this.pages}</div>
      ${this.isStill ? nothing : this.hits()}
    </div>`
  }

  private hits(): TemplateResult {
    // Before a sheet is there, or where none can be had, the bars are reached all the same.
    const boxes = this.boxes.length === this.tune.bars.length ? this.boxes : undefined
    const stop = Math.min(this.stop, this.tune.bars.length - 1)
    return html`<div
      class="hits ${boxes ? '' : 'plain'}"
      role="group"
      aria-label=${bringWords.sheet}
      @keydown=${(event: KeyboardEvent) => this.onKey(event)}
    >
      ${this.tune.bars.map((_bar, index) => {
        const box = boxes?.[index]
        const marks = [
          index === this.chosen ? 'chosen' : '',
          index === this.sounding ? 'now' : '',
          this.issues.some(({ bar }) => bar === index) ? 'unsure' : '',
        ]
        return html`<button
          class="barhit ${marks.join(' ')}"
          type="button"
          data-bar=${index}
          data-number=${barNumberOf(this.tune, index)}
          tabindex=${index === stop ? 0 : -1}
          aria-label=${spokenBar(this.tune, index, this.issues)}
          aria-expanded=${index === this.chosen ? 'true' : 'false'}
          ${vars(
            box
              ? {
                  left: `${box.left * 100}%`,
                  top: `${box.top * 100}%`,
                  width: `${box.width * 100}%`,
                  height: `${box.height * 100}%`,
                }
              : { left: undefined, top: undefined, width: undefined, height: undefined },
          )}
          @click=${() => {
            this.stop = index
            this.dispatchEvent(new CustomEvent('choose-bar', { detail: index, bubbles: true }))
          }}
        ></button>`
      })}
    </div>`
  }

  private onKey(event: KeyboardEvent): void {
    const at = Number((event.target as HTMLElement).dataset['bar'])
    if (!Number.isInteger(at)) return
    const to = this.goal(event.key, at)
    if (to === undefined || to === at || to < 0 || to >= this.tune.bars.length) return
    event.preventDefault()
    this.stop = to
    void this.updateComplete.then(() => this.querySelector<HTMLElement>(`[data-bar="${to}"]`)?.focus())
  }

  /** Up and down go to the nearest bar of the line above or below. */
  private goal(key: string, at: number): number | undefined {
    switch (key) {
      case 'ArrowRight':
        return at + 1
      case 'ArrowLeft':
        return at - 1
      case 'Home':
        return 0
      case 'End':
        return this.tune.bars.length - 1
      case 'ArrowDown':
      case 'ArrowUp':
        return this.lineAway(at, key === 'ArrowDown' ? 1 : -1)
      default:
        return undefined
    }
  }

  private lineAway(at: number, way: 1 | -1): number | undefined {
    const lines: Box[][] = []
    for (const box of this.boxes) {
      const line = lines.at(-1)
      const last = line?.at(-1)
      if (line && last && box.left > last.left) line.push(box)
      else lines.push([box])
    }
    const own = this.boxes[at]
    const line = lines[lines.findIndex((boxes) => boxes.some(({ bar }) => bar === at)) + way]
    if (!own || !line) return undefined
    const middle = own.left + own.width / 2
    const distance = (box: Box): number => Math.abs(box.left + box.width / 2 - middle)
    return line.toSorted((a, b) => distance(a) - distance(b))[0]?.bar
  }
}
