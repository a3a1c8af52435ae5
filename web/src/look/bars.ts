/** A line of the chart: bars with number, outline, chords, and what there is to say about them. */
import { html, nothing, type TemplateResult } from 'lit'
import { classMap } from 'lit/directives/class-map.js'
import type { ArrangedBar } from '@chartloft/shared-theory'
import { words } from '../words.js'
import { chordSymbol } from './chord-symbol.js'
import { melodyLine } from './melody-line.js'

export interface ShownBar {
  readonly bar: Pick<ArrangedBar, 'barIndex' | 'lengthTicks' | 'melody' | 'chords' | 'mark' | 'fermataTick'>
  readonly isChanged?: boolean
  readonly isAdded?: boolean
  readonly isPencilled?: boolean
  readonly isNow?: boolean
  /** Said beside the number: a metre, where it is news. */
  readonly metre?: string
  /** A closing line after it: a section's, or the piece's. */
  readonly closes?: 'section' | 'piece'
  /** Comments at this bar, by their number on the page. */
  readonly pins?: readonly { readonly number: number; readonly id: string }[]
}

export interface BarsShown {
  readonly label: string
  readonly range: readonly [lowMidi: number, highMidi: number] | undefined
  /** Makes each bar a button: one stop for the Tab key a card, arrows move between bars. */
  readonly onListen?: (barIndex: number) => void
}

/** Where a comment stands on the page. The colon keeps it from being taken for a key in a link's fragment. */
export const anchorOf = (commentId: string): string => `said:${commentId}`

/** Bars as a list; the number stands at the first bar of each line of four. */
export function barList(bars: readonly ShownBar[], { label, range, onListen }: BarsShown): TemplateResult {
  return html`<div class="fit">
    <ol
      class="bars"
      data-bars=${Math.min(4, bars.length)}
      aria-label=${label}
      @keydown=${onListen ? moveFocus : nothing}
    >
      ${bars.map((shown, index) => oneBar(shown, index, range, onListen))}
    </ol>
  </div>`
}

function oneBar(
  shown: ShownBar,
  index: number,
  range: BarsShown['range'],
  onListen: BarsShown['onListen'],
): TemplateResult {
  const { bar, isChanged, isAdded, isPencilled, isNow, metre, closes, pins } = shown
  const classes = classMap({
    bar: true,
    hatch: isChanged === true,
    new: isAdded === true,
    draft: isPencilled === true,
    now: isNow === true,
    end: closes === 'section',
    close: closes === 'piece',
  })
  const number = bar.barIndex + 1
  return html`<li class=${classes} data-bar=${number} aria-current=${isNow ? 'true' : nothing}>
    ${index % 4 === 0 ? html`<span class="n">${number}${metre ? html` <b>${metre}</b>` : nothing}</span>` : nothing}${melodyLine(bar, range) ?? nothing}<span
      class="chs"
      data-chords=${bar.chords.length}
      >${bar.chords.map(({ chord }) => chordSymbol(chord))}</span
    >${bar.mark ? html`<span class="told">${bar.mark}</span>` : nothing}${
      isAdded && !bar.mark ? html`<span class="plus" aria-hidden="true">+</span>` : nothing
    }${
      isAdded
        ? html`<span class="vh">${words.board.added}</span>`
        : isChanged
          ? html`<span class="vh">${words.board.changed}</span>`
          : nothing
    }${isPencilled ? html`<span class="vh">${words.board.pencilled}</span>` : nothing}${
      bar.fermataTick === undefined
        ? nothing
        : html`<span class="fermata" role="img" aria-label=${words.board.fermata}>&#xE4C0;</span>`
    }${
      onListen
        ? html`<button class="hit" tabindex=${index === 0 ? 0 : -1} @click=${() => onListen(bar.barIndex)}>
            <span class="vh">${words.board.listenFrom(number)}</span>
          </button>`
        : nothing
    }${pins?.map(
      ({ number: pin, id }) =>
        html`<a class="pin" href="#${id}" aria-label=${words.board.comment(pin, number)}>${pin}</a>`,
    )}
  </li>`
}

/** Arrow keys walk from bar to bar, Home and End to a card's ends; up and down by lines of four. */
function moveFocus(event: KeyboardEvent): void {
  const step = { ArrowRight: 1, ArrowLeft: -1, ArrowDown: 4, ArrowUp: -4, Home: -Infinity, End: Infinity }[event.key]
  if (step === undefined) return
  const hits = [...(event.currentTarget as HTMLElement).querySelectorAll<HTMLButtonElement>('.hit')]
  const at = hits.findIndex((hit) => hit === document.activeElement)
  const next = hits[Math.max(0, Math.min(hits.length - 1, at + step))]
  if (at < 0 || !next) return
  event.preventDefault()
  for (const hit of hits) hit.tabIndex = hit === next ? 0 : -1
  next.focus()
}
