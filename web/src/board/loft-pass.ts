/** One pass of the running order: its margin facts and its section cards, four bars to a line. */
import { consume } from '@lit/context'
import { html, nothing, type PropertyValues, type TemplateResult } from 'lit'
import { customElement, property, state } from 'lit/decorators.js'
import type { DecisionKind, SectionRef } from '@chartloft/shared-theory'
import { barList } from '../look/bars.js'
import { LoftElement } from '../look/element.js'
import { sayFeel, sayKeyShort, sayMetre, sayTime } from '../look/say.js'
import { Observe } from '../state/observe.js'
import { type Room, roomContext } from '../state/room.js'
import type { PassView, SectionCard } from '../state/running-order.js'
import type { SlotView } from '../state/slots.js'
import { words } from '../words.js'
import { decisionCord } from './decision-cord.js'
import { pinsAt, placesOf } from './pins.js'

@customElement('loft-pass')
export class LoftPass extends LoftElement {
  @consume({ context: roomContext }) private room!: Room
  @property({ attribute: false }) pass!: PassView
  @property({ attribute: false }) slots: readonly SlotView[] = []
  @property({ type: Boolean }) last = false
  @state() private isUnfolded = false
  private seen: readonly unknown[] = []
  protected readonly observe = new Observe(this, () => [
    this.room?.sounding,
    this.room?.people,
    this.room?.polls,
    this.room?.draft.view,
  ])

  /** Beats, people and votes change all the time; a pass is drawn anew only when something in it does. */
  protected override shouldUpdate(changed: PropertyValues): boolean {
    const { room, pass } = this
    const at = room.sounding.value?.barIndex ?? -1
    const seen = [
      at >= pass.firstBar && at < pass.firstBar + pass.bars ? at : -1,
      room.people.value,
      room.polls.value,
      room.draft.view.value,
      room.form.value,
    ]
    const isNew = changed.size > 0 || seen.some((value, index) => value !== this.seen[index])
    this.seen = seen
    return isNew
  }

  protected override render(): TemplateResult {
    const { pass } = this
    const name = words.board.pass(pass.kind, pass.turn, pass.turns)
    return html`<section class="pass" aria-labelledby="pass-${pass.id}">
      <div class="margin">
        <h2 id="pass-${pass.id}">${name}</h2>
        <dl>
          <div>
            <dt class="vh">${words.board.bars(pass.bars)}</dt>
            <dd class="num">
              ${words.board.barsFrom(pass.firstBar + 1, pass.firstBar + pass.bars, sayTime(pass.startMs))}
            </dd>
          </div>
          ${this.whoPlays()}
        </dl>
        ${this.mover(name)}
      </div>
      <ol class="row">
        ${pass.kind === 'solo' ? this.solos(name) : pass.cards.map((card, index) => this.card(card, name, index))}
      </ol>
    </section>`
  }

  /** Who has the tune where it is not the one who usually leads. */
  private whoPlays(): TemplateResult | typeof nothing {
    const part = this.room.board?.lineup.find((spec) => spec.id === this.pass.plan?.melody)
    if (!part || part.role === 'lead') return nothing
    return html`<div>
      <dt>${words.board.tuneWith}</dt>
      <dd>${part.name}</dd>
    </div>`
  }

  private mover(name: string): TemplateResult | typeof nothing {
    const index = this.room.board?.roadmap.findIndex((pass) => pass.id === this.pass.id) ?? -1
    const count = this.room.board?.roadmap.length ?? 0
    if (!this.room.isLeader || index < 0 || count < 2) return nothing
    const button = (step: -1 | 1, text: string) => {
      const isPossible = index + step >= 0 && index + step < count
      return html`<button
        class="btn bare"
        aria-disabled=${isPossible ? 'false' : 'true'}
        @click=${() => isPossible && this.move(index, step, name)}
      >
        <span class="vh">${words.board.movePass(name)}</span>${text}
      </button>`
    }
    return html`<p class="move" role="group" aria-label=${words.board.movePass(name)}>
      <span aria-hidden="true">${words.board.move}</span>${button(-1, words.board.moveEarlier)}${button(
        1,
        words.board.moveLater,
      )}
    </p>`
  }

  private async move(index: number, step: number, name: string): Promise<void> {
    const roadmap = [...(this.room.board?.roadmap ?? [])]
    const [pass] = roadmap.splice(index, 1)
    if (!pass) return
    roadmap.splice(index + step, 0, pass)
    if (await this.room.command('setRoadmap', { roadmap })) {
      this.room.news.set(words.board.moved(name, index + step + 1))
    }
  }

