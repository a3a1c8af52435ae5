/** What a reader of the desk asks for beyond the best options: nearer or farther, how long, how fast, which key. */
import { html, type TemplateResult } from 'lit'
import { customElement, property } from 'lit/decorators.js'
import type { DecisionKind, Wish } from '@chartloft/shared-theory'
import { LoftElement } from '../../look/element.js'
import { words } from '../../words.js'

type Field = 'distance' | 'bars' | 'rate' | 'semitones'

/** What may be asked of each decision, and the answers to choose from. */
const FIELDS: { readonly [kind in DecisionKind]: readonly Field[] } = {
  groove: ['distance'],
  opening: ['distance', 'bars'],
  harmony: ['distance', 'rate'],
  lift: ['semitones'],
  ending: ['distance', 'bars'],
}
const ANSWERS: { readonly [F in Field]: readonly NonNullable<Wish[F]>[] } = {
  distance: ['a little', 'a lot'],
  bars: [2, 4, 8, 16],
  rate: [1, 2, 4],
  semitones: [1, 2, 3, 4, 5, 6, -1, -2, -3, -4, -5, -6],
}

/** Fires `wish` with the new `Wish` as its detail. */
@customElement('loft-wish')
export class LoftWish extends LoftElement {
  @property({ attribute: false }) kind!: DecisionKind
  @property({ attribute: false }) wish: Wish = {}

  protected override render(): TemplateResult {
    return html`<div class="wishes" role="group" aria-label=${words.wish.heading}>
      ${FIELDS[this.kind].map((field) => this.select(field))}
    </div>`
  }

  private select(field: Field): TemplateResult {
    const now = this.wish[field]
    return html`<label
      ><span>${words.wish.fields[field]}</span
      ><select @change=${(event: Event) => this.choose(field, (event.target as HTMLSelectElement).selectedIndex - 1)}>
        <option .selected=${now === undefined}>${words.wish.any[field]}</option>
        ${ANSWERS[field].map((answer) => html`<option .selected=${answer === now}>${words.wish.answer(field, answer)}</option>`)}
      </select></label
    >`
  }

  private choose(field: Field, index: number): void {
    const { [field]: _was, ...rest } = this.wish
    const answer = ANSWERS[field][index]
    const wish: Wish = answer === undefined ? rest : { ...rest, [field]: answer }
    this.dispatchEvent(new CustomEvent<Wish>('wish', { detail: wish }))
  }
}
