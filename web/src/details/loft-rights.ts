/** Whose tune it is: the leader says so, everybody reads it, with what to think of before it is shared. */
import { consume } from '@lit/context'
import { html, nothing, type TemplateResult } from 'lit'
import { customElement, state } from 'lit/decorators.js'
import type { Tune } from '@chartloft/shared-theory'
import { LoftElement } from '../look/element.js'
import { fieldText } from '../look/fields.js'
import { Observe } from '../state/observe.js'
import { type Room, roomContext } from '../state/room.js'
import { words } from '../words.js'

type Rights = Tune['rights']
const RIGHTS: readonly Rights[] = ['own', 'public-domain', 'licensed', 'unknown']

@customElement('loft-rights')
export class LoftRights extends LoftElement {
  @consume({ context: roomContext }) private room!: Room
  @state() private isWorking = false
  protected readonly observe = new Observe(this, () => [this.room?.ledger.state])

  protected override render(): TemplateResult {
    const rights = this.room.board?.rights ?? 'unknown'
    return html`<section aria-labelledby="rights-h">
      <h2 id="rights-h">${words.details.rights}</h2>
      <p>${words.board.rights[rights]}</p>
      ${this.room.isLeader ? this.form(rights) : nothing}
      ${
        rights === 'own' || rights === 'public-domain'
          ? nothing
          : html`<p class="care">
              <span><b>${words.bring.careTitle}</b> ${words.bring.care}</span>
            </p>`
      }
    </section>`
  }

  private form(rights: Rights): TemplateResult {
    return html`<form class="stack" @submit=${(event: SubmitEvent) => void this.save(event)}>
      <fieldset class="whose">
        <legend class="vh">${words.bring.whose}</legend>
        ${RIGHTS.map(
          (one) =>
            html`<label
              ><input type="radio" name="rights" value=${one} .checked=${one === rights} />
              ${words.bring.rights[one]}</label
            >`,
        )}
      </fieldset>
      <button class="btn" aria-disabled=${this.isWorking ? 'true' : 'false'}>${words.details.rightsSave}</button>
    </form>`
  }

  private async save(event: SubmitEvent): Promise<void> {
    event.preventDefault()
    if (this.isWorking) return
    const rights = fieldText(event, 'rights')
    if (rights === this.room.board?.rights) return
    this.isWorking = true
    await this.room.command('setRights', { rights })
    this.isWorking = false
  }
}
