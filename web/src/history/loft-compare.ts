/** Two states side by side: how many bars changed, what is said once, then the bars themselves, drawn as they were and as they are. */
import { consume } from '@lit/context'
import { html, nothing, type PropertyValues, type TemplateResult } from 'lit'
import { customElement, property, state } from 'lit/decorators.js'
import type { ArrangedBar, Comparison, Plan } from '@chartloft/shared-theory'
import { barList, type ShownBar } from '../look/bars.js'
import { LoftElement } from '../look/element.js'
import { sayMetre } from '../look/say.js'
import { playSign, stopSign } from '../look/signs.js'
import { Observe } from '../state/observe.js'
import { type Room, roomContext } from '../state/room.js'
import { historyPath } from '../shell/route.js'
import { words } from '../words.js'
import { compareWords } from '../words-compare.js'
import { type Moment, momentOf } from './moments.js'
import { pastOf } from './past.js'
import { sayBars, sayWhole, type Sides, type ToldBars } from './say-changes.js'

/** Bars heard before and after the ones that differ: what a change does is heard on the way into it. */
const BARS_AROUND = 2
/** Places listed before somebody asks for all of them. */
const LISTED_FIRST = 6

@customElement('loft-compare')
export class LoftCompare extends LoftElement {
  @consume({ context: roomContext }) private room!: Room
  @property() first: Moment = ''
  @property() second: Moment = ''
  @state() private found:
    | { readonly comparison: Comparison; readonly sides: Sides; readonly plans: readonly [old: Plan, now: Plan] }
    | undefined
  @state() private trouble = ''
  @state() private listsAll = false
  private asked = ''
  protected readonly observe = new Observe(this, () => [
    this.room?.ledger.entries,
    this.room?.ledger.state,
    this.room?.plan,
    ...(this.room ? [pastOf(this.room).now] : []),
  ])

  override disconnectedCallback(): void {
    super.disconnectedCallback()
    pastOf(this.room).stop()
  }

  protected override willUpdate(_changed: PropertyValues): void {
    const isWhole = this.room.ledger.entries.value.length > 0
    const old = isWhole ? momentOf(this.room, this.first) : undefined
    const now = isWhole ? momentOf(this.room, this.second) : undefined
    // A comparison with the music as it is follows what the band does in the meantime.
    const key = JSON.stringify([
      this.first,
      this.second,
      isWhole,
      old?.state.seq,
      now?.state.seq,
      this.room.plan.value?.chosen,
    ])
    if (key === this.asked) return
    this.asked = key
    this.found = undefined
    this.trouble = ''
    if (!isWhole) return
    if (this.first === this.second) this.trouble = compareWords.same
    else if (!old || !now) this.trouble = compareWords.unknown
    else if (!old.plan || !now.plan) this.trouble = compareWords.noTune
    else void this.ask(key, old.plan, now.plan, { before: old.state, after: now.state })
  }

  private async ask(key: string, before: Plan, after: Plan, sides: Sides): Promise<void> {
    try {
      const comparison = await this.room.theory.ask('compare', before, after)
      if (this.asked === key) this.found = { comparison, sides, plans: [before, after] }
    } catch (error) {
      if (this.asked === key) this.room.say(error)
    }
  }

  protected override render(): TemplateResult {
    if (this.trouble) return html`<p class="lead" role="status">${this.trouble}</p>`
    if (!this.found)
      return html`<div class="busy" role="status"><progress aria-hidden="true"></progress>${words.working}</div>`
    const { comparison, sides, plans } = this.found
    const whole = sayWhole(comparison, sides)
    const told = sayBars(comparison, sides)
    const isSame = whole.length === 0 && told.length === 0
    return html`<p class="lead" role="status">
        ${isSame ? compareWords.nothing : compareWords.count(comparison.counts)}
      </p>
      <p class="acts">
        <a href=${historyPath(this.room.boardId, `${this.second}-${this.first}`)}>${compareWords.swap}</a>
      </p>
      ${
        whole.length === 0
          ? nothing
          : html`<section aria-labelledby="whole-h">
              <h2 id="whole-h">${compareWords.whole}</h2>
              <dl class="ledgerfacts">
                ${whole.map(
                  ({ topic, text }) =>
                    html`<div>
                      <dt>${topic}</dt>
                      <dd>${text}</dd>
                    </div>`,
                )}
              </dl>
              ${told.length === 0 ? html`<p class="note">${compareWords.beside}</p>` : nothing}
            </section>`
      }
      ${told.length === 0 ? nothing : this.bars(told, comparison, plans)}`
  }

