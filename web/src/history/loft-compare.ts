/** Two states side by side: how many bars changed, what is said once, then the bars themselves, drawn as they were and as they are. */
import { consume } from '@lit/context'
import { html, nothing, type PropertyValues, type TemplateResult } from 'lit'
import { customElement, property, state } from 'lit/decorators.js'
import type { ArrangedBar, Comparison, Plan } from '@chartloft/shared-theory'
import { barList, type ShownBar } from '../look/bars.js'
import { LoftElement } from '../look/element.js'
import { sayMetre } from '../look/say.js'
import { Observe } from '../state/observe.js'
import { type Room, roomContext } from '../state/room.js'
import { historyPath } from '../shell/route.js'
import { words } from '../words.js'
import { compareWords } from '../words-compare.js'
import { type Moment, momentOf } from './moments.js'
import { sayBars, sayWhole, type Sides, type ToldBars } from './say-changes.js'

/** Places listed before somebody asks for all of them. */
const LISTED_FIRST = 6

@customElement('loft-compare')
export class LoftCompare extends LoftElement {
  @consume({ context: roomContext }) private room!: Room
  @property() first: Moment = ''
  @property() second: Moment = ''
  @state() private found: { readonly comparison: Comparison; readonly sides: Sides } | undefined
  @state() private trouble = ''
  @state() private listsAll = false
  private asked = ''
  protected readonly observe = new Observe(this, () => [
    this.room?.ledger.entries,
    this.room?.ledger.state,
    this.room?.plan,
  ])

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
      if (this.asked === key) this.found = { comparison, sides }
    } catch (error) {
      if (this.asked === key) this.room.say(error)
    }
  }

  protected override render(): TemplateResult {
    if (this.trouble) return html`<p class="lead" role="status">${this.trouble}</p>`
    if (!this.found)
      return html`<div class="busy" role="status"><progress aria-hidden="true"></progress>${words.working}</div>`
    const { comparison, sides } = this.found
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
      ${told.length === 0 ? nothing : this.bars(told, comparison)}`
  }

  private bars(told: readonly ToldBars[], comparison: Comparison): TemplateResult {
    const listed = this.listsAll ? told : told.slice(0, LISTED_FIRST)
    const range = rangeOf([...comparison.before, ...comparison.after])
    return html`<section aria-labelledby="bars-h">
      <h2 id="bars-h">${compareWords.bars}</h2>
      <ol class="changes">
        ${listed.map(
          (line) =>
            html`<li>
              <h3>${line.place}</h3>
              ${line.texts.map((text) => html`<p>${text}</p>`)}
              <div class="sides">
                ${this.side(compareWords.before, line.place, line.before, comparison.before, range)}
                ${this.side(compareWords.after, line.place, line.after, comparison.after, range)}
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
      ${barList([{ ...first, metre: sayMetre(metre) }, ...rest], { label: `${title}: ${place}`, range })}
    </div>`
  }
}

/** Lowest and highest melody note of both sides, so that outlines compare. */
function rangeOf(bars: readonly ArrangedBar[]): readonly [number, number] | undefined {
  const pitches = bars.flatMap(({ melody }) => melody.map(({ midi }) => midi))
  if (pitches.length === 0) return undefined
  return [pitches.reduce((a, b) => Math.min(a, b)), pitches.reduce((a, b) => Math.max(a, b))]
}
