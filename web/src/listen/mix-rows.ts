/** Every part's own row in my mix: silent or not, louder or softer, further left or right. Mine alone; nobody else hears of it. */
import type { PartSpec } from '@chartloft/shared-theory'
import { html, type TemplateResult } from 'lit'
import { words } from '../words.js'
import type { Listening } from './listening.js'

const SOFTEST_DB = -24
const LOUDEST_DB = 6

export function mixRows(listening: Listening, lineup: readonly PartSpec[]): TemplateResult {
  const { levelsDb, silent, pans } = listening.mix.value
  return html`<details class="mix">
    <summary>${words.player.mix}</summary>
    <ul>
      ${lineup.map(({ id, name }) => {
        const isSilent = silent.includes(id)
        const db = levelsDb[id] ?? 0
        return html`<li>
          <span class="who">${name}</span>
          <button
            class="btn"
            aria-pressed=${isSilent ? 'true' : 'false'}
            aria-label=${words.player.silence(name)}
            @click=${() => listening.mix.setSilent(id, !isSilent)}
          >
            ${words.player.silent}
          </button>
          <label
            ><span>${words.player.rowLevel}</span>
            <input
              type="range"
              aria-label=${words.player.rowLevelOf(name)}
              aria-valuetext=${words.player.partDb(db)}
              min=${SOFTEST_DB}
              max=${LOUDEST_DB}
              step="1"
              .value=${String(db)}
              @input=${(event: Event) => listening.mix.setLevel(id, numberOf(event))}
            />
          </label>
          <label
            ><span>${words.player.rowPan}</span>
            <input
              type="range"
              aria-label=${words.player.rowPanOf(name)}
              aria-valuetext=${words.player.panAt(pans[id])}
              min="-100"
              max="100"
              step="10"
              .value=${String((pans[id] ?? 0) * 100)}
              @input=${(event: Event) => listening.mix.setPan(id, numberOf(event) / 100)}
            />
          </label>
        </li>`
      })}
    </ul>
    <button class="btn" @click=${() => listening.mix.toPlain()}>${words.player.plainMix}</button>
  </details>`
}

const numberOf = (event: Event): number => Number((event.target as HTMLInputElement).value)
