/** My practice settings: which part is mine, who I hear, louder or softer, loop, tempo, count-in. */
import { html, nothing, type TemplateResult } from 'lit'
import { fileName } from '../charts/downloads.js'
import type { Room } from '../state/room.js'
import { words } from '../words.js'
import './loft-bounce.js'
import './loft-latency.js'
import { type Listening, TEMPO } from './listening.js'
import { loopSettings } from './loop-bars.js'
import type { Hearing } from './mix.js'
import { mixRows } from './mix-rows.js'

const HEARING: readonly Hearing[] = ['everybody', 'only-me', 'without-me']
const LEVELS_DB: readonly number[] = [-12, -6, 0, 6]
const COUNTS: readonly number[] = [0, 1, 2]

export function practiceSettings(listening: Listening, room: Room): TemplateResult {
  const lineup = room.board?.lineup ?? []
  const { hearing, myPart, levelsDb } = listening.mix.value
  const scale = listening.tempoScale.value
  return html`<div class="grp">
      <label for="my-part">${words.player.myPart}</label>
      <select id="my-part" @change=${(event: Event) => listening.mix.setMyPart(valueOf(event) || undefined)}>
        <option value="" ?selected=${!myPart}>${words.player.noPart}</option>
        ${lineup.map((part) => html`<option value=${part.id} ?selected=${part.id === myPart}>${part.name}</option>`)}
      </select>
    </div>
    <div class="grp">
      <label for="i-hear">${words.player.hear}</label>
      <select
        id="i-hear"
        ?disabled=${!myPart}
        @change=${(event: Event) => listening.mix.hear(valueOf(event) as Hearing)}
      >
        ${HEARING.map((one) => html`<option value=${one} ?selected=${one === hearing}>${words.player.hearing[one]}</option>`)}
      </select>
    </div>
    ${
      myPart
        ? html`<div class="grp">
            <label for="my-loudness"
              >${words.player.partLevel(lineup.find((part) => part.id === myPart)?.name ?? '')}</label
            >
            <select
              id="my-loudness"
              @change=${(event: Event) => listening.mix.setLevel(myPart, Number(valueOf(event)))}
            >
              ${LEVELS_DB.map(
                (db) =>
                  html`<option value=${db} ?selected=${(levelsDb[myPart] ?? 0) === db}>
                    ${words.player.partDb(db)}
                  </option>`,
              )}
            </select>
          </div>`
        : nothing
    }
    ${loopSettings(listening, room)}
    <div class="grp">
      <span class="cap" id="practice-tempo">${words.player.tempo}</span>
      <span class="step" role="group" aria-labelledby="practice-tempo">
        <button class="btn" aria-label=${words.player.slower} @click=${() => listening.setTempo(scale - TEMPO.step)}>
          −
        </button>
        <output>${words.player.percent(scale)}</output>
        <button class="btn" aria-label=${words.player.faster} @click=${() => listening.setTempo(scale + TEMPO.step)}>
          +
        </button>
      </span>
    </div>
    <div class="grp">
      <label for="count-in">${words.player.countIn}</label>
      <select id="count-in" @change=${(event: Event) => listening.countInBars.set(Number(valueOf(event)))}>
        ${COUNTS.map(
          (bars) =>
            html`<option value=${bars} ?selected=${bars === listening.countInBars.value}>
              ${words.player.countInBars(bars)}
            </option>`,
        )}
      </select>
    </div>
    <div class="grp">
      <span class="cap">${words.player.click}</span>
      <button
        class="btn"
        aria-pressed=${listening.click.value ? 'true' : 'false'}
        @click=${() => listening.click.set(!listening.click.value)}
      >
        ${words.player.clickAlong}
      </button>
    </div>
    ${mixRows(listening, lineup)}
    <loft-latency .listening=${listening}></loft-latency>
    <loft-bounce
      .listening=${listening}
      .fileName=${fileName(room.board?.tune?.title ?? '', 'mix', 'wav')}
    ></loft-bounce>
    <a class="credits" href="/notice.txt" target="_blank" rel="noopener">${words.player.soundCredits}</a>`
}

const valueOf = (event: Event): string => (event.target as HTMLSelectElement).value
