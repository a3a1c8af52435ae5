/** What people said at bars: pinned to the music, so that it moves with it. */
import { consume } from '@lit/context'
import { html, nothing, type TemplateResult } from 'lit'
import { customElement, property, state } from 'lit/decorators.js'
import {
  anchorAt,
  anchoredBar,
  type BarPlace,
  type CommentAnchor,
  type DraftComment,
} from '@chartloft/shared-theory/board'
import { anchorOf } from '../../look/bars.js'
import { LoftElement } from '../../look/element.js'
import { fieldText } from '../../look/fields.js'
import { Observe } from '../../state/observe.js'
import { type Room, roomContext } from '../../state/room.js'
import { words } from '../../words.js'
import { pinNumbers } from '../pins.js'
import { pinBars } from './pin-bars.js'

/** An arrangement one may talk about here: the board's own, or one with an option of the desk. */
export interface TalkedOver {
  readonly places: readonly BarPlace[]
  /** Indices of the bars that are written here. */
  readonly shown: readonly number[]
  /** The option's number, on a desk. */
  readonly option?: number
}

@customElement('loft-comments')
export class LoftComments extends LoftElement {
  @consume({ context: roomContext }) private room!: Room
  /** Bars one may talk about here. */
  @property({ attribute: false }) music: readonly TalkedOver[] = []
  /** The whole piece is here: comments whose bar is not played are listed too. */
  @property({ type: Boolean }) whole = false
  @state() private isSaying = false
  protected readonly observe = new Observe(this, () => [this.room?.draft.view])

  protected override render(): TemplateResult {
    const { comments } = this.room.draft.view.value
    const numbers = pinNumbers(comments)
    const placed = comments.map((comment) => ({ comment, where: this.whereOf(comment) }))
    const shown = placed.filter(({ where }) => where !== undefined)
    const gone = this.whole && this.music.length > 0 ? placed.filter(({ where }) => where === undefined) : []
    return html`<section class="talk" aria-labelledby="talk-h">
      <h3 id="talk-h">${words.desk.talk}</h3>
      ${
        shown.length === 0
          ? nothing
          : html`<ul>
              ${shown.map(({ comment, where }) => this.said(comment, where ?? '', numbers.get(comment.id)))}
            </ul>`
      }
      ${this.isSaying ? this.form() : nothing}
      ${
        this.isSaying || this.music.length === 0
          ? nothing
          : html`<p>
              <button class="btn bare say" @click=${() => (this.isSaying = true)}>${words.desk.say}</button>
            </p>`
      }
      ${
        gone.length === 0
          ? nothing
          : html`<h3 id="gone-h">${words.desk.goneTitle}</h3>
              <p class="note">${words.desk.goneNote}</p>
              <ul aria-labelledby="gone-h">
                ${gone.map(({ comment }) =>
                  this.said(comment, words.desk.gone(this.stood(comment.anchor)), numbers.get(comment.id)),
                )}
              </ul>`
      }
    </section>`
  }

  private said(comment: DraftComment, where: string, pin: number | undefined): TemplateResult {
    return html`<li id=${anchorOf(comment.id)} tabindex="-1" class=${comment.resolved ? 'done' : ''}>
      ${pin === undefined ? html`<span></span>` : html`<span class="pin" aria-hidden="true">${pin}</span>`}
      <div>
        <p>
          <b>${comment.by || words.join.nobody}</b> <span class="soft">${where}</span><br /><span class="said"
            >${comment.text}</span
          >
        </p>
        <button class="btn bare" @click=${() => this.room.draft.resolve(comment.id, !comment.resolved)}>
          ${comment.resolved ? words.desk.reopen : words.desk.resolve}</button
        ><button class="btn bare" @click=${() => this.room.draft.removeComment(comment.id)}>
          ${words.desk.remove}
        </button>
      </div>
    </li>`
  }

  /** 'bar 13', as it is counted here now; undefined where no arrangement here plays it, or does not show it. */
  private whereOf({ anchor }: DraftComment): string | undefined {
    const found = this.music.flatMap(({ places, shown, option }) => {
      const bar = anchoredBar(anchor, places)
      return bar !== undefined && (this.whole || shown.includes(bar)) ? [{ number: bar + 1, option }] : []
    })
    const [first] = found
    if (!first) return undefined
    const isEverywhere = found.length === this.music.length && found.every(({ number }) => number === first.number)
    return first.option === undefined || isEverywhere
      ? words.desk.at(first.number)
      : words.desk.atOption(first.number, first.option)
  }

  /** Where the bar stood when it was pinned: 'bar 3 of B'. */
  private stood({ sectionId, bar }: CommentAnchor): string {
    const letter = this.room.board?.tune?.sections.find(({ id }) => id === sectionId)?.letter
    return words.desk.stood(bar + 1, letter ?? words.desk.frame(sectionId))
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
            ${pinBars(this.music).map(
              ({ number, option }, index) =>
                html`<option value=${index}>${words.desk.sayAtBar(number, option)}</option>`,
            )}
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
    const bar = pinBars(this.music)[Number(fieldText(event, 'bar'))]
    if (!bar || said === '') return
    this.room.draft.comment(anchorAt(bar.place), said, this.room.me.name, Date.now())
    this.isSaying = false
  }
}
