/** One option on the desk: what it is, the bars it changes, how to hear it, why it works, votes, edits by hand. */
import { consume } from '@lit/context'
import { html, nothing, type TemplateResult } from 'lit'
import { customElement, property, state } from 'lit/decorators.js'
import type { ExcerptStep } from '@chartloft/shared-theory'
import { barList, type ShownBar } from '../../look/bars.js'
import { LoftElement } from '../../look/element.js'
import { musicText } from '../../look/music-text.js'
import { sayMetre } from '../../look/say.js'
import { playSign, stopSign } from '../../look/signs.js'
import { Observe } from '../../state/observe.js'
import { type Room, roomContext } from '../../state/room.js'
import type { SlotView } from '../../state/slots.js'
import type { DeskOption } from '../../state/theory-protocol.js'
import { words } from '../../words.js'
import { pinsAt } from '../pins.js'
import type { NumberedOption } from './desk-options.js'
import './loft-hand-edit.js'
import './loft-votes.js'

@customElement('loft-option')
export class LoftOption extends LoftElement {
  @consume({ context: roomContext }) private room!: Room
  @property({ attribute: false }) view!: SlotView
  @property({ attribute: false }) numbered!: NumberedOption
  @property({ attribute: false }) desk: DeskOption | undefined
  @state() private isEditing = false
  protected readonly observe = new Observe(this, () => [this.room?.sounding, this.room?.draft.view, this.room?.form])

  protected override render(): TemplateResult {
    const { number, option, isEdited } = this.numbered
    const facts = [words.desk.facts(option.effects), isEdited ? words.desk.handEdited : '']
    return html`<article class="opt" aria-labelledby="option-${number}">
      <header>
        <h2 id="option-${number}"><span class="big">${number}</span> ${musicText(option.title)}</h2>
        <p class="facts">${facts.filter((fact) => fact).join(' · ')}</p>
      </header>
      <div class="excerpt">${this.excerpt()}${this.rebarred()}</div>
      <p class="hear">${this.hear()}</p>
      <div class="why">
        <p>${musicText(option.summary)}</p>
        ${
          option.effects?.outOfRange?.length
            ? html`<p class="issue">
                ${words.desk.outOfRange(option.effects.outOfRange.map((id) => this.partName(id)))}
              </p>`
            : nothing
        }
        <details>
          <summary>${words.desk.why}</summary>
          <ol>
            ${option.reason.map(
              ({ rule, text }) => html`<li><span class="rule">${rule}</span> ${musicText(text)}</li>`,
            )}
          </ol>
        </details>
      </div>
      <loft-votes .view=${this.view} .numbered=${this.numbered}></loft-votes>
      <div>
        ${
          this.isEditing && this.desk && this.view.lock?.option.id !== option.id
            ? html`<loft-hand-edit
                .view=${this.view}
                .numbered=${this.numbered}
                .desk=${this.desk}
                @done=${() => (this.isEditing = false)}
              ></loft-hand-edit>`
            : this.view.lock?.option.id === option.id
              ? nothing
              : html`<button class="btn" @click=${() => (this.isEditing = true)}>${words.desk.editByHand}</button>`
        }
      </div>
    </article>`
  }

  private excerpt(): TemplateResult {
    const excerpt = this.desk?.excerpt
    if (!excerpt || excerpt.bars.length === 0) return html`<p class="busy">${words.working}</p>`
    const first = excerpt.bars[0]?.bar.barIndex ?? 0
    const isHeard = this.view.tryingId === this.numbered.option.id
    const sounding = this.room.sounding.value
    const allPins = pinsAt(excerpt.places, this.room.draft.view.value.comments)
    const bars = excerpt.bars.map(({ bar, changed, added, isLast }, index): ShownBar => {
      const pins = allPins.get(bar.barIndex)
      return {
        bar,
        isChanged: changed,
        ...(index === 0 && this.view.slot.decision === 'groove' ? { metre: sayMetre(bar.metre) } : {}),
        isAdded: added,
        isNow: isHeard && sounding?.isPlaying === true && sounding.barIndex === bar.barIndex,
        ...(isLast ? { closes: 'piece' as const } : {}),
        ...(pins ? { pins } : {}),
      }
    })
    return html`${barList(bars, {
      label: words.desk.excerpt(this.numbered.number, first + 1, first + excerpt.bars.length),
      range: this.room.form.value?.range,
    })}${excerpt.more > 0 ? html`<p class="note">${words.desk.more(excerpt.more)}</p>` : nothing}`
  }

  /** What becomes of the tune's first bars: as they are, then as this groove has them. */
  private rebarred(): TemplateResult | typeof nothing {
    const steps = this.desk?.rebarred
    if (!steps) return nothing
    const range = this.room.form.value?.range
    const row = (bars: ExcerptStep['before'], label: string) =>
      barList(
        bars.map((bar, index): ShownBar => ({
          bar: { ...bar, barIndex: bar.tuneBar ?? 0 },
          ...(index === 0 ? { metre: sayMetre(bar.metre) } : {}),
        })),
        { label, range },
      )
    const first = (steps[0]?.before[0]?.tuneBar ?? 0) + 1
    const what = new Set(steps.flatMap((step) => step.words ?? []))
    return html`<details class="rebarred">
      <summary>${words.desk.rebarred}</summary>
      ${row(
        steps.flatMap(({ before }) => before),
        words.desk.asItIs(first),
      )}
      ${[...what].map((text) => html`<p class="note">${text}</p>`)}
      ${row(
        steps.flatMap(({ after }) => after),
        words.desk.asItBecomes,
      )}
    </details>`
  }

  private hear(): TemplateResult {
    const { number, option } = this.numbered
    const sounding = this.room.sounding.value
    const isHeard = this.view.tryingId === option.id && sounding?.isPlaying === true
    if (isHeard) {
      return html`<button class="btn" aria-pressed="true" @click=${() => this.room.stopRequest.set({})}>
        ${stopSign}${words.desk.hearing(number, sounding.barIndex + 1)}
      </button>`
    }
    const { desk } = this
    if (this.view.lock && this.view.lock.option.id !== option.id) {
      return html`<span class="note">${words.desk.hearLocked}</span>`
    }
    return html`<button
      class="btn"
      aria-pressed="false"
      aria-disabled=${desk ? 'false' : 'true'}
      @click=${() =>
        desk &&
        this.room.hear(this.view.slot, option, { fromTick: desk.excerpt.fromTick, toTick: desk.excerpt.toTick })}
    >
      ${playSign}${words.desk.hear(number)}
    </button>`
  }

  private partName(id: string): string {
    return this.room.plan.value?.lineup.find((part) => part.id === id)?.name ?? id
  }
}
