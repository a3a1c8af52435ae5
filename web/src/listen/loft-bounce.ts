/** What I hear as a sound file: my mix, or the band without me to practise to; with progress, and a way out. */
import { html, type TemplateResult } from 'lit'
import { customElement, property, state } from 'lit/decorators.js'
import { LoftElement } from '../look/element.js'
import { words } from '../words.js'
import type { Listening } from './listening.js'

@customElement('loft-bounce')
export class LoftBounce extends LoftElement {
  @property({ attribute: false }) listening!: Listening
  @property() fileName = 'arrangement.wav'
  @state() private share: number | undefined
  @state() private said = ''
  private work: AbortController | undefined

  override disconnectedCallback(): void {
    super.disconnectedCallback()
    this.work?.abort()
  }

  protected override render(): TemplateResult {
    return html`<div class="grp bounce">
      ${
        this.share === undefined
          ? html`<button class="btn" @click=${() => void this.save()}>${words.player.bounce}</button>`
          : html`<progress max="1" .value=${this.share} aria-label=${words.player.bouncing}></progress>
              <button class="btn" @click=${() => this.work?.abort()}>${words.player.bounceCancel}</button>`
      }
      <small role="status">${this.said || words.player.bounceNote}</small>
    </div>`
  }

  private async save(): Promise<void> {
    const work = (this.work = new AbortController())
    this.share = 0
    this.said = words.player.bouncing
    try {
      const file = await this.listening.bounce((share) => (this.share = share), work.signal)
      if (file) download(file, this.fileName)
      this.said = file ? words.player.bounced : words.player.bounceNothing
    } catch {
      this.said = work.signal.aborted ? words.player.bounceCancelled : words.player.bounceFailed
    } finally {
      this.share = undefined
    }
  }
}

function download(file: Blob, name: string): void {
  const link = document.createElement('a')
  link.href = URL.createObjectURL(file)
  link.download = name
  link.click()
  // The browser has begun to read it by then.
  setTimeout(() => URL.revokeObjectURL(link.href), 60_000)
}
