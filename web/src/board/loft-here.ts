/** Who is here, and for whoever came without a name, one line to give it. */
import { consume } from '@lit/context'
import { html, nothing, type TemplateResult } from 'lit'
import { customElement } from 'lit/decorators.js'
import { LoftElement } from '../look/element.js'
import { fieldText } from '../look/fields.js'
import { Observe } from '../state/observe.js'
import { type Room, roomContext } from '../state/room.js'
import { words } from '../words.js'

@customElement('loft-here')
export class LoftHere extends LoftElement {
  @consume({ context: roomContext }) private room!: Room
  protected readonly observe = new Observe(this, () => [this.room?.people, this.room?.ledger.state])

  protected override render(): TemplateResult {
    const people = this.room.people.value
    return html`<p class="present">
        <b>${words.board.hereNow}</b>
        ${people.map((person) => {
          const about = [
            person.plays,
            person.role === 'leader' ? words.board.leads : '',
            person.isMe ? words.board.you : '',
          ]
            .filter((word) => word)
            .join(', ')
          return html`<span>${person.name || words.join.nobody}${about ? html` <i>${about}</i>` : nothing}</span>`
        })}
      </p>
      ${this.room.me.name === '' ? this.whoami() : nothing}`
  }

  /** With a band and a tune the page asks already which part is theirs. */
  private whoami(): TemplateResult {
    const { board, me } = this.room
    const isAsked = board?.tune !== undefined && board.lineup.length > 0
    return nameForm(this, '', me.plays ?? '', isAsked ? 'name' : 'both')
  }
}

/** Name and instrument; whoever shows it hands the answer to the shell by a `call-me` event. */
export function nameForm(
  from: HTMLElement,
  name: string,
  plays: string,
  asks: 'both' | 'name' = 'both',
): TemplateResult {
  const send = (event: SubmitEvent) => {
    event.preventDefault()
    const detail = { name: fieldText(event, 'name'), plays: asks === 'both' ? fieldText(event, 'plays') : plays }
    if (detail.name) from.dispatchEvent(new CustomEvent('call-me', { detail, bubbles: true, composed: true }))
  }
  return html`<form class="whoami" @submit=${send}>
    <label
      ><span>${words.join.name}</span
      ><input type="text" name="name" maxlength="40" autocomplete="nickname" required .value=${name}
    /></label>
    ${
      asks === 'both'
        ? html`<label
            ><span>${words.join.plays}</span><input type="text" name="plays" maxlength="40" .value=${plays}
          /></label>`
        : nothing
    }
    <button class="btn">${words.join.thatsMe}</button>
  </form>`
}
