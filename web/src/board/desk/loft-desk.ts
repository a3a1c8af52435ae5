/** The decision desk: one question, its options side by side, heard in place, talked about, voted on, locked. */
import { consume } from '@lit/context'
import { html, nothing, type PropertyValues, type TemplateResult } from 'lit'
import { customElement, property, state } from 'lit/decorators.js'
import { repeat } from 'lit/directives/repeat.js'
import type { Plan, Wish } from '@chartloft/shared-theory'
import { parseSlotKey, slotKey } from '@chartloft/shared-theory/board'
import { LoftElement } from '../../look/element.js'
import { musicText } from '../../look/music-text.js'
import { cordSign } from '../../look/signs.js'
import { Observe } from '../../state/observe.js'
import { type Room, roomContext } from '../../state/room.js'
import { runningOrder } from '../../state/running-order.js'
import type { SlotView } from '../../state/slots.js'
import { boardPath } from '../../shell/route.js'
import { words } from '../../words.js'
import { DeskOptions, type NumberedOption } from './desk-options.js'
import type { TalkedOver } from './loft-comments.js'
import './loft-comments.js'
import './loft-lock.js'
import './loft-open-poll.js'
import './loft-option.js'
import './loft-wish.js'

/** Two rows of a wide desk; the rest is one press away. */
const LISTED_FIRST = 14

@customElement('loft-desk')
export class LoftDesk extends LoftElement {
  @consume({ context: roomContext }) private room!: Room
  @property({ attribute: false }) slotKey = ''
  @state() private listsAll = false
  private readonly options = new DeskOptions(this, () => this.room)
  protected readonly observe = new Observe(this, () => [
    this.room?.ledger.state,
    this.room?.slots,
    this.room?.plan,
    this.room?.form,
    this.room?.draft.view,
    this.room?.polls,
    this.room?.sounding,
  ])

  /** Whether this decision was locked when the page was drawn last. */
  #drawn: { readonly key: string; readonly isLocked: boolean } | undefined
  #keepsFocus = false

  protected override willUpdate(_changed: PropertyValues): void {
    const view = this.view()
    const isLocked = view?.lock !== undefined
    const hasTurned = this.#drawn?.key === this.slotKey && this.#drawn.isLocked !== isLocked
    this.#keepsFocus = hasTurned && (this.querySelector('loft-lock')?.contains(document.activeElement) ?? false)
    this.#drawn = { key: this.slotKey, isLocked }
    const plan = this.room.plan.value
    if (view && plan) this.options.refresh(view, plan)
  }

