/** The contour strip: the whole piece to scale of time, its keys, its undecided places, and where to listen from. */
import { consume } from '@lit/context'
import { html, nothing, svg, type TemplateResult } from 'lit'
import { customElement, property } from 'lit/decorators.js'
import { LoftElement } from '../look/element.js'
import { sayKey, sayKeyShort, sayTime } from '../look/say.js'
import { cordSign } from '../look/signs.js'
import { vars } from '../look/vars.js'
import { Observe } from '../state/observe.js'
import { type Room, roomContext } from '../state/room.js'
import { barMs, type PassView, type SectionCard } from '../state/running-order.js'
import type { SlotView } from '../state/slots.js'
import { deskPath } from '../shell/route.js'
import { words } from '../words.js'
import { contour, contourPath, remaining, stretchPath } from './contour.js'

/** Shorter passes than this share of the piece stand without their name. */
const LEAST_NAMED = 0.06
const WIDTH = 1360
const HEIGHT = 120
/** Fainter lines under the crest give it body; they carry no meaning. */
const ECHOES = [0.84, 0.68, 0.53, 0.39, 0.26, 0.14]

@customElement('loft-contour')
export class LoftContour extends LoftElement {
  @consume({ context: roomContext }) private room!: Room
  @property({ attribute: false }) passes: readonly PassView[] = []
  @property({ attribute: false }) slots: readonly SlotView[] = []
  protected readonly observe = new Observe(this, () => [this.room?.form, this.room?.sounding])

  protected override render(): TemplateResult | typeof nothing {
    const bars = this.room.form.value?.bars ?? []
    const totalMs = bars.reduce((sum, bar) => sum + barMs(bar), 0)
    if (totalMs === 0) return nothing
    const share = (ms: number) => `${(100 * ms) / totalMs}%`
    const points = contour(bars, this.room.board?.roadmap ?? [])
    const cards = this.passes.flatMap((pass) => pass.cards.map((card) => ({ pass, card })))
    const undecided = this.slots.flatMap((view) => {
      const span = view.status === 'locked' || view.slot.decision === 'groove' ? undefined : this.spanOf(view)
      return span ? [{ view, span }] : []
    })
    return html`<section class="contour" aria-labelledby="contour-h">
      <h2 id="contour-h" class="vh">${words.board.contour}</h2>
      <div class="map">
        <ul class="flags">
          ${this.keys(cards, share)} ${this.flags(totalMs)}
        </ul>
        <svg viewBox="0 0 ${WIDTH} ${HEIGHT}" preserveAspectRatio="none" aria-hidden="true">
          ${this.heard(totalMs)}
          ${ECHOES.map((depth) => svg`<path class="echo" d=${contourPath(points, WIDTH, HEIGHT, depth)} />`)}
          ${remaining(
            points.length,
            undecided.map(({ span }) => span),
          ).map((span) => svg`<path class="crest" d=${stretchPath(points, span, WIDTH, HEIGHT)} />`)}
          ${undecided.map(
            ({ view, span }) =>
              svg`<path class="crest ${view.status}" d=${stretchPath(points, span, WIDTH, HEIGHT)} />`,
          )}
          <path class="base" d="M0 116H${WIDTH}" />
          <path
            class="cut"
            d=${this.passes
              .slice(1)
              .map((pass) => `M${(WIDTH * pass.startMs) / totalMs} 14V120`)
              .join('')}
          />
        </svg>
        <ol class="places">
          ${cards.map(
            ({ pass, card }) =>
              html`<li ${vars({ left: share(card.startMs), width: share(card.lengthMs) })}>
                <button @click=${() => this.room.listenFrom(card.bars[0]?.bar.barIndex ?? 0)}>
                  <span aria-hidden="true">${card.letter.length > 2 ? '' : card.letter}</span
                  ><span class="vh"
                    >${words.board.listenFromSection(
                      card.letter,
                      words.board.pass(pass.kind, pass.turn, pass.turns),
                      card.bars[0]?.barNumber ?? 1,
                    )}</span
                  >
                </button>
              </li>`,
          )}
        </ol>
        <ol class="spans" aria-hidden="true">
          ${this.passes
            .filter((pass) => pass.lengthMs > totalMs * LEAST_NAMED)
            .map(
              (pass) =>
                html`<li ${vars({ left: share(pass.startMs), 'max-width': share(pass.lengthMs) })}>
                  <b>${words.board.pass(pass.kind, pass.turn, pass.turns)}</b>
                  <span class="num">${pass.startMs > 0 ? sayTime(pass.startMs) : ''}</span>
                </li>`,
            )}
          <li class="last num">${sayTime(totalMs)}</li>
        </ol>
      </div>
    </section>`
  }

