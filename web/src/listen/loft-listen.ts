/** The listen page, for the stand: the bars that sound now, large, those that come next, in my pitch. */
import { consume } from '@lit/context'
import { type Chord, findInstrument, transposeChord } from '@chartloft/shared-theory'
import { html, nothing, type TemplateResult } from 'lit'
import { classMap } from 'lit/directives/class-map.js'
import { customElement, state } from 'lit/decorators.js'
import { chordSymbol } from '../look/chord-symbol.js'
import { LoftElement } from '../look/element.js'
import { Observe } from '../state/observe.js'
import { type Room, roomContext } from '../state/room.js'
import { StayAwake } from '../state/stay-awake.js'
import { type CardBar, type PassView, runningOrder, type SectionCard } from '../state/running-order.js'
import { words } from '../words.js'
import { listeningOf } from './listening-of.js'

const LINE_BARS = 4

@customElement('loft-listen')
export class LoftListen extends LoftElement {
  @consume({ context: roomContext }) private room!: Room
  @state() private isConcert = false
  protected readonly observe = new Observe(this, () =>
    this.room ? [this.room.form, this.room.sounding, this.room.ledger.state, listeningOf(this.room).mix] : [],
  )

  protected readonly awake = new StayAwake(this)

  override connectedCallback(): void {
    super.connectedCallback()
    this.observe.refresh()
  }

  protected override render(): TemplateResult {
    const form = this.room.form.value
    const state = this.room.board
    if (!state?.tune) return html`<p class="lead">${words.listen.none}</p>`
    if (!form) return html`<p class="busy" role="status">${words.listen.notReady}</p>`
    const places = runningOrder(form.bars, state).flatMap((pass) => pass.cards.map((card) => ({ pass, card })))
    const sounding = this.room.sounding.value ?? { barIndex: 0, beat: 0, isPlaying: false }
    const at = Math.max(
      0,
      places.findIndex(({ card }) => card.bars.some(({ bar }) => bar.barIndex === sounding.barIndex)),
    )
    const place = places[at]
    if (!place) return html`<p class="busy" role="status">${words.listen.notReady}</p>`
    const { card } = place
    const within = card.bars.findIndex(({ bar }) => bar.barIndex === sounding.barIndex)
    const lineStart = Math.floor(Math.max(0, within) / LINE_BARS) * LINE_BARS
    const now = card.bars.slice(lineStart, lineStart + LINE_BARS)
    const rest = card.bars.slice(lineStart + LINE_BARS)
    const following = places[at + 1]?.card
    const next = rest.length > 0 ? rest.slice(0, LINE_BARS) : (following?.bars.slice(0, LINE_BARS) ?? [])
    return html`<div class="stand">
      ${this.heading(place, following, within)} ${this.mine()}
      <section class="now" aria-label=${words.listen.now}>${this.line(now, sounding, 'now')}</section>
      ${
        next.length > 0
          ? html`<section class="next" aria-label=${words.listen.next}>
              <h2>${rest.length > 0 || !following ? words.listen.next : words.listen.andThen(following.letter)}</h2>
              ${this.line(next, sounding, 'next')}
            </section>`
          : nothing
      }
    </div>`
  }

  private heading(
    { pass, card }: { readonly pass: PassView; readonly card: SectionCard },
    following: SectionCard | undefined,
    within: number,
  ): TemplateResult {
    return html`<h1 class="where">
      <span class="letter">${card.letter}</span>
      <span
        >${words.board.pass(pass.kind, pass.turn, pass.turns)}
        <span class="soft">${words.listen.barOf(Math.max(0, within) + 1, card.bars.length)}</span>${
          following
            ? html`<span class="soft"> · ${words.listen.andThen('')}</span
                ><span class="letter sm">${following.letter}</span>`
            : nothing
        }</span
      >
    </h1>`
  }

  private mine(): TemplateResult | typeof nothing {
    const part = this.myPart()
    if (!part) return nothing
    return html`<div class="mine">
      <p><b>${part.name}</b></p>
      <span class="pair" role="group" aria-label=${words.listen.pitch}>
        ${[false, true].map(
          (isConcert) =>
            html`<button
              class="btn"
              aria-pressed=${this.isConcert === isConcert ? 'true' : 'false'}
              @click=${() => (this.isConcert = isConcert)}
            >
              ${isConcert ? words.listen.concert : words.listen.asWritten}
            </button>`,
        )}
      </span>
    </div>`
  }

  private line(
    bars: readonly CardBar[],
    sounding: { readonly barIndex: number; readonly beat: number; readonly isPlaying: boolean },
    kind: string,
  ): TemplateResult {
    return html`<ol class="line ${kind}">
      ${bars.map(({ bar, barNumber }) => {
        const isNow = bar.barIndex === sounding.barIndex
        return html`<li class=${classMap({ sbar: true, now: isNow })} aria-current=${isNow ? 'true' : nothing}>
          <span class="n num">${barNumber}</span>
          <span class="chs">${bar.chords.map(({ chord }) => chordSymbol(this.shown(chord)))}</span>
          ${isNow ? this.beats(bar.metre.beats, sounding) : nothing}
        </li>`
      })}
    </ol>`
  }

  /** Strokes fill from the left; faster than three a second they move once a half bar, so that nothing flashes. */
  private beats(
    beats: number,
    { barIndex, beat, isPlaying }: { readonly barIndex: number; readonly beat: number; readonly isPlaying: boolean },
  ): TemplateResult {
    const bar = this.room.form.value?.bars[barIndex]
    const aMinute = (bar?.tempoBpm ?? 0) * listeningOf(this.room).tempoScale.value * ((bar?.metre.beatType ?? 4) / 4)
    const step = aMinute > 170 ? Math.ceil(beats / 2) : 1
    const filled = isPlaying ? Math.floor(beat / step) * step + step : 0
    return html`<span class="beats" data-beats=${beats} aria-hidden="true"
      >${Array.from({ length: beats }, (_, index) => html`<i class=${classMap({ on: index < filled })}></i>`)}</span
    >`
  }

  private myPart() {
    const id = listeningOf(this.room).mix.value.myPart
    return this.room.board?.lineup.find((part) => part.id === id)
  }

  private shown(chord: Chord): Chord {
    const part = this.myPart()
    const interval = part && findInstrument(part.instrument)?.transposeInterval
    if (this.isConcert || !interval || chord.root === '') return chord
    return transposeChord(chord, interval)
  }
}
