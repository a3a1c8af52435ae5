/**
 * The player's place at the foot of every page. It shows a play button at once and loads the player's code when it is first wanted;
 * `../listen/player.js` defines <loft-player>, which then takes this place and answers `room.playRequest`.
 */
import { consume } from '@lit/context'
import { html, type TemplateResult } from 'lit'
import { customElement, state } from 'lit/decorators.js'
import { LoftElement } from '../look/element.js'
import { playSign } from '../look/signs.js'
import { type Room, roomContext } from '../state/room.js'
import { Observe } from '../state/observe.js'
import { words } from '../words.js'

@customElement('loft-player-place')
export class LoftPlayerPlace extends LoftElement {
  @consume({ context: roomContext }) private room!: Room
  @state() private stage: 'waiting' | 'loading' | 'here' = 'waiting'
  /** Somebody wants their part and practice settings before anything plays. */
  private wantsSettings = false
  protected readonly observe = new Observe(this, () => [
    this.room?.connection.transport,
    this.room?.form,
    this.room?.playRequest,
    this.room?.sounding,
  ])
  private isOn = false

  protected override updated(): void {
    this.announce()
    const wanted = this.room.playRequest.value || this.room.connection.transport.value?.playing
    if (wanted && this.stage === 'waiting') void this.load()
  }

  private async openSettings(): Promise<void> {
    if (this.stage !== 'waiting') return
    this.wantsSettings = true
    await this.load()
    await this.updateComplete
    this.querySelector<HTMLElement>('loft-player .tog')?.focus()
  }

  /** Play and stop are read out once each, whoever pressed; beats never are. */
  private announce(): void {
    const sounding = this.room.sounding.value
    const isOn = sounding?.isPlaying === true
    if (isOn === this.isOn) return
    this.isOn = isOn
    this.room.news.set(isOn ? words.player.plays((sounding?.barIndex ?? 0) + 1) : words.player.stopped)
  }

  private async load(): Promise<void> {
    this.stage = 'loading'
    try {
      await import('../listen/player.js')
      this.stage = 'here'
    } catch (error) {
      this.stage = 'waiting'
      this.room.playRequest.set(undefined)
      this.room.say(error)
    }
  }

  protected override render(): TemplateResult {
    if (this.stage === 'here') return html`<loft-player .showsMore=${this.wantsSettings}></loft-player>`
    const bars = this.room.form.value?.bars.length ?? 0
    return html`<section class="player" aria-label=${words.player.label}>
      <div class="in">
        <button
          class="btn main go"
          aria-label=${words.player.play}
          aria-disabled=${this.stage === 'loading' ? 'true' : 'false'}
          @click=${() => this.room.playRequest.set({ fromTick: 0 })}
        >
          ${playSign}
        </button>
        <p class="place">
          1 : 1<small
            >${this.stage === 'loading' ? words.player.loading : bars > 0 ? words.board.bars(bars) : ''}</small
          >
        </p>
        <button
          class="btn tog"
          aria-expanded="false"
          aria-disabled=${this.stage === 'loading' ? 'true' : 'false'}
          @click=${() => void this.openSettings()}
        >
          ${words.player.settings}
        </button>
      </div>
    </section>`
  }
}
