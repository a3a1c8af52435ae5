/** Which bars go round: a section of the running order, or any from one bar to another. */
import { html, type TemplateResult } from 'lit'
import { withSigns } from '../look/chord-symbol.js'
import type { Room } from '../state/room.js'
import { runningOrder, type SectionCard } from '../state/running-order.js'
import { words } from '../words.js'
import type { Listening, LoopBars } from './listening.js'

export function loopSettings(listening: Listening, room: Room): TemplateResult {
  const loops = loopsOf(room)
  const loop = listening.loop.value
  const starts = startsOf(room)
  const last = starts.length - 1
  const [from, to] = loop ? [starts.indexOf(loop.fromTick) + 1, starts.indexOf(loop.toTick)] : [1, last]
  const isSection = loops.some((one) => one.fromTick === loop?.fromTick && one.toTick === loop.toTick)
  const set = (first: number, end: number): void => listening.setLoop(loopOfBars(starts, first, end))
  return html`<div class="grp">
      <label for="loop">${words.player.loop}</label>
      <select id="loop" @change=${(event: Event) => listening.setLoop(loops[numberOf(event)])}>
        <option value="-1" ?selected=${!loop}>${words.player.noLoop}</option>
        ${loops.map(
          (one, index) =>
            html`<option value=${index} ?selected=${isSection && one.fromTick === loop?.fromTick}>
              ${withSigns(one.label)}
            </option>`,
        )}
        ${loop && !isSection ? html`<option value="-2" selected>${loop.label}</option>` : ''}
      </select>
    </div>
    <div class="grp">
      <span class="cap" id="loop-bars">${words.player.loopBars}</span>
      <span class="step" role="group" aria-labelledby="loop-bars">
        <input
          type="number"
          aria-label=${words.player.loopFrom}
          min="1"
          max=${last}
          .value=${String(from)}
          @change=${(event: Event) => set(numberOf(event), Math.max(to, numberOf(event)))}
        />
        –
        <input
          type="number"
          aria-label=${words.player.loopTo}
          min="1"
          max=${last}
          .value=${String(to)}
          @change=${(event: Event) => set(Math.min(from, numberOf(event)), numberOf(event))}
        />
      </span>
    </div>`
}

/** Bars from 1, as they are printed; what lies outside the piece is brought inside. Undefined for the whole piece, and where there are no bars. */
export function loopOfBars(starts: readonly number[], fromBar: number, toBar: number): LoopBars | undefined {
  const last = starts.length - 1
  const inside = (bar: number) => Math.min(last, Math.max(1, Math.round(Number.isFinite(bar) ? bar : 1)))
  const [from, to] = [inside(fromBar), inside(toBar)]
  if (last < 1 || from > to || (from === 1 && to === last)) return undefined
  return {
    fromTick: starts[from - 1] as number,
    toTick: starts[to] as number,
    label: words.player.loopOfBars(from, to),
  }
}

/** Ticks at which bars begin, and the end. */
function startsOf(room: Room): readonly number[] {
  const starts: number[] = [0]
  for (const bar of room.form.value?.bars ?? []) starts.push((starts.at(-1) as number) + bar.lengthTicks)
  return starts
}

/** A loop for every section card of the running order. */
function loopsOf(room: Room): readonly LoopBars[] {
  const form = room.form.value
  const state = room.board
  if (!form || !state) return []
  const starts = startsOf(room)
  return runningOrder(form.bars, state).flatMap((pass) => pass.cards.map((card) => loopOf(card, starts)))
}

function loopOf(card: SectionCard, starts: readonly number[]): LoopBars {
  const first = card.bars[0]?.bar.barIndex ?? 0
  const last = card.bars.at(-1)?.bar.barIndex ?? first
  return {
    fromTick: starts[first] ?? 0,
    toTick: starts[last + 1] ?? 0,
    label: words.player.loopOf(card.letter, first + 1, last + 1),
  }
}

const numberOf = (event: Event): number => Number((event.target as HTMLSelectElement | HTMLInputElement).value)