  private solos(name: string): TemplateResult {
    const { pass } = this
    const { plan } = pass
    const bars = pass.cards.flatMap((card) => card.bars)
    const part = (id: string | undefined) => this.room.board?.lineup.find((spec) => spec.id === id)?.name
    const soloist = part(plan?.soloist)
    const turns = [
      ...(soloist ? [words.board.solo(soloist)] : []),
      ...(plan?.trading ? [words.board.trading(plan.trading)] : []),
      ...(plan?.open ? [words.board.onCue] : []),
    ]
    const once = bars.length
    return html`<li class="card wide fold">
      <article aria-label=${name}>
        <header>
          <span class="letters">${pass.cards.map((card) => html`<span class="letter">${card.letter}</span>`)}</span>
          <p class="facts">
            <span class="num"
              >${words.board.bars(once)}${words.board.times(pass.times)} · ${sayTime(pass.lengthMs)}</span
            >
            ${turns.map((turn) => html` · ${turn}`)}
          </p>
          <button
            class="btn bare"
            aria-expanded=${this.isUnfolded ? 'true' : 'false'}
            @click=${() => (this.isUnfolded = !this.isUnfolded)}
          >
            ${this.isUnfolded ? words.board.hideBars : words.board.showBars}
          </button>
        </header>
        ${this.cordsFor(pass.cards.map((card) => card.sectionId))}
        ${
          this.isUnfolded
            ? html`<div class="unfolded">
                ${barList(this.shown(bars), {
                  label: words.board.chordsOf(name, name),
                  range: this.room.form.value?.range,
                  onListen: (barIndex) => this.room.listenFrom(barIndex),
                })}
              </div>`
            : html`<span></span>`
        }
      </article>
    </li>`
  }

  private card(card: SectionCard, pass: string, index: number): TemplateResult {
    const isWord = card.letter.length > 2 || this.pass.kind === 'opening' || this.pass.kind === 'ending'
    const letter = this.pass.kind === 'opening' || this.pass.kind === 'ending' ? pass : card.letter
    const label = words.board.card(letter, card.turn, card.turns)
    const here = this.room.people.value.filter((person) => !person.isMe && person.cardKey === card.key)
    const isShort = card.bars.length <= 2
    return html`<li class="card ${isShort ? 'short' : ''}">
      <article
        aria-label="${label}, ${pass}"
        @focusin=${() => this.room.tell({ cardKey: card.key })}
        @pointerdown=${() => this.room.tell({ cardKey: card.key })}
      >
        <header>
          <h3 class="letter ${isWord ? 'word' : ''}">${letter}</h3>
          <p class="facts">
            <span class="num">${words.board.bars(card.bars.length)} · ${sayTime(card.lengthMs)}</span> ·
            ${
              card.keyBefore
                ? html`<strong>${words.board.keyFrom(sayKeyShort(card.startKey), sayKeyShort(card.keyBefore))}</strong>`
                : sayKeyShort(card.startKey)
            }
            · ${sayFeel(card.feel)} · <span class="num">${sayMetre(card.metre)}</span>${
              card.bars.some(({ isPencilled }) => isPencilled) ? html` · ${words.board.pencilled}` : nothing
            }
          </p>
          ${here.map((person) => html`<p class="who">${words.board.isHere(person.name || words.join.nobody)}</p>`)}
          ${here.length === 0 ? this.askHere(card) : nothing}
        </header>
        ${this.cordsFor([card.sectionId])}
        ${barList(this.shown(card.bars, index === this.pass.cards.length - 1), {
          label: words.board.chordsOf(label, pass),
          range: this.room.form.value?.range,
          onListen: (barIndex) => this.room.listenFrom(barIndex),
        })}
      </article>
    </li>`
  }

  /** The leader may ask for new chords or a lift at any section. */
  private askHere(card: SectionCard): TemplateResult | typeof nothing {
    const { kind } = this.pass
    if (!this.room.isLeader || kind === 'opening' || kind === 'ending') return nothing
    const at: SectionRef = { passId: card.passId, sectionId: card.sectionId }
    const ask = (decision: DecisionKind, text: string) =>
      this.slots.some(
        (view) =>
          view.slot.decision === decision && view.place?.passId === at.passId && view.place.sectionId === at.sectionId,
      )
        ? nothing
        : html`<button class="btn bare" @click=${() => void this.room.command('openPlace', { slot: { decision, at } })}>
            ${text}
          </button>`
    return html`<p class="ask-here">${ask('harmony', words.board.openPlace)}</p>`
  }

  private cordsFor(sections: readonly string[]): TemplateResult {
    const views = this.slots.filter((view) => {
      const { decision } = view.slot
      if (decision === 'opening') return this.pass.kind === 'opening'
      if (decision === 'ending') return this.pass.kind === 'ending'
      if (decision === 'groove' || view.place?.passId !== this.pass.id) return false
      const at = view.place.sectionId ?? this.pass.cards[0]?.sectionId
      return at !== undefined && sections.includes(at)
    })
    return html`<div class="cords">${views.map((view) => decisionCord(this.room, view))}</div>`
  }

  private shown(bars: SectionCard['bars'], closesPass = false) {
    const now = this.room.sounding.value
    const form = this.room.form.value
    const allPins = form && pinsAt(placesOf(form.bars), this.room.draft.view.value.comments)
    return bars.map(({ bar, isChanged, isAdded, isPencilled }, index) => {
      const isLastOfCard = index === bars.length - 1
      const pins = allPins?.get(bar.barIndex)
      return {
        bar,
        isChanged,
        isAdded,
        isPencilled,
        isNow: now?.barIndex === bar.barIndex,
        ...(isLastOfCard ? { closes: this.last && closesPass ? ('piece' as const) : ('section' as const) } : {}),
        ...(pins ? { pins } : {}),
      }
    })
  }
}
