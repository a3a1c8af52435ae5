/** The player at the foot of every page: play and stop, where we are, together or alone, my level, and my practice settings. */
import { consume } from '@lit/context'
import { html, nothing, type TemplateResult } from 'lit'
import { customElement, property } from 'lit/decorators.js'
import { LoftElement } from '../look/element.js'
import { sayTime } from '../look/say.js'
import { playSign, stopSign } from '../look/signs.js'
import { vars } from '../look/vars.js'
import { Observe } from '../state/observe.js'
import { type Room, roomContext } from '../state/room.js'
import { words } from '../words.js'
import type { Listening } from './listening.js'
import { listeningOf } from './listening-of.js'
import { practiceSettings } from './practice.js'

/** Levels of the slider in decibels below full scale. */
const QUIETEST_DB = -40

@customElement('loft-player')
export class LoftPlayer extends LoftElement {
  @consume({ context: roomContext }) private room!: Room
  /** Part and practice settings are open. */
  @property({ attribute: false }) showsMore = false
  /** For tests too: when notes were handed to the audio clock stands in `listening.player.started`. */
  listening!: Listening
  protected readonly observe = new Observe(this, () => {
    if (!this.room) return []
    this.listening ??= listeningOf(this.room)
    const { stage, together, tempoScale, loop, countInBars, click, isOver, mix, masterDb, positionMs, totalMs } =
      this.listening
    return [
      stage,
      together,
      tempoScale,
      loop,
      countInBars,
      click,
      isOver,
      mix,
      masterDb,
      positionMs,
      totalMs,
      this.room.sounding,
      this.room.form,
      this.room.connection.transport,
    ]
  })

  override connectedCallback(): void {
    super.connectedCallback()
    this.observe.refresh()
    addEventListener('keydown', this.onKey)
  }

  override disconnectedCallback(): void {
    super.disconnectedCallback()
    removeEventListener('keydown', this.onKey)
  }

  private readonly onKey = (event: KeyboardEvent): void => {
    if (event.defaultPrevented || event.ctrlKey || event.metaKey || event.altKey) return
    if ((event.target as Element).closest('input, textarea, select, button, a, summary, [role=button]')) return
    if (event.key === ' ') void this.listening.toggle()
    else if (event.key === 'Home') this.listening.toStart()
    else return
    event.preventDefault()
  }

  protected override render(): TemplateResult {
    const { listening } = this
    const stage = listening.stage.value
    const isOn = stage === 'playing' || stage === 'waiting'
    return html`<section class="player" aria-label=${words.player.label} data-stage=${stage}>
      <i class="far" ${vars({ width: `${this.farPercent()}%` })}></i>
      <div class="in">
        <button class="btn main go" aria-label=${this.goWords()} @click=${() => void listening.toggle()}>
          ${isOn ? stopSign : playSign}
        </button>
        <i class="clip" ?data-over=${listening.isOver.value} title=${words.player.clipLight}></i>
        <p class="place">${this.place()}<small>${this.under()}</small></p>
        <span class="pair" role="group" aria-label=${words.player.togetherLabel}>
          ${[true, false].map(
            (isTogether) =>
              html`<button
                class="btn"
                aria-pressed=${listening.together.value === isTogether ? 'true' : 'false'}
                @click=${() => listening.setTogether(isTogether)}
              >
                ${isTogether ? words.player.together : words.player.alone}
              </button>`,
          )}
        </span>
        <button
          class="btn tog"
          aria-expanded=${this.showsMore ? 'true' : 'false'}
          aria-controls="player-more"
          @click=${() => (this.showsMore = !this.showsMore)}
        >
          ${words.player.settings}
        </button>
        <div class="more" id="player-more" ?hidden=${!this.showsMore}>
          ${this.level()} ${practiceSettings(listening, this.room)}
        </div>
      </div>
    </section>`
  }

  private level(): TemplateResult {
    return html`<div class="grp ears">
      <label for="my-level">${words.player.level}</label>
      <input
        id="my-level"
        type="range"
        min=${QUIETEST_DB}
        max="0"
        step="1"
        .value=${String(this.listening.masterDb.value)}
        @input=${(event: Event) => this.listening.masterDb.set(Number((event.target as HTMLInputElement).value))}
      />
      <small class=${this.listening.isOver.value ? 'over' : ''} role="status"
        >${this.listening.isOver.value ? words.player.over : words.player.ears}</small
      >
    </div>`
  }

  private goWords(): string {
    const stage = this.listening.stage.value
    if (stage === 'asleep') return words.player.join
    return stage === 'stopped' ? words.player.play : words.player.stop
  }

  private place(): string {
    const { sounding } = this.room
    return sounding.value ? `${sounding.value.barIndex + 1} : ${sounding.value.beat + 1}` : '1 : 1'
  }

  private under(): TemplateResult | string {
    const { listening, room } = this
    if (listening.stage.value === 'asleep') return words.player.join
    const total = listening.totalMs.value
    const bars = room.form.value?.bars.length ?? 0
    const time =
      total > 0 ? words.player.of(sayTime(listening.positionMs.value), sayTime(total)) : words.board.bars(bars)
    const leader = this.leaderWords()
    return html`${time}${leader ? html`<span class="ld"> · ${leader}</span>` : nothing}`
  }

  private leaderWords(): string {
    const transport = this.room.connection.transport.value
    if (!this.listening.together.value || !transport?.playing) return ''
    const isMe = transport.by.userId === this.room.session.value.userId
    return isMe ? words.player.youLead : words.player.leads(transport.by.name || words.join.nobody)
  }

  private farPercent(): number {
    const total = this.listening.totalMs.value
    return total > 0 ? Math.min(100, (this.listening.positionMs.value / total) * 100) : 0
  }
}
