/** Saved, saving, offline: whether what I wrote is on the server's disk. */
import { consume } from '@lit/context'
import { html, type TemplateResult } from 'lit'
import { customElement } from 'lit/decorators.js'
import { LoftElement } from '../look/element.js'
import { Observe } from '../state/observe.js'
import { type Room, roomContext } from '../state/room.js'
import { words } from '../words.js'

@customElement('loft-kept')
export class LoftKept extends LoftElement {
  @consume({ context: roomContext }) private room!: Room
  protected readonly observe = new Observe(this, () => [this.room?.connection.kept, this.room?.connection.line])

  protected override render(): TemplateResult {
    const kept = this.room.connection.kept.value
    return html`<p class="kept" data-state=${kept.state} role="status">
      <i aria-hidden="true"></i>${words.kept(kept, this.room.connection.line.value)}
    </p>`
  }
}
