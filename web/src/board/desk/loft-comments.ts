/** What people said at bars: pinned to the music, so that it moves with it. */
import { consume } from '@lit/context'
import { html, nothing, type TemplateResult } from 'lit'
import { customElement, property, state } from 'lit/decorators.js'
import type { BarRef } from '@chartloft/shared-theory'
import { anchorOf } from '../../look/bars.js'
import { LoftElement } from '../../look/element.js'
import { fieldText } from '../../look/fields.js'
import { Observe } from '../../state/observe.js'
import { type Room, roomContext } from '../../state/room.js'
import { words } from '../../words.js'

export interface CommentBar {
  readonly number: number
  readonly ref: BarRef
}

@customElement('loft-comments')
export class LoftComments extends LoftElement {
  @consume({ context: roomContext }) private room!: Room
  /** Bars one may talk about here; comments at other bars are not shown. */
  @property({ attribute: false }) bars: readonly CommentBar[] = []
  @state() private isSaying = false
  protected readonly observe = new Observe(this, () => [this.room?.draft.view])

  protected override render(): TemplateResult {
    const numbered = this.room.draft.view.value.comments
    const open = numbered.filter((comment) => !comment.resolved)
    const shown = numbered.flatMap((comment) => {
      const bar = this.bars.find(
        ({ ref }) =>
          ref.pass === comment.anchor.passId &&
          ref.sectionId === comment.anchor.sectionId &&
          ref.bar === comment.anchor.bar,
      )
      return bar ? [{ comment, bar, pin: open.indexOf(comment) + 1 }] : []
    })
    return html`<section class="talk" aria-labelledby="talk-h">
      <h3 id="talk-h">${words.desk.talk}</h3>
      ${
        shown.length === 0
          ? nothing
          : html`<ul>
              ${shown.map(
                ({ comment, bar, pin }) =>
                  html`<li id=${anchorOf(comment.id)} tabindex="-1" class=${comment.resolved ? 'done' : ''}>
                    ${pin > 0 ? html`<span class="pin" aria-hidden="true">${pin}</span>` : html`<span></span>`}
                    <div>
                      <p>
                        <b>${comment.by || words.join.nobody}</b> <span class="soft">${words.desk.at(bar.number)}</span
                        ><br /><span class="said">${comment.text}</span>
                      </p>
                      <button class="btn bare" @click=${() => this.room.draft.resolve(comment.id, !comment.resolved)}>
                        ${comment.resolved ? words.desk.reopen : words.desk.resolve}</button
                      ><button class="btn bare" @click=${() => this.room.draft.removeComment(comment.id)}>
                        ${words.desk.remove}
                      </button>
                    </div>
                  </li>`,
              )}
            </ul>`
      }
      ${this.isSaying ? this.form() : nothing}
      ${
        this.isSaying || this.bars.length === 0
          ? nothing
          : html`<p>
              <button class="btn bare say" @click=${() => (this.isSaying = true)}>${words.desk.say}</button>
            </p>`
      }
    </section>`
  }

  private form(): TemplateResult {
    return html`<form class="sayform" @submit=${(event: SubmitEvent) => this.send(event)}>
      <label class="field"
        ><span>${words.desk.sayWhat}</span
        ><textarea
          name="text"
          rows="2"
          maxlength="4000"
          required
          @keydown=${(event: KeyboardEvent) => this.onKey(event)}
        ></textarea>
      </label>
      <p class="acts">
        <label
          >${words.desk.sayAt}
          <select name="bar">
            ${this.bars.map(({ number }, index) => html`<option value=${index}>${number}</option>`)}
          </select></label
        >
        <button class="btn">${words.desk.send}</button>
        <button class="btn bare" type="button" @click=${() => (this.isSaying = false)}>${words.cancel}</button>
      </p>
    </form>`
  }

  private onKey(event: KeyboardEvent): void {
    if (event.key === 'Escape') {
      event.stopPropagation()
      this.isSaying = false
    }
  }

  private send(event: SubmitEvent): void {
    event.preventDefault()
    const said = fieldText(event, 'text')
    const bar = this.bars[Number(fieldText(event, 'bar'))]
    if (!bar || said === '') return
    const { pass, sectionId, bar: at } = bar.ref
    this.room.draft.comment({ passId: pass, sectionId, bar: at }, said, this.room.me.name, Date.now())
    this.isSaying = false
  }
}
