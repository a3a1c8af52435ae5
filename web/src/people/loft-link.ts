/** A link to hand on: copied, given to the phone's own share sheet, or shown as a QR code to the phone across the room. */
import { html, nothing, svg, type TemplateResult } from 'lit'
import { customElement, property, state } from 'lit/decorators.js'
import { LoftElement } from '../look/element.js'
import { words } from '../words.js'
import { QUIET, qrCode, qrPath } from './qr.js'

@customElement('loft-link')
export class LoftLink extends LoftElement {
  @property() link = ''
  /** What the share sheet and the code call it: 'Band link'. */
  @property() what = ''
  @state() private told = ''
  @state() private showsCode = false

  protected override render(): TemplateResult {
    return html`<div class="onelink">
      <code>${this.link}</code>
      <p class="acts">
        <button class="btn" aria-label=${`${words.links.copy}: ${this.what}`} @click=${() => void this.copy()}>
          ${words.links.copy}
        </button>
        ${
          typeof navigator.share === 'function'
            ? html`<button
                class="btn"
                aria-label=${`${words.links.share}: ${this.what}`}
                @click=${() => void this.share()}
              >
                ${words.links.share}
              </button>`
            : nothing
        }
        <button
          class="btn"
          aria-label=${words.links.codeOf(this.what)}
          aria-expanded=${this.showsCode ? 'true' : 'false'}
          @click=${() => (this.showsCode = !this.showsCode)}
        >
          ${words.links.code}
        </button>
      </p>
      ${this.showsCode ? this.code() : nothing}
      <p class="note" role="status">${this.told}</p>
    </div>`
  }

  private code(): TemplateResult {
    const code = qrCode(this.link)
    if (!code) return html`<p class="note">${words.links.tooLong}</p>`
    const size = code.length + 2 * QUIET
    return html`<figure class="qr">
      <svg
        viewBox="0 0 ${size} ${size}"
        role="img"
        aria-label=${words.links.codeOf(this.what)}
        shape-rendering="crispEdges"
      >
        ${svg`<rect width=${size} height=${size} /><path d=${qrPath(code)} />`}
      </svg>
      <figcaption class="note">${words.links.scan}</figcaption>
    </figure>`
  }

  private async copy(): Promise<void> {
    try {
      await navigator.clipboard.writeText(this.link)
      this.told = words.links.copied
    } catch {
      // reason: no clipboard without https or leave; the link stands there to be copied by hand
      this.told = words.links.copyByHand
    }
  }

  private async share(): Promise<void> {
    try {
      await navigator.share({ title: `${words.name}: ${this.what}`, url: this.link })
    } catch {
      // reason: whoever closes the share sheet has changed their mind
    }
  }
}
