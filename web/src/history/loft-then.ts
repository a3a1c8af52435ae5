/** What stood after an entry: choices, key, line-up, running order, the bars; the leader may bring it back. */
import { consume } from '@lit/context'
import { html, nothing, type PropertyValues, type TemplateResult } from 'lit'
import { customElement, property, state } from 'lit/decorators.js'
import type { BoardState, LedgerEntry } from '@chartloft/shared-theory'
import { DECISION_KINDS } from '@chartloft/shared-theory/board'
import { passFacts, passName } from '../details/say-pass.js'
import { barList } from '../look/bars.js'
import { withSigns } from '../look/chord-symbol.js'
import { LoftElement } from '../look/element.js'
import { musicWords } from '../look/music-text.js'
import { playSign, stopSign } from '../look/signs.js'
import { Observe } from '../state/observe.js'
import { type Room, roomContext } from '../state/room.js'
import { barMs, runningOrder } from '../state/running-order.js'
import type { Form } from '../state/theory-protocol.js'
import { historyPath } from '../shell/route.js'
import { words } from '../words.js'
import { compareWords } from '../words-compare.js'
import { momentOf } from './moments.js'
import { pastOf } from './past.js'
import { placesIn } from './places.js'
import { lettersOf } from './say-changes.js'

interface Line {
  readonly term: string
  readonly text: string
  readonly why?: string
}

@customElement('loft-then')
export class LoftThen extends LoftElement {
  @consume({ context: roomContext }) private room!: Room
  @property({ type: Number }) seq = 0
  @state() private form: Form | undefined
  private fromBar = 0
  private asked = 0
  private moment: ReturnType<typeof momentOf>
  protected readonly observe = new Observe(this, () =>
    this.room ? [this.room.ledger.entries, pastOf(this.room).now] : [],
  )

  override disconnectedCallback(): void {
    super.disconnectedCallback()
    pastOf(this.room).stop()
  }

  protected override willUpdate(_changed: PropertyValues): void {
    if (this.asked === this.seq && this.moment) return
    this.moment = momentOf(this.room, String(this.seq))
    this.form = undefined
    this.fromBar = 0
    if (this.asked !== 0) pastOf(this.room).stop()
    const plan = this.moment?.plan
    this.asked = this.seq
    if (!plan) return
    const { seq } = this
    this.room.theory
      .ask('form', plan)
      .then((form) => {
        if (seq === this.seq) this.form = form
      })
      .catch((error: unknown) => this.room.say(error))
  }

  protected override render(): TemplateResult {
    const entries = this.room.ledger.entries.value
    const entry = entries.find(({ seq }) => seq === this.seq)
    const { moment } = this
    if (!entry || !moment)
      return html`<p class="soft" role="status">${entries.length === 0 ? words.loading : compareWords.unknown}</p>`
    const { board } = this.room
    const names = (board?.versions ?? []).filter(({ seq }) => seq === this.seq)
    const isNewest = entry === entries.at(-1)
    return html`<div>
        <h1>${compareWords.stood.title(this.seq)}</h1>
        <p class="lead">
          ${withSigns(words.history.row(entry))}${names.map(({ name }) => html` · ${compareWords.stood.called(name)}`)}
        </p>
        <p class="soft">${entry.by.name || words.join.nobody}, ${words.history.when(entry.at)}</p>
      </div>
      ${this.acts(entry, isNewest, entries.length)}
      ${moment.state.tune ? this.facts(moment.state) : html`<p>${compareWords.stood.noTune}</p>`}`
  }

  private acts(entry: LedgerEntry, isNewest: boolean, count: number): TemplateResult {
    const { boardId } = this.room
    const link = (at: string, text: string) => html`<a class="btn" href=${historyPath(boardId, at)}>${text}</a>`
    return html`<p class="acts">
        ${isNewest ? html`<span class="soft">${compareWords.stood.isNow}</span>` : link(`${entry.seq}-now`, compareWords.stood.compareNow)}
        ${entry.seq > 1 ? link(`${entry.seq - 1}-${entry.seq}`, compareWords.stood.comparePrevious) : nothing}
        ${
          this.room.isLeader && !isNewest
            ? html`<button class="btn" @click=${() => void this.restore(entry.seq)}>${words.history.restore}</button>`
            : nothing
        }
      </p>
      ${this.room.isLeader && !isNewest ? html`<p class="note">${words.history.restoreNote}</p>` : nothing}
      <nav class="acts" aria-label=${words.history.entriesTitle}>
        ${entry.seq > 1 ? html`<a href=${historyPath(boardId, String(entry.seq - 1))}>${compareWords.stood.previous}</a>` : nothing}
        ${entry.seq < count ? html`<a href=${historyPath(boardId, String(entry.seq + 1))}>${compareWords.stood.next}</a>` : nothing}
      </nav>`
  }

  private async restore(toSeq: number): Promise<void> {
    if (await this.room.command('restoreVersion', { toSeq })) this.room.news.set(words.history.restored)
  }

