/** What a merge left to settle: places two people rewrote without seeing each other's, and what the rules find in the merged music. */
import { consume } from '@lit/context'
import { html, nothing, type TemplateResult } from 'lit'
import { customElement } from 'lit/decorators.js'
import { LoftElement } from '../look/element.js'
import { musicText } from '../look/music-text.js'
import type { Conflict } from '../state/conflicts.js'
import { Observe } from '../state/observe.js'
import { type Room, roomContext } from '../state/room.js'
import { words } from '../words.js'

/** More than that at once nobody reads. */
const MOST_ISSUES = 3

@customElement('loft-merged')
export class LoftMerged extends LoftElement {
  @consume({ context: roomContext }) private room!: Room
  protected readonly observe = new Observe(this, () => [
    this.room?.draft.conflicts.open,
    this.room?.mergeIssues,
    this.room?.form,
    this.room?.connection.authors,
  ])

  protected override render(): TemplateResult | typeof nothing {
    const open = this.room.draft.conflicts.open.value
    const issues = this.room.mergeIssues.value.slice(0, MOST_ISSUES)
    if (open.length === 0 && issues.length === 0) return nothing
    return html`<section class="merged" aria-labelledby="merged-h">
      <h2 id="merged-h">${words.merge.title}</h2>
      <ul role="status">
        ${open.map((conflict) => this.conflict(conflict))}
      </ul>
      ${
        issues.length > 0
          ? html`<p>${words.merge.rules}</p>
              <ul>
                ${issues.map((issue) => html`<li class="issue">${musicText(issue.message)}</li>`)}
              </ul>
              <p class="acts">
                <button class="btn bare" @click=${() => this.room.mergeIssues.set([])}>${words.merge.leave}</button>
              </p>`
          : nothing
      }
    </section>`
  }

  private conflict(conflict: Conflict): TemplateResult {
    const { draft } = this.room
    const { mineStands, theirs } = conflict
    return html`<li>
      <p>${this.room.sayConflict(conflict)}</p>
      <p class="acts">
        ${
          mineStands
            ? theirs === undefined
              ? nothing
              : html`<button class="btn" @click=${() => draft.take(conflict, 'theirs')}>
                  ${words.merge.takeTheirs(this.room.otherIn(conflict))}
                </button>`
            : html`<button class="btn" @click=${() => draft.take(conflict, 'mine')}>${words.merge.takeMine}</button>`
        }
        <button class="btn bare" @click=${() => draft.conflicts.settle(conflict)}>${words.merge.leave}</button>
      </p>
    </li>`
  }
}
