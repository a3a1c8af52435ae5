/** Which tune of an ABC file, which line of a MIDI file, which part of a score: what each holds, how it looks and sounds. */
import type { ListedLine, ListedPart, ListedTune } from '@chartloft/shared-theory'
import { html, nothing, type TemplateResult } from 'lit'
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

/** Something in a file that may be the tune: a line of a MIDI file, a part of a score. */
export interface Candidate {
  readonly name: string
  readonly facts: string
}

export const linesAsked = (lines: readonly ListedLine[]): readonly Candidate[] =>
  lines.map(({ name, channel, notes, lowMidi, highMidi, program, together }) => ({
    name: bringWords.lineOf(name, channel),
    facts: bringWords.lineFacts(
      notes,
      midiName(lowMidi),
      midiName(highMidi),
      program === undefined ? undefined : programName(program),
      together,
    ),
  }))

/** Parts of one name are told apart by where they stand in the score. */
export const partsAsked = (parts: readonly ListedPart[]): readonly Candidate[] =>
  parts.map(({ name, notes, lowMidi, highMidi, chordSymbols }, at) => ({
    name: parts.some((other, place) => place !== at && other.name === name) ? `${name} (${at + 1})` : name,
    facts: bringWords.partFacts(notes, midiName(lowMidi), midiName(highMidi), chordSymbols),
  }))

export interface MelodyChoice {
  readonly note: string
  readonly chosen: number | undefined
  readonly heard: Heard
  /** The one whose beginning is shown, and the sheet of it. */
  readonly shown: { readonly index: number; readonly sheet: TemplateResult } | undefined
  readonly choose: (index: number) => void
  readonly listen: (index: number) => void
  readonly look: (index: number) => void
}

export function melodyChoice(candidates: readonly Candidate[], asked: MelodyChoice): TemplateResult {
  return html`<div class="lines">
    <dt id="lines-h">${bringWords.line}</dt>
    <dd class="wide">
      <p class="soft">${asked.note}</p>
      <div role="radiogroup" aria-labelledby="lines-h">
        <ul>
          ${candidates.map((candidate, index) => candidateRow(candidate, index, asked))}
        </ul>
      </div>
    </dd>
  </div>`
}

function candidateRow({ name, facts }: Candidate, index: number, asked: MelodyChoice): TemplateResult {
  const { heard, shown } = asked
  const isHeard = heard.stage !== 'silent' && heard.what === candidateSound(index)
  const isShown = shown?.index === index
  return html`<li>
    <label
      ><input
        type="radio"
        name="line"
        .checked=${index === asked.chosen}
        @change=${() => asked.choose(index)}
        aria-describedby="line-${index}"
      />
      <b>${name}</b></label
    >
    <span class="soft" id="line-${index}">${facts}</span>
    <span class="acts">
      <button
        class="btn bare"
        aria-expanded=${isShown ? 'true' : 'false'}
        aria-label=${isShown ? bringWords.lineHide(name) : bringWords.lineLook(name)}
        @click=${() => asked.look(index)}
      >
        ${isShown ? bringWords.hideShort : bringWords.lookShort}
      </button>
      <button
        class="btn bare"
        aria-pressed=${isHeard ? 'true' : 'false'}
        aria-label=${isHeard ? bringWords.stop : bringWords.lineListen(name)}
        @click=${() => asked.listen(index)}
      >
        ${!isHeard ? bringWords.listenShort : heard.stage === 'loading' ? bringWords.gettingReady : bringWords.stop}
      </button>
    </span>
    ${isShown ? html`<div class="preview">${shown.sheet}</div>` : nothing}
  </li>`
}

/** What the listener calls a line or part that is heard before it is chosen. */
export const candidateSound = (index: number): string => `line-${index}`

const FLATS = ['C', 'Db', 'D', 'Eb', 'E', 'F', 'Gb', 'G', 'Ab', 'A', 'Bb', 'B']

/** 'E♭4'; middle C is C4. */
const midiName = (midi: number): string => noteName(FLATS[midi % 12] ?? '') + String(Math.floor(midi / 12) - 1)