  private facts(state: BoardState): TemplateResult {
    const { form } = this
    const places = placesIn(form?.bars ?? [], state)
    const first = form?.bars.find(({ pass }) => pass !== 'opening')
    const key = state.key ?? state.tune?.key.key ?? ''
    const lines = DECISION_KINDS.flatMap((kind): readonly Line[] => {
      const locks = state.locks.filter(({ slot }) => slot.decision === kind)
      if (locks.length === 0) return [{ term: words.decision(kind), text: compareWords.stood.undecided }]
      return locks.map(({ slot, option, why }) => ({
        term: `${words.decision(kind)}${compareWords.stood.place(places.ofRef(slot.at ?? option.at))}`,
        text: musicWords(option.title),
        ...(why === undefined ? {} : { why }),
      }))
    })
    return html`<section aria-labelledby="then-h">
        <h2 id="then-h">${compareWords.stood.choices}</h2>
        <dl class="ledgerfacts">
          ${lines.map(
            ({ term, text, why }) =>
              html`<div>
                <dt>${term}</dt>
                <dd>${text}${why ? html` <span class="soft">${compareWords.stood.why(why)}</span>` : nothing}</dd>
              </div>`,
          )}
        </dl>
      </section>
      <section aria-labelledby="band-h">
        <h2 id="band-h">${words.pages.band}</h2>
        <dl class="ledgerfacts">
          <div>
            <dt>${compareWords.stood.key}</dt>
            <dd>${compareWords.stood.keyAs(withSigns(key), key === state.tune?.key.key)}</dd>
          </div>
          <div>
            <dt>${compareWords.stood.lineup}</dt>
            <dd>${state.lineup.map(({ name }) => name).join(', ')}</dd>
          </div>
          ${
            form && first
              ? html`<div>
                  <dt>${compareWords.stood.length}</dt>
                  <dd>
                    ${compareWords.stood.lengthOf(form.bars.length, form.bars.reduce((sum, bar) => sum + barMs(bar), 0) / 1000)}
                  </dd>
                </div>`
              : nothing
          }
        </dl>
      </section>
      <section aria-labelledby="order-h">
        <h2 id="order-h">${compareWords.stood.order}</h2>
        <ol class="list">
          ${state.roadmap.map(
            (pass) =>
              html`<li>
                <p>
                  <b>${passName(state.roadmap, pass)}</b>
                  <span class="soft">${[lettersOf(state, pass), ...passFacts(pass, state.lineup)].join(', ')}</span>
                </p>
              </li>`,
          )}
        </ol>
      </section>
      ${form ? this.hear(form, state) : nothing}
      ${form ? this.bars(form, state) : html`<p class="busy" role="status">${words.working}</p>`}`
  }

  /** The piece as it stood, from any card of it, in private. */
  private hear(form: Form, state: BoardState): TemplateResult | typeof nothing {
    const plan = this.moment?.plan
    if (!plan || form.bars.length === 0) return nothing
    const past = pastOf(this.room)
    const key = `then ${this.seq}`
    const now = past.now.value?.key === key ? past.now.value : undefined
    const cards = runningOrder(form.bars, state).flatMap((pass) =>
      pass.cards.map((card) => {
        const passed = words.board.pass(pass.kind, pass.turn, pass.turns)
        const isFrame = pass.kind === 'opening' || pass.kind === 'ending'
        const letter = words.board.card(card.letter, card.turn, card.turns)
        return { from: card.bars[0]?.bar.barIndex ?? 0, text: isFrame ? passed : `${passed}, ${letter}` }
      }),
    )
    return html`<section aria-labelledby="hear-h">
      <h2 id="hear-h">${compareWords.hear.title}</h2>
      <div class="fieldrow">
        <label
          ><span>${compareWords.hear.from}</span
          ><select
            @change=${(event: Event) => {
              this.fromBar = Number((event.target as HTMLSelectElement).value)
              if (now) void past.hear(key, plan, this.fromBar)
            }}
          >
            ${cards.map(({ from, text }) => html`<option value=${from}>${text}</option>`)}
          </select></label
        >
        <button
          class="btn"
          aria-pressed=${now ? 'true' : 'false'}
          @click=${() => (now ? past.stop() : void past.hear(key, plan, this.fromBar))}
        >
          ${now ? stopSign : playSign} <span>${now ? compareWords.hear.stop : compareWords.hear.play}</span>
        </button>
        ${
          now
            ? html`<span class="soft"
                >${now.leftMs === undefined ? compareWords.hear.working : compareWords.hear.left(now.leftMs / 1000)}</span
              >`
            : nothing
        }
      </div>
      <p class="note">${compareWords.hear.note}</p>
    </section>`
  }

  private bars(form: Form, state: BoardState): TemplateResult {
    return html`<details class="bars-then">
      <summary>${compareWords.stood.showBars}</summary>
      ${runningOrder(form.bars, state).map((pass) => {
        const name = words.board.pass(pass.kind, pass.turn, pass.turns)
        return html`<section>
          <h3>${name}</h3>
          ${pass.cards.map((card) => {
            const letter = words.board.card(card.letter, card.turn, card.turns)
            const isFrame = pass.kind === 'opening' || pass.kind === 'ending'
            return html`${isFrame ? nothing : html`<h4>${letter}</h4>`}${barList(card.bars, {
              label: words.board.chordsOf(letter, name),
              range: form.range,
            })}`
          })}
        </section>`
      })}
    </details>`
  }
}
