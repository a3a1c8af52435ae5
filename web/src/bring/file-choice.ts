/** Which tune of an ABC file, which line of a MIDI file: what each holds, and how it sounds. */
import type { ListedLine, ListedTune } from '@chartloft/shared-theory'
import { html, type TemplateResult } from 'lit'
import { noteName } from '../look/note-names.js'
import { bringWords } from '../words-bring.js'
import { programName } from './general-midi.js'
import type { Heard } from './tune-listener.js'

export function tuneChoice(
  tunes: readonly ListedTune[],
  chosen: number | undefined,
  choose: (tuneNumber: number) => void,
): TemplateResult {
  return html`<div>
    <dt><label for="which-tune">${bringWords.which}</label></dt>
    <dd class="wide">
      <select
        id="which-tune"
        aria-describedby="which-note"
        @change=${(event: Event) => choose(Number((event.target as HTMLSelectElement).value))}
      >
        ${tunes.map(
          ({ number, title }) =>
            html`<option value=${number} ?selected=${number === chosen}>${bringWords.tuneOf(number, title)}</option>`,
        )}
      </select>
      <span class="soft" id="which-note">${bringWords.whichNote(tunes.length)}</span>
    </dd>
  </div>`
}

export interface LineChoice {
  readonly chosen: number | undefined
  readonly heard: Heard
  readonly choose: (line: number) => void
  readonly listen: (line: number) => void
}

export function lineChoice(
  lines: readonly ListedLine[],
  { chosen, heard, choose, listen }: LineChoice,
): TemplateResult {
  return html`<div class="lines">
    <dt id="lines-h">${bringWords.line}</dt>
    <dd class="wide">
      <p class="soft">${bringWords.lineNote(lines.length)}</p>
      <div role="radiogroup" aria-labelledby="lines-h">
        <ul>
          ${lines.map((line, index) => {
            const name = bringWords.lineOf(line.name, line.channel)
            const isHeard = heard.stage !== 'silent' && heard.what === `line-${index}`
            return html`<li>
              <label
                ><input
                  type="radio"
                  name="line"
                  .checked=${index === chosen}
                  @change=${() => choose(index)}
                  aria-describedby="line-${index}"
                />
                <b>${name}</b></label
              >
              <span class="soft" id="line-${index}"
                >${bringWords.lineFacts(
                  line.notes,
                  midiName(line.lowMidi),
                  midiName(line.highMidi),
                  line.program === undefined ? undefined : programName(line.program),
                  line.together,
                )}</span
              >
              <button
                class="btn bare"
                aria-pressed=${isHeard ? 'true' : 'false'}
                aria-label=${isHeard ? bringWords.stop : bringWords.lineListen(name)}
                @click=${() => listen(index)}
              >
                ${!isHeard ? bringWords.listenShort : heard.stage === 'loading' ? bringWords.gettingReady : bringWords.stop}
              </button>
            </li>`
          })}
        </ul>
      </div>
    </dd>
  </div>`
}

const FLATS = ['C', 'Db', 'D', 'Eb', 'E', 'F', 'Gb', 'G', 'Ab', 'A', 'Bb', 'B']

/** 'E♭4'; middle C is C4. */
const midiName = (midi: number): string => noteName(FLATS[midi % 12] ?? '') + String(Math.floor(midi / 12) - 1)
