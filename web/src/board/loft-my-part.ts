/** My part on the first page: named with one choice, heard alone or read from the stand with one press each. */
import { consume } from '@lit/context'
import { html, nothing, type TemplateResult } from 'lit'
import { customElement, state } from 'lit/decorators.js'
import { partOfWords } from '../listen/mix.js'
import { LoftElement } from '../look/element.js'
import { playSign } from '../look/signs.js'
import { boardPath } from '../shell/route.js'
import { Observe } from '../state/observe.js'
import { type Room, roomContext } from '../state/room.js'
import { words } from '../words.js'

@customElement('loft-my-part')
export class LoftMyPart extends LoftElement {
  @consume({ context: roomContext }) private room!: Room
  /** They said that it is none of the band's parts, and have not written yet what else. */
  @state() private isOther = false
  protected readonly observe = new Observe(this, () => [this.room?.ledger.state, this.room?.people])

  protected override render(): TemplateResult | typeof nothing {
    const lineup = this.room.board?.lineup ?? []
    if (lineup.length === 0) return nothing
    const mine = this.mine()
    const isOther = !mine && (this.isOther || Boolean(this.room.me.plays))
    return html`<div class="mypart">
      <label for="i-play">${words.board.iPlay}</label>
      <select
        id="i-play"
        @change=${(event: Event) => void this.take((event.target as HTMLSelectElement).selectedIndex)}
      >
        <option value="" ?selected=${!mine && !isOther}>${words.board.iPlayNothing}</option>
        ${lineup.map(({ id, name }) => html`<option value=${id} ?selected=${id === mine}>${name}</option>`)}
        <option ?selected=${isOther}>${words.board.iPlayOther}</option>
      </select>
      ${
        isOther
          ? html`<input
              type="text"
              maxlength="40"
              aria-label=${words.board.iPlayThis}
              .value=${this.room.me.plays ?? ''}
              @change=${(event: Event) => this.say((event.target as HTMLInputElement).value.trim())}
            />`
          : nothing
      }
      ${
        mine
          ? html`<button class="btn" @click=${() => void this.hear(mine)}>${playSign}${words.board.hearPart}</button>
              <a class="btn" href=${boardPath(this.room.boardId, 'stand')}>${words.board.readPart}</a>`
          : nothing
      }
    </div>`
  }

  private mine(): string | undefined {
    return partOfWords(this.room.board?.lineup ?? [], this.room.me.plays)
  }

  /** By its place in the list: nothing yet, the band's parts, something else. */
  private async take(place: number): Promise<void> {
    const lineup = this.room.board?.lineup ?? []
    this.isOther = place > lineup.length
    const part = lineup[place - 1]
    this.say(part?.name ?? '')
    // A player that is not loaded yet reads the part when it is.
    if (customElements.get('loft-player')) (await this.listening()).mix.setMyPart(part?.id)
  }

  private say(plays: string): void {
    const detail = { name: this.room.me.name, plays }
    this.dispatchEvent(new CustomEvent('call-me', { detail, bubbles: true, composed: true }))
    this.requestUpdate()
  }

  /** From the top and on this page only; where the band plays, with them, at their bar. */
  private async hear(partId: string): Promise<void> {
    const listening = await this.listening()
    listening.mix.setMyPart(partId)
    listening.mix.hear('only-me')
    if (this.room.connection.transport.value?.playing) {
      if (listening.stage.value === 'asleep' || listening.stage.value === 'stopped') await listening.toggle()
      return
    }
    listening.setTogether(false)
    this.room.playRequest.set({ fromTick: 0 })
  }

  /** Loaded with the player, not with the page. */
  private async listening() {
    const { listeningOf } = await import('../listen/listening-of.js')
    return listeningOf(this.room)
  }
}
