/** Band and key: who plays, in which key, who has the tune and the solos when, and whose tune it is. */
import { consume } from '@lit/context'
import { html, nothing, type TemplateResult } from 'lit'
import { customElement } from 'lit/decorators.js'
import { LoftElement } from '../look/element.js'
import { Observe } from '../state/observe.js'
import { type Room, roomContext } from '../state/room.js'
import { words } from '../words.js'
import './loft-key.js'
import './loft-lineup.js'
import './loft-passes.js'
import './loft-rights.js'

@customElement('loft-details')
export class LoftDetails extends LoftElement {
  @consume({ context: roomContext }) private room!: Room
  protected readonly observe = new Observe(this, () => [this.room?.ledger.state])

  protected override render(): TemplateResult | typeof nothing {
    const state = this.room.board
    if (!state) return nothing
    return html`<div class="quiet details">
      <div>
        <h1>${words.details.title}</h1>
        <p class="lead">${words.details.of(state.title)}</p>
      </div>
      ${state.tune ? html`<loft-key></loft-key>` : nothing}
      <loft-lineup></loft-lineup>
      ${state.tune ? html`<loft-passes></loft-passes>` : nothing}
      <loft-rights></loft-rights>
    </div>`
  }
}
