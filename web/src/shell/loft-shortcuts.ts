/** The list of keys, opened by '?' or its button; the browser's own dialog keeps the focus and gives it back. */
import { html, type PropertyValues, type TemplateResult } from 'lit'
import { customElement } from 'lit/decorators.js'
import { LoftElement } from '../look/element.js'
import { words } from '../words.js'

@customElement('loft-shortcuts')
export class LoftShortcuts extends LoftElement {
  open(): void {
    const dialog = this.querySelector('dialog')
    if (dialog && !dialog.open) dialog.showModal()
  }

  protected override firstUpdated(_changed: PropertyValues): void {
    this.open()
  }

  protected override render(): TemplateResult {
    const { shortcuts } = words
    return html`<dialog class="shortcuts" aria-labelledby="shortcuts-h">
      <h2 id="shortcuts-h">${shortcuts.title}</h2>
      <dl>
        ${shortcuts.list.map(
          ({ keys, does }) =>
            html`<div>
              <dt>${keys.map((key) => html`<kbd>${key}</kbd> `)}</dt>
              <dd>${does}</dd>
            </div>`,
        )}
      </dl>
      <form method="dialog"><button class="btn">${words.close}</button></form>
    </dialog>`
  }
}
