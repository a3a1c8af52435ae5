/** Setting how late this device sounds: tap along with clicks, or by hand. Nothing flashes; what one hears is all there is to follow. */
import { html, type TemplateResult } from 'lit'
import { customElement, property, state } from 'lit/decorators.js'
import { LoftElement } from '../look/element.js'
import { words } from '../words.js'
import { inSteps, LATENCY, latencyOf } from './latency.js'
import type { Listening } from './listening.js'

/** Before the first click: time to put the phone down. */
const FIRST_CLICK_MS = 900
/** After the last click a late tap still counts. */
const AFTER_MS = 700

@customElement('loft-latency')
export class LoftLatency extends LoftElement {
  @property({ attribute: false }) listening!: Listening
  @state() private said = ''
  @state() private isTapping = false
  private taps: number[] = []
  private clicks: readonly number[] = []

  protected override render(): TemplateResult {
    const ms = this.listening.deviceMs.value
    return html`<div class="grp latency">
      <span class="cap" id="latency-cap">${words.player.latency}</span>
      <span class="step" role="group" aria-labelledby="latency-cap">
        <button class="btn" aria-label=${words.player.latencyLess} @click=${() => this.set(ms - LATENCY.stepMs)}>
          −
        </button>
        <output>${words.player.latencyMs(ms)}</output>
        <button class="btn" aria-label=${words.player.latencyMore} @click=${() => this.set(ms + LATENCY.stepMs)}>
          +
        </button>
      </span>
      ${
        this.isTapping
          ? html`<button class="btn main" @pointerdown=${this.onTap} @keydown=${this.onKey}>
              ${words.player.tapNow}
            </button>`
          : html`<button class="btn" @click=${() => void this.start()}>${words.player.tapAlong}</button>`
      }
      <small role="status">${this.said || words.player.latencyNote}</small>
    </div>`
  }

  private set(ms: number): void {
    this.listening.setDevice(inSteps(ms))
    this.requestUpdate()
  }

  private async start(): Promise<void> {
    this.taps = []
    this.said = words.player.tapHow
    this.clicks = await this.listening.clicks(FIRST_CLICK_MS, LATENCY.clicks, LATENCY.beatMs)
    this.isTapping = true
    await this.updateComplete
    this.querySelector<HTMLElement>('button.main')?.focus()
    const last = this.clicks.at(-1) ?? 0
    setTimeout(() => this.finish(), last + AFTER_MS - performance.now())
  }

  private readonly onTap = (event: Event): void => {
    this.taps.push(event.timeStamp)
  }

  private readonly onKey = (event: KeyboardEvent): void => {
    if (event.repeat || (event.key !== ' ' && event.key !== 'Enter')) return
    event.preventDefault()
    this.taps.push(event.timeStamp)
  }

  private finish(): void {
    const measured = latencyOf(this.clicks, this.taps, this.listening.deviceMs.value)
    this.isTapping = false
    if (measured.kind !== 'measured') {
      this.said = words.player.tapAgain[measured.kind]
      return
    }
    this.listening.setDevice(measured.ms)
    this.said = words.player.tapped(measured.ms)
  }
}