  /** What is locked stands first, what may be locked last: whoever locks or unlocks goes along with it. */
  protected override updated(_changed: PropertyValues): void {
    if (!this.#keepsFocus) return
    const lock = this.querySelector<LoftElement>('loft-lock')
    void lock?.updateComplete.then(() => lock.querySelector<HTMLElement>('[tabindex="-1"]')?.focus())
  }

  /** The decision this page is about; one nobody opened yet counts as open. */
  private view(): SlotView | undefined {
    const known = this.room.slots.value.find((view) => view.key === this.slotKey)
    if (known) return known
    const slot = parseSlotKey(this.slotKey)
    return slot && { key: this.slotKey, slot, status: 'open', ...(slot.at ? { place: slot.at } : {}) }
  }

  protected override render(): TemplateResult {
    const view = this.view()
    const plan = this.room.plan.value
    if (!view) return html`<h1>${words.join.gone}</h1>`
    const all = this.options.all(view)
    const shown = this.options.shown(view)
    const lock = html`<loft-lock .view=${view} .shown=${shown}></loft-lock>`
    return html`<nav aria-label=${words.desk.back}>
        <p class="crumb"><a href=${boardPath(this.room.boardId)}>${this.room.board?.title}</a>${this.where(view)}</p>
      </nav>
      <div class="ask">
        <div>
          <h1>${words.question(view.slot.decision)}</h1>
          <p class="lead">${this.options.asked.value ? words.desk.lead(all.length, shown.length) : nothing}</p>
        </div>
        ${this.state(view)}
      </div>
      ${
        !plan || !this.options.asked.value
          ? html`<div class="busy" role="status"><progress aria-hidden="true"></progress>${words.working}</div>`
          : html`${view.lock ? lock : nothing} ${this.choice(view, all, shown)} ${this.inPlace(view, plan, shown)}
              <div class="three">
                ${repeat(
                  shown,
                  ({ option }) => option.id,
                  (numbered) =>
                    html`<loft-option
                      .view=${view}
                      .numbered=${numbered}
                      .desk=${this.options.excerpt(view, plan, numbered.option)}
                    ></loft-option>`,
                )}
              </div>
              ${this.absent()}
              <loft-comments .music=${this.talkedOver(view, plan, shown)}></loft-comments>
              <div class="leads">
                ${this.room.isLeader ? html`<loft-open-poll .view=${view} .shown=${shown}></loft-open-poll>` : nothing}
                ${this.closePlace(view)}
              </div>
              ${view.lock ? nothing : lock}`
      }`
  }

  private where(view: SlotView): TemplateResult | typeof nothing {
    const { place } = view
    const { board } = this.room
    const form = this.room.form.value
    if (!place || !board || !form) return nothing
    const pass = runningOrder(form.bars, board).find((candidate) => candidate.id === place.passId)
    const card = pass?.cards.find((candidate) => candidate.sectionId === place.sectionId) ?? pass?.cards[0]
    if (!pass || !card) return nothing
    return html` ·
    ${words.desk.where(
      words.board.pass(pass.kind, pass.turn, pass.turns),
      words.board.card(card.letter, card.turn, card.turns),
      (card.bars[place.fromBar ?? 0]?.barNumber ?? card.bars[0]?.barNumber) as number,
    )}`
  }

  private state(view: SlotView): TemplateResult {
    const poll = view.poll && this.room.polls.value.get(view.poll.pollId)
    return html`<div class="state ${view.status}">
      ${cordSign(view.status)}
      <p>
        <b>${words.statusTitle(view.status)}</b>${
          view.status === 'voting' && poll
            ? html`<br /><span class="soft"
                  >${words.desk.everybodyMay[poll.method]}<br />${
                    poll.closesAt ? html`${words.board.closes(poll.closesAt)}. ` : nothing
                  }${poll.tally ? words.board.votesSoFar(poll.tally.voters) : words.desk.tallyHidden}</span
                >`
            : nothing
        }
      </p>
    </div>`
  }

  private choice(view: SlotView, all: readonly NumberedOption[], shown: readonly NumberedOption[]): TemplateResult {
    const listed = all.filter(
      ({ option }, place) =>
        this.listsAll || place < LISTED_FIRST || shown.some((other) => other.option.id === option.id),
    )
    const isAlike = all.every(({ option }) => !option.effects?.addedBars)
    const hidden = all.length - listed.length
    const wish = this.options.wish.value
    return html`<section aria-labelledby="all-h">
      <h2 class="vh" id="all-h">${words.desk.all}</h2>
      <loft-wish
        .kind=${view.slot.decision}
        .wish=${wish}
        @wish=${(event: CustomEvent<Wish>) => this.options.ask(event.detail)}
      ></loft-wish>
      <ol class="all ${this.listsAll ? 'open' : ''}">
        ${listed.map(
          ({ number, option }) =>
            html`<li>
              <label
                ><input
                  type="checkbox"
                  .checked=${shown.some((other) => other.option.id === option.id)}
                  @change=${(event: Event) =>
                    this.options.show(view, option.id, (event.target as HTMLInputElement).checked)}
                /><span class="big">${number}</span
                ><span
                  ><b>${musicText(option.title)}</b
                  >${isAlike ? nothing : html`<span class="soft">${words.desk.longer(option.effects?.addedBars ?? 0)}</span>`}</span
                ></label
              >
            </li>`,
        )}
      </ol>
      <p aria-live="polite">
        ${
          this.listsAll || all.length <= shown.length
            ? nothing
            : html`<button class="btn bare ${hidden > 0 ? '' : 'when-folded'}" @click=${() => (this.listsAll = true)}>
                ${words.desk.listAll(all.length)}
              </button>`
        }${hidden > 0 ? nothing : this.more(wish)}
      </p>
    </section>`
  }

  /** Further variants of every recipe that has them; where the last asking brought none, that is said instead. */
  private more(wish: Wish): TemplateResult {
    if (this.options.isExhausted) return html`<span class="soft">${words.wish.noMore}</span>`
    return html`<button class="btn bare" @click=${() => this.options.ask({ ...wish, more: (wish.more ?? 0) + 1 })}>
      ${words.wish.more}
    </button>`
  }

  private inPlace(view: SlotView, plan: Plan, shown: readonly NumberedOption[]): TemplateResult {
    return html`<div class="inplace" role="group" aria-label=${words.desk.hearInPlace}>
      <p><b>${words.desk.hearInPlace}</b> <span class="soft">${words.desk.hearNote}</span></p>
      <span class="pair"
        >${shown.map(({ number, option }) => {
          const desk = this.options.excerpt(view, plan, option)
          return html`<button
            class="btn"
            aria-pressed=${view.tryingId === option.id ? 'true' : 'false'}
            aria-disabled=${desk ? 'false' : 'true'}
            @click=${() =>
              desk &&
              this.room.hear(view.slot, option, { fromTick: desk.excerpt.fromTick, toTick: desk.excerpt.toTick })}
          >
            <span class="vh">${words.desk.hearOption(number)}</span
            ><span class="big" aria-hidden="true">${number}</span>
          </button>`
        })}</span
      >
      ${
        view.tryingId === undefined
          ? nothing
          : html`<button class="btn bare" @click=${() => this.room.draft.stopTrying(view.slot)}>
              ${words.desk.stopTrying}
            </button>`
      }
    </div>`
  }

  private absent(isOpen = false): TemplateResult | typeof nothing {
    const absent = this.options.asked.value?.absent ?? []
    if (absent.length === 0) return nothing
    return html`<details class="absent" ?open=${isOpen}>
      <summary>${words.desk.absent}</summary>
      <ul>
        ${absent.map(({ recipe, why }) => html`<li><b>${musicText(recipe.replaceAll('-', ' '))}</b>: ${musicText(why)}</li>`)}
      </ul>
    </details>`
  }

  /** A place the leader opened may be closed again while nothing is locked there. */
  private closePlace(view: SlotView): TemplateResult | typeof nothing {
    const isOpened = this.room.board?.places.some((slot) => slotKey(slot) === view.key)
    if (!this.room.isLeader || !isOpened || view.lock) return nothing
    const close = async () => {
      this.room.draft.stopTrying(view.slot)
      await this.room.command('closePlace', { slot: view.slot })
    }
    return html`<p><button class="btn bare" @click=${() => void close()}>${words.desk.closePlace}</button></p>`
  }

  /** The bars each option on the desk shows: where a comment may be pinned. */
  private talkedOver(view: SlotView, plan: Plan, shown: readonly NumberedOption[]): readonly TalkedOver[] {
    return shown.flatMap(({ number, option }) => {
      const excerpt = this.options.excerpt(view, plan, option)?.excerpt
      if (!excerpt) return []
      return [{ places: excerpt.places, shown: excerpt.bars.map(({ bar }) => bar.barIndex), option: number }]
    })
  }
}
