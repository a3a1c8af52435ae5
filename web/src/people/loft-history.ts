/** History: every accepted command, newest first; states with names; any of them brought back as a new entry. */
import { consume } from '@lit/context'
import { html, nothing, type TemplateResult } from 'lit'
import { customElement } from 'lit/decorators.js'
import { withSigns } from '../look/chord-symbol.js'
import { LoftElement } from '../look/element.js'
import { fieldText } from '../look/fields.js'
import { Observe } from '../state/observe.js'
import { type Room, roomContext } from '../state/room.js'
import { words } from '../words.js'

@customElement('loft-history')
export class LoftHistory extends LoftElement {
  @consume({ context: roomContext }) private room!: Room
  protected readonly observe = new Observe(this, () => [this.room?.ledger.entries, this.room?.ledger.state])

  protected override firstUpdated(): void {
    this.room.ledger.loadAll().catch((error: unknown) => this.room.say(error))
  }

  protected override render(): TemplateResult {
    const entries = [...this.room.ledger.entries.value].reverse()
    const names = new Map(this.room.board?.versions.map(({ name, seq }) => [seq, name]))
    return html`<div class="quiet">
      <div>
        <h1>${words.history.title}</h1>
        <p class="lead">${words.history.lead}</p>
      </div>
      <form class="fieldrow" @submit=${(event: SubmitEvent) => void this.name(event)}>
        <label><span>${words.history.nameIt}</span><input type="text" name="name" maxlength="80" required /></label>
        <button class="btn">${words.history.nameButton}</button>
      </form>
      ${this.room.isLeader ? html`<p class="note">${words.history.restoreNote}</p>` : nothing}
      ${entries.length === 0 ? html`<p class="soft">${words.history.empty}</p>` : nothing}
      <ol class="list" reversed>
        ${entries.map((entry, index) => {
          const name = names.get(entry.seq)
          return html`<li>
            <p>
              <b>${withSigns(words.history.row(entry))}</b
              >${name ? html` <span>${words.history.named(name)}</span>` : nothing}<br /><span class="soft"
                >${entry.seq} · ${entry.by.name || words.join.nobody}, ${words.history.when(entry.at)}</span
              >
            </p>
            ${
              this.room.isLeader && index > 0
                ? html`<button
                    class="btn bare"
                    @click=${() => void this.room.command('restoreVersion', { toSeq: entry.seq })}
                  >
                    ${words.history.restore}
                  </button>`
                : nothing
            }
          </li>`
        })}
      </ol>
    </div>`
  }

  private async name(event: SubmitEvent): Promise<void> {
    event.preventDefault()
    const form = event.target as HTMLFormElement
    const name = fieldText(form, 'name')
    if (name && (await this.room.command('nameVersion', { name }))) form.reset()
  }
}
