/** My vote for one option, and the count as far as its rule lets it be seen. */
import { consume } from '@lit/context'
import { html, nothing, type TemplateResult } from 'lit'
import { customElement, property } from 'lit/decorators.js'
import { LoftElement } from '../../look/element.js'
import { tally } from '../../look/tally.js'
import { Observe } from '../../state/observe.js'
import { type Room, roomContext } from '../../state/room.js'
import type { SlotView } from '../../state/slots.js'
import { withChoiceOf } from '../../state/ballot.js'
import type { PollView } from '../../sync/http.js'
import { words } from '../../words.js'
import type { NumberedOption } from './desk-options.js'

@customElement('loft-votes')
export class LoftVotes extends LoftElement {
  @consume({ context: roomContext }) private room!: Room
  @property({ attribute: false }) view!: SlotView
  @property({ attribute: false }) numbered!: NumberedOption
  protected readonly observe = new Observe(this, () => [this.room?.polls])

  protected override render(): TemplateResult | typeof nothing {
    const poll = this.view.poll && this.room.polls.value.get(this.view.poll.pollId)
    const { number, option } = this.numbered
    if (!poll || !poll.options.some((candidate) => candidate.id === option.id)) return nothing
    return html`<div class="votes">
      <h3>${words.desk.votes}</h3>
      ${counts(poll, option.id)} ${poll.open ? this.mine(poll, option.id, number) : nothing}
    </div>`
  }

  private mine(poll: PollView, optionId: string, number: number): TemplateResult {
    const cast = (value: boolean | number) =>
      void this.room.vote(poll.pollId, withChoiceOf(poll.method, poll.mine, optionId, value))
    if (poll.method === 'score') {
      const mark = poll.mine && !Array.isArray(poll.mine) ? (poll.mine as Record<string, number>)[optionId] : undefined
      return html`<label class="mine"
        >${words.desk.scoreOf(number)}
        <select @change=${(event: Event) => cast(Number((event.target as HTMLSelectElement).value))}>
          ${mark === undefined ? html`<option value="" selected>–</option>` : nothing}
          ${[0, 1, 2, 3, 4, 5].map((value) => html`<option value=${value} ?selected=${value === mark}>${value}</option>`)}
        </select></label
      >`
    }
    const isMine = Array.isArray(poll.mine) && poll.mine.includes(optionId)
    return html`<label class="mine"
      ><input
        type=${poll.method === 'single' ? 'radio' : 'checkbox'}
        name="vote-${poll.pollId}"
        .checked=${isMine}
        @change=${(event: Event) => cast((event.target as HTMLInputElement).checked)}
      />
      ${words.desk.choice[poll.method](number)}</label
    >`
  }
}

/** The count of one option: strokes and number, band and listeners apart where the leader chose so. */
export function counts(poll: PollView, optionId: string): TemplateResult {
  const seen = poll.tally
  if (!seen) return html`<p class="note">${poll.open ? words.desk.tallyHidden : words.desk.tallyAfterClose}</p>`
  const row = (name: string, count: number) =>
    html`<div>
      <dt>${name}</dt>
      <dd>${tally(count) ?? nothing} <b class="num">${count}</b></dd>
    </div>`
  return html`<dl>
    ${
      seen.byRole
        ? html`${row(words.desk.band, seen.byRole.band[optionId] ?? 0)}${row(
            words.desk.listeners,
            seen.byRole.listeners[optionId] ?? 0,
          )}`
        : row(words.desk.everyone, seen.counts[optionId] ?? 0)
    }
  </dl>`
}
