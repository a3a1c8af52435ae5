/** A MIDI keyboard for whoever types a tune: note by note into the text, or in time along with clicks. */
import type { Metre } from '@chartloft/shared-theory'
import { html, nothing, type TemplateResult } from 'lit'
import { customElement, property, state } from 'lit/decorators.js'
import type { Player } from '../audio/index.js'
import { LoftElement } from '../look/element.js'
import { Observe } from '../state/observe.js'
import { bringWords } from '../words-bring.js'
import { type KeyPress, type MidiAccessLike, MidiIn } from './midi-in.js'
import { playedFile } from './played-file.js'

const words = bringWords.midi
const USUAL_CLICKS = 100
/** Bars of clicks are handed to the audio clock this far ahead. */
const AHEAD_MS = 3000
const LOOK_EVERY_MS = 500
const SOON_MS = 300

type Stage = 'step' | 'counting' | 'recording'

@customElement('loft-keyboard')
export class LoftKeyboard extends LoftElement {
  @property({ type: Boolean }) isOpen = false
  @property({ attribute: false }) metre: Metre = { beats: 4, beatType: 4 }
  /** A key pressed outside of a recording. */
  @property({ attribute: false }) pressed!: (press: KeyPress) => void
  @property({ attribute: false }) played!: (bytes: Uint8Array) => void
  @state() private stage: Stage = 'step'
  @state() private clicks = USUAL_CLICKS
  @state() private notes = 0
  @state() private trouble = ''
  private readonly midi = new MidiIn(askBrowser(), () => performance.now())
  protected readonly observe = new Observe(this, () => [this.midi.state])
  #band: Player | undefined
  #recorded: KeyPress[] = []
  /** When the first bar begins; for tests too, that play along. */
  downbeatMs = 0
  #timer: ReturnType<typeof setInterval> | undefined

  override connectedCallback(): void {
    super.connectedCallback()
    this.midi.listen((press) => this.#take(press))
  }

  override disconnectedCallback(): void {
    super.disconnectedCallback()
    clearInterval(this.#timer)
    this.midi.close()
    this.#band?.close()
    this.#band = undefined
  }

  protected override render(): TemplateResult {
    const state = this.midi.state.value
    return html`<details class="how keyboard" ?open=${this.isOpen}>
      <summary>${words.title}</summary>
      ${
        state.stage === 'listening'
          ? this.ways(words.hears(state.names))
          : html`<p role="status">${this.about(state.stage)}</p>
              ${
                state.stage === 'idle'
                  ? html`<button class="btn" type="button" @click=${() => void this.midi.connect()}>
                      ${words.connect}
                    </button>`
                  : nothing
              }`
      }
    </details>`
  }

  private about(stage: 'idle' | 'asking' | 'absent' | 'refused' | 'none'): string {
    return stage === 'idle' ? words.stepNote : words[stage]
  }

  private ways(hears: string): TemplateResult {
    const { stage } = this
    return html`<p role="status">${hears}</p>
      <p><b>${words.step}.</b> ${words.stepNote}</p>
      <p><b>${words.time}.</b> ${words.timeNote}</p>
      <div class="inrow">
        <label
          >${words.tempo}
          <input
            type="number"
            min="30"
            max="240"
            .value=${String(this.clicks)}
            ?disabled=${stage !== 'step'}
            @change=${(event: Event) => (this.clicks = bounded(Number((event.target as HTMLInputElement).value)))}
        /></label>
        ${
          stage === 'step'
            ? html`<button class="btn" type="button" @click=${() => void this.begin()}>${words.begin}</button>`
            : html`<button class="btn main" type="button" @click=${() => this.end()}>${words.stop}</button>`
        }
      </div>
      <p role="status" class="note">
        ${stage === 'counting' ? words.counting : stage === 'recording' ? words.recording(this.notes) : this.trouble}
      </p>`
  }

  #take(press: KeyPress): void {
    if (this.stage === 'step') return this.pressed(press)
    this.#recorded.push(press)
    if (press.kind === 'down') this.notes++
  }

  /** One bar of clicks, then it counts. */
  private async begin(): Promise<void> {
    this.trouble = ''
    this.#recorded = []
    this.notes = 0
    this.stage = 'counting'
    const { Player: Band } = await import('../audio/index.js')
    const band = (this.#band ??= new Band())
    await band.wake()
    if (!this.isConnected) return
    const clickMs = 60_000 / this.clicks
    const first = performance.now() + SOON_MS
    this.downbeatMs = first + this.metre.beats * clickMs
    let next = first
    const ahead = (): void => {
      if (performance.now() >= this.downbeatMs) this.stage = 'recording'
      for (; next < performance.now() + AHEAD_MS; next += this.metre.beats * clickMs)
        band.click(Array.from({ length: this.metre.beats }, (_, beat) => next + beat * clickMs))
    }
    ahead()
    this.#timer = setInterval(ahead, LOOK_EVERY_MS)
  }

  private end(): void {
    clearInterval(this.#timer)
    this.#band?.stop()
    this.stage = 'step'
    const bytes = playedFile(
      this.#recorded,
      {
        downbeatMs: this.downbeatMs,
        clicksPerMinute: this.clicks,
        beats: this.metre.beats,
        beatType: this.metre.beatType,
      },
      performance.now(),
    )
    if (bytes) this.played(bytes)
    else this.trouble = words.nothing
  }
}

const bounded = (clicks: number): number => Math.min(240, Math.max(30, Math.round(clicks) || USUAL_CLICKS))

/** The browser's question, where it has one. */
function askBrowser(): (() => Promise<MidiAccessLike>) | undefined {
  const { requestMIDIAccess } = navigator as { requestMIDIAccess?: () => Promise<unknown> }
  return requestMIDIAccess && (async () => (await requestMIDIAccess.call(navigator)) as MidiAccessLike)
}