  private bars(
    told: readonly ToldBars[],
    comparison: Comparison,
    [old, now]: readonly [old: Plan, now: Plan],
  ): TemplateResult {
    const listed = this.listsAll ? told : told.slice(0, LISTED_FIRST)
    const range = rangeOf([...comparison.before, ...comparison.after])
    return html`<section aria-labelledby="bars-h">
      <h2 id="bars-h">${compareWords.bars}</h2>
      <p class="note">${compareWords.hear.note}</p>
      <ol class="changes">
        ${listed.map(
          (line) =>
            html`<li>
              <h3>${line.place}</h3>
              ${line.texts.map((text) => html`<p>${text}</p>`)}
              <div class="sides">
                ${this.side(compareWords.before, line.place, line.before, comparison.before, old, range)}
                ${this.side(compareWords.after, line.place, line.after, comparison.after, now, range)}
              </div>
            </li>`,
        )}
      </ol>
      ${
        told.length > listed.length
          ? html`<p>
              <button class="btn" @click=${() => void this.listAll()}>${compareWords.showAll(told.length)}</button>
            </p>`
          : nothing
      }
    </section>`
  }

  /** Opens the rest of the list; the focus goes to its first place, the button is gone. */
  private async listAll(): Promise<void> {
    this.listsAll = true
    await this.updateComplete
    const next = this.querySelectorAll<HTMLElement>('.changes > li > h3')[LISTED_FIRST]
    if (next) {
      next.tabIndex = -1
      next.focus()
    }
  }

  private side(
    title: string,
    place: string,
    indices: readonly number[],
    bars: readonly ArrangedBar[],
    plan: Plan,
    range: readonly [number, number] | undefined,
  ): TemplateResult | typeof nothing {
    const shown = indices.flatMap((index): ShownBar[] => {
      const bar = bars[index]
      return bar ? [{ bar }] : []
    })
    const [first, ...rest] = shown
    if (!first) return nothing
    const { metre } = bars[indices[0] as number] as ArrangedBar
    return html`<div>
      <p class="soft" aria-hidden="true">${title}</p>
      ${this.hear(title, place, indices, plan)}
      ${barList([{ ...first, metre: sayMetre(metre) }, ...rest], { label: `${title}: ${place}`, range })}
    </div>`
  }

  private hear(title: string, place: string, indices: readonly number[], plan: Plan): TemplateResult {
    const past = pastOf(this.room)
    const key = `${title} ${place}`
    const isOn = past.now.value?.key === key
    const [from, to] = [Math.min(...indices) - BARS_AROUND, Math.max(...indices) + BARS_AROUND]
    return html`<button
      class="btn bare"
      aria-pressed=${isOn ? 'true' : 'false'}
      aria-label=${compareWords.hear.side(place, title)}
      @click=${() => (isOn ? past.stop() : void past.hear(key, plan, from, to))}
    >
      ${isOn ? stopSign : playSign} <span>${isOn ? compareWords.hear.stop : compareWords.hear.sideShort}</span>
    </button>`
  }
}

/** Lowest and highest melody note of both sides, so that outlines compare. */
function rangeOf(bars: readonly ArrangedBar[]): readonly [number, number] | undefined {
  const pitches = bars.flatMap(({ melody }) => melody.map(({ midi }) => midi))
  if (pitches.length === 0) return undefined
  return [pitches.reduce((a, b) => Math.min(a, b)), pitches.reduce((a, b) => Math.max(a, b))]
}