  private keys(
    cards: readonly { readonly card: SectionCard }[],
    share: (ms: number) => string,
  ): readonly TemplateResult[] {
    const changes = cards.filter(({ card }, index) => index === 0 || card.keyBefore)
    return changes.map(({ card }, index) => {
      const isLate = index > 0 && card.startMs > 0 && parseFloat(share(card.startMs)) > 88
      return html`<li class="key ${isLate ? 'left' : ''}" ${vars({ left: share(card.startMs) })}>
        <span class="short" aria-hidden="true">${sayKeyShort(card.startKey)}</span
        ><span class="full">${sayKey(card.startKey)}</span>
      </li>`
    })
  }

  /** Flags at undecided places; those that would sit on top of each other go to the row below. */
  private flags(totalMs: number): readonly TemplateResult[] {
    const open = this.slots.filter((view) => view.status !== 'locked' && view.slot.decision !== 'groove')
    let last = { end: -1, row: 1 }
    return open
      .map((view) => ({ view, span: this.spanOf(view) }))
      .sort((a, b) => (a.span?.[0] ?? 0) - (b.span?.[0] ?? 0))
      .map(({ view, span }) => {
        const bars = this.room.form.value?.bars ?? []
        const start = bars.slice(0, span?.[0] ?? 0).reduce((sum, bar) => sum + barMs(bar), 0) / totalMs
        const isRight = start > 0.7
        const row = Math.abs(start - last.end) < 0.22 ? 1 - last.row : 0
        last = { end: start, row }
        return html`<li
          class=${view.status}
          ${vars({
            left: isRight ? undefined : `${100 * start}%`,
            right: isRight ? `${100 * Math.max(0, 1 - start - 0.07)}%` : undefined,
            top: row === 1 ? '-1.5rem' : '0',
          })}
        >
          <a href=${deskPath(this.room.boardId, view.key)}
            >${cordSign(view.status)}<span>${words.board.decide(view.slot.decision, view.status)}</span></a
          >
        </li>`
      })
  }

  /** Bars [from, to) where a decision acts. */
  private spanOf(view: SlotView): readonly [number, number] | undefined {
    const bars = this.room.form.value?.bars ?? []
    const within = (test: (passId: string, sectionId: string) => boolean): readonly [number, number] | undefined => {
      const cards = this.passes.flatMap((pass) => pass.cards.filter((card) => test(pass.id, card.sectionId)))
      const first = cards[0]?.bars[0]?.bar.barIndex
      const last = cards.at(-1)?.bars.at(-1)?.bar.barIndex
      return first === undefined || last === undefined ? undefined : [first, last + 1]
    }
    switch (view.slot.decision) {
      case 'groove':
        return [0, bars.length]
      case 'opening':
        return within((passId) => passId === 'opening') ?? [0, Math.min(2, bars.length)]
      case 'ending':
        return within((passId) => passId === 'ending') ?? [Math.max(0, bars.length - 2), bars.length]
      case 'harmony':
      case 'lift': {
        const { place } = view
        return (
          place &&
          within(
            (passId, sectionId) =>
              passId === place.passId && (place.sectionId === undefined || sectionId === place.sectionId),
          )
        )
      }
    }
  }

  private heard(totalMs: number): TemplateResult | typeof nothing {
    const sounding = this.room.sounding.value
    if (!sounding) return nothing
    const ms = (this.room.form.value?.bars ?? []).slice(0, sounding.barIndex).reduce((sum, bar) => sum + barMs(bar), 0)
    const x = (WIDTH * ms) / totalMs
    return svg`<rect class="heard" x="0" y="0" width=${x} height=${HEIGHT} /><path class="here" d="M${x} 0V${HEIGHT}" />`
  }
}
