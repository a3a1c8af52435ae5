/** The leader asks everybody: question, method, audience, who sees the count, when it closes; and closes the vote again. */
import { consume } from '@lit/context'
import { html, nothing, type TemplateResult } from 'lit'
import { customElement, property, state } from 'lit/decorators.js'
import { LoftElement } from '../../look/element.js'
import { fieldText } from '../../look/fields.js'
import { type Room, roomContext } from '../../state/room.js'
import type { SlotView } from '../../state/slots.js'
import { words } from '../../words.js'
import type { NumberedOption } from './desk-options.js'

const CLOSES_IN_DAYS = [1, 2, 3, 7] as const
const DAY_MS = 86_400_000

@customElement('loft-open-poll')
export class LoftOpenPoll extends LoftElement {
  @consume({ context: roomContext }) private room!: Room
  @property({ attribute: false }) view!: SlotView
  @property({ attribute: false }) shown: readonly NumberedOption[] = []
  @state() private isOpen = false
  @state() private isWorking = false

  protected override render(): TemplateResult | typeof nothing {
    const { poll, status } = this.view
    if (poll?.open) {
      return html`<p class="acts">
        <button
          class="btn"
          aria-disabled=${this.isWorking ? 'true' : 'false'}
          @click=${() => void this.work('closePoll', { pollId: poll.pollId })}
        >
          ${words.desk.pollClose}
        </button>
      </p>`
    }
    if (status === 'locked' || this.shown.length < 2) return nothing
    if (!this.isOpen) {
      return html`<p class="acts">
        <button class="btn" aria-expanded="false" @click=${() => (this.isOpen = true)}>${words.desk.poll}</button>
      </p>`
    }
    return this.form()
  }

  private form(): TemplateResult {
    return html`<form class="pollform" aria-labelledby="poll-h" @submit=${(event: SubmitEvent) => this.send(event)}>
      <div>
        <h2 id="poll-h">${words.desk.poll}</h2>
        <p class="soft">${this.shown.map(({ number, option }) => `${number} ${option.title}`).join(', ')}</p>
      </div>
      ${this.choice('method', words.desk.pollMethod, words.desk.methods, 'approval')}
      ${this.choice('audience', words.desk.pollAudience, words.desk.audiences, 'everyone')}
      ${this.choice('tally', words.desk.pollTally, words.desk.tallies, 'afterVote')}
      <label class="field wide"
        ><span>${words.desk.pollQuestion}</span
        ><input
          type="text"
          name="question"
          maxlength="500"
          required
          .value=${words.pollQuestion(this.view.slot.decision, this.room.board?.title ?? '')}
      /></label>
      <label class="field"
        ><span>${words.desk.pollCloses}</span
        ><select name="closes">
          <option value="">${words.desk.pollClosesNever}</option>
          ${CLOSES_IN_DAYS.map((days) => html`<option value=${days}>${words.desk.pollClosesDays(days)}</option>`)}
        </select></label
      >
      <label class="check"><input type="checkbox" name="byRole" value="yes" /> ${words.desk.pollByRole}</label>
      <div class="do">
        <p class="acts">
          <button class="btn" aria-disabled=${this.isWorking ? 'true' : 'false'}>${words.desk.pollOpen}</button>
          <button class="btn bare" type="button" @click=${() => (this.isOpen = false)}>${words.cancel}</button>
        </p>
      </div>
      ${
        this.room.board?.rights === 'own' || this.room.board?.rights === 'public-domain'
          ? nothing
          : html`<p class="care wide">
              <span><b>${words.bring.careTitle}</b> ${words.bring.care}</span>
            </p>`
      }
    </form>`
  }

  private choice(
    name: string,
    legend: string,
    choices: { readonly [value: string]: string },
    first: string,
  ): TemplateResult {
    return html`<fieldset>
      <legend>${legend}</legend>
      ${Object.entries(choices).map(
        ([value, text]) =>
          html`<label><input type="radio" name=${name} value=${value} ?checked=${value === first} /> ${text}</label>`,
      )}
    </fieldset>`
  }

  private send(event: SubmitEvent): void {
    event.preventDefault()
    const days = Number(fieldText(event, 'closes'))
    void this.work('openPoll', {
      question: fieldText(event, 'question'),
      method: fieldText(event, 'method'),
      audience: fieldText(event, 'audience'),
      tally: fieldText(event, 'tally'),
      slot: this.view.slot,
      options: this.shown.slice(0, 12).map(({ option }) => ({ id: option.id, title: option.title, option })),
      ...(fieldText(event, 'byRole') ? { byRole: true } : {}),
      ...(days > 0 ? { closesAt: Date.now() + days * DAY_MS } : {}),
    })
  }

  private async work(kind: 'openPoll' | 'closePoll', fields: { readonly [field: string]: unknown }): Promise<void> {
    if (this.isWorking) return
    this.isWorking = true
    const answer = await this.room.command(kind, fields)
    this.isWorking = false
    if (answer) this.isOpen = false
  }
}
