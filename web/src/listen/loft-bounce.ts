/** What I hear as a sound file: my mix, or the band without me to practise to; with progress, and a way out. */
import { html, nothing, type TemplateResult } from 'lit'
import { customElement, property, state } from 'lit/decorators.js'
import { canEncodeOpus, type FileKind } from '../audio/index.js'
import { LoftElement } from '../look/element.js'
import { words } from '../words.js'
import type { Listening } from './listening.js'

@customElement('loft-bounce')
export class LoftBounce extends LoftElement {
  @property({ attribute: false }) listening!: Listening
  @property() fileName = 'arrangement.wav'
  @state() private kind: FileKind = 'wav'
  @state() private canOgg: boolean | undefined
  @state() private share: number | undefined
  @state() private said = ''
  private work: AbortController | undefined

  override connectedCallback(): void {
    super.connectedCallback()
    void canEncodeOpus().then((can) => (this.canOgg = can))
  }

  override disconnectedCallback(): void {
    super.disconnectedCallback()
    this.work?.abort()
  }

  protected override render(): TemplateResult {
    return html`<div class="grp bounce">
      ${
        this.share === undefined
          ? html`${this.kinds()}<button class="btn" @click=${() => void this.save()}>${words.player.bounce}</button>`
          : html`<progress max="1" .value=${this.share} aria-label=${words.player.bouncing}></progress>
              <button class="btn" @click=${() => this.work?.abort()}>${words.player.bounceCancel}</button>`
      }
      <small role="status">${this.said || words.player.bounceNote(this.canOgg !== false)}</small>
    </div>`
  }

  private kinds(): TemplateResult | typeof nothing {
    if (!this.canOgg) return nothing
    return html`<select
      aria-label=${words.player.bounceKind}
      @change=${(event: Event) => (this.kind = (event.target as HTMLSelectElement).value as FileKind)}
    >
      ${(['wav', 'ogg'] as const).map(
        (kind) =>
          html`<option value=${kind} ?selected=${kind === this.kind}>${words.player.bounceKinds[kind]}</option>`,
      )}
    </select>`
  }

  private async save(): Promise<void> {
    const work = (this.work = new AbortController())
    this.share = 0
    this.said = words.player.bouncing
    try {
      const file = await this.listening.bounce((share) => (this.share = share), work.signal, this.kind)
      if (file) download(file, this.fileName.replace(/wav$/, this.kind))
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
