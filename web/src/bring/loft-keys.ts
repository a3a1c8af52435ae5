/** The three links of a new board, over the board itself: shown until they are kept, copied with one press. */
import { html, type TemplateResult } from 'lit'
import { customElement, property, state } from 'lit/decorators.js'
import { LoftElement } from '../look/element.js'
import type { NewBoard } from '../sync/http.js'
import { words } from '../words.js'

const ROLES = ['leader', 'member', 'listener'] as const
const NOTES = { leader: words.links.leaderNote, member: words.links.memberNote, listener: words.links.listenerNote }

@customElement('loft-keys')
export class LoftKeys extends LoftElement {
  @property({ attribute: false }) board!: NewBoard
  @property() origin = ''
  @state() private copied = ''

  protected override render(): TemplateResult {
    return html`<section class="newkeys" aria-labelledby="newkeys-h">
      <h2 id="newkeys-h">${words.bring.linksTitle}</h2>
      <p class="soft">${words.bring.linksNote}</p>
      <ul class="keys">
        ${ROLES.map((role) => {
          const link = this.origin + this.board.links[role]
          return html`<li>
            <p><b>${words.links[role]}</b></p>
            <p>${NOTES[role]}<code>${link}</code></p>
            <button
              class="btn"
              aria-label="${words.links.copy}: ${words.links[role]}"
              @click=${() => void this.copy(role, link)}
            >
              ${words.links.copy}
            </button>
          </li>`
        })}
      </ul>
      <p role="status" class="note">${this.copied}</p>
      <p class="acts">
        <button class="btn" @click=${() => this.dispatchEvent(new Event('kept'))}>${words.bring.linksKept}</button>
      </p>
    </section>`
  }

  private async copy(role: (typeof ROLES)[number], link: string): Promise<void> {
    await navigator.clipboard?.writeText(link)
    this.copied = `${words.links[role]}: ${words.links.copied}`
  }
}
