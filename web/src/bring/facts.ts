/** The rows of what was understood: a fact, how sure it is, and the fields that change it. */
import type { KeySignature, Metre, Mode, Tune } from '@chartloft/shared-theory'
import { html, nothing, type TemplateResult } from 'lit'
import { noteName } from '../look/note-names.js'
import { sayKey, sayMetre } from '../look/say.js'
import type { TuneReading } from '../state/theory-protocol.js'
import { bringWords } from '../words-bring.js'
import type { AskMend } from './loft-bar-desk.js'
import { countedNote, pickupChoices } from './beats.js'
import { barIndexOf, barNumberOf } from './sheet-marks.js'

export type Fact = 'key' | 'metre' | 'form' | 'tempo'

export interface FactsShown {
  readonly reading: TuneReading
  readonly open: Fact | undefined
  /** Somebody has said the key. */
  readonly isKeySet: boolean
  /** What is wrong with what was asked last, beside the fact it was asked of. */
  readonly wrong: { readonly fact: Fact; readonly text: string } | undefined
  readonly toggle: (fact: Fact) => void
  readonly ask: (fact: Fact, ...mend: Parameters<AskMend>) => void
  readonly look: (bar: number) => void
}

const TONICS = ['C', 'C#', 'Db', 'D', 'D#', 'Eb', 'E', 'F', 'F#', 'Gb', 'G', 'G#', 'Ab', 'A', 'A#', 'Bb', 'B', 'Cb']
const MODES: readonly Mode[] = ['major', 'minor', 'dorian', 'phrygian', 'lydian', 'mixolydian', 'locrian']
const BEAT_TYPES = [2, 4, 8, 16] as const

export function factRow(
  shown: FactsShown,
  fact: Fact,
  name: string,
  value: string | TemplateResult,
  about: string,
  fields: () => TemplateResult,
): TemplateResult {
  const isOpen = shown.open === fact
  return html`<div class=${isOpen ? 'open' : ''}>
    <dt>${name}</dt>
    <dd><span class="value">${value}</span> <span class="soft">${about}</span></dd>
    <dd class="act">
      <button
        class="btn bare"
        aria-expanded=${isOpen ? 'true' : 'false'}
        aria-controls="fact-${fact}"
        @click=${() => shown.toggle(fact)}
      >
        ${isOpen ? bringWords.done : bringWords.change}<span class="vh">${bringWords.changeOf(name)}</span>
      </button>
    </dd>
    ${
      isOpen
        ? html`<dd class="fields" id="fact-${fact}">
            ${fields()}
            ${shown.wrong?.fact === fact ? html`<p class="issue" role="alert">${shown.wrong.text}</p>` : nothing}
          </dd>`
        : nothing
    }
  </div>`
}

export function keyRow(shown: FactsShown): TemplateResult {
  const { tune, keys } = shown.reading
  const confidence = keys.find(({ key }) => key === tune.key.key)?.confidence ?? 0
  const other = keys.find(({ key }) => key !== tune.key.key)
  const about = shown.isKeySet
    ? bringWords.asSet
    : bringWords.sure(confidence) + (other && confidence < 0.75 ? bringWords.nextBest(sayKey(keyOf(other.key))) : '')
  return factRow(shown, 'key', bringWords.key, html`<b>${sayKey(tune.key)}</b>`, about, () =>
    keyFields(shown, tune.key),
  )
}

/** As much of a key as is said of it. */
const keyOf = (key: string): KeySignature => ({ key, mode: key.endsWith('minor') ? 'minor' : 'major', fifths: 0 })

function keyFields(shown: FactsShown, key: KeySignature): TemplateResult {
  const [tonic = 'C'] = key.key.split(' ')
  return html`<form
    class="inrow"
    @submit=${(event: SubmitEvent) => {
      event.preventDefault()
      const data = new FormData(event.target as HTMLFormElement)
      shown.ask('key', { kind: 'key', tonic: text(data, 'tonic'), mode: text(data, 'mode') as Mode })
    }}
  >
    <label
      >${bringWords.tonic}
      <select name="tonic">
        ${TONICS.map((name) => html`<option value=${name} ?selected=${name === tonic}>${noteName(name)}</option>`)}
      </select></label
    >
    <label
      >${bringWords.mode}
      <select name="mode">
        ${MODES.map((mode) => html`<option value=${mode} ?selected=${mode === key.mode}>${bringWords.modes[mode]}</option>`)}
      </select></label
    >
    <button class="btn">${bringWords.set}</button>
    <small>${bringWords.keyNote}</small>
  </form>`
}

export function metreRow(shown: FactsShown): TemplateResult {
  const { tune } = shown.reading
  const about =
    tune.pickupTicks > 0 ? bringWords.pickup(tune.pickupTicks / (20160 / tune.metre.beatType)) : bringWords.noPickup
  return factRow(shown, 'metre', bringWords.metre, html`<b>${sayMetre(tune.metre)}</b>`, about, () =>
    metreFields(shown, tune),
  )
}

function metreFields(shown: FactsShown, tune: Tune): TemplateResult {
  const { metre, pickupTicks } = tune
  return html`<form
    class="inrow"
    @submit=${(event: SubmitEvent) => {
      event.preventDefault()
      const data = new FormData(event.target as HTMLFormElement)
      const asked: Metre = {
        beats: Number(text(data, 'beats')),
        beatType: Number(text(data, 'beatType')) as Metre['beatType'],
      }
      const pickup = Number(text(data, 'pickup'))
      shown.ask('metre', { kind: 'bar-lines', metre: asked, pickupTicks: pickup })
    }}
  >
    <label
      >${bringWords.beats} <input type="number" name="beats" min="1" max="32" required .value=${String(metre.beats)}
    /></label>
    <label
      >${bringWords.beatType}
      <select name="beatType">
        ${BEAT_TYPES.map(
          (type) =>
            html`<option value=${type} ?selected=${type === metre.beatType}>${bringWords.beatTypes[type]}</option>`,
        )}
      </select></label
    >
    <label
      >${bringWords.pickupField}
      <select name="pickup">
        ${pickupChoices(metre, pickupTicks).map(
          (ticks) =>
            html`<option value=${ticks} ?selected=${ticks === pickupTicks}>
              ${bringWords.pickupChoice(ticks / (20160 / metre.beatType))}
            </option>`,
        )}
      </select></label
    >
    <button class="btn">${bringWords.set}</button>
    <small>${bringWords.metreNote}</small>
  </form>`
}

export function formRow(shown: FactsShown): TemplateResult {
  const { tune } = shown.reading
  const letters = html`<span class="letters"
    >${tune.sections.map(
      ({ letter, startBar }) =>
        html`<button
          class="letter ${letter.length > 2 ? 'word' : ''}"
          aria-label="${letter}: ${bringWords.lookAt(bringWords.barNumber(barNumberOf(tune, startBar)))}"
          @click=${() => shown.look(startBar)}
        >
          ${letter}
        </button>`,
    )}</span
  >`
  return factRow(
    shown,
    'form',
    bringWords.form,
    letters,
    bringWords.formBars(tune.sections.map(({ bars }) => bars)),
    () => formFields(shown, tune),
  )
}

function formFields(shown: FactsShown, tune: Tune): TemplateResult {
  const first = tune.pickupTicks > 0 ? 1 : 0
  const last = barNumberOf(tune, tune.bars.length - 1)
  return html`<div class="marks">
    <small>${bringWords.formNote}</small>
    <ol>
      ${tune.sections.map(({ letter, startBar }, index) => {
        const number = barNumberOf(tune, startBar)
        return html`<li>
          <input
            type="text"
            maxlength="24"
            size="6"
            autocomplete="off"
            aria-label=${bringWords.sectionName(index + 1)}
            .value=${letter}
            @change=${(event: Event) =>
              shown.ask('form', { kind: 'section', bar: startBar, name: (event.target as HTMLInputElement).value })}
          />
          <label
            ><span aria-hidden="true">${bringWords.from}</span><span class="vh">${bringWords.sectionFrom(letter)}</span>
            <input
              type="number"
              min="1"
              max=${last}
              .value=${String(number)}
              ?disabled=${startBar === first}
              @change=${(event: Event) => {
                const field = event.target as HTMLInputElement
                const to = barIndexOf(tune, Number(field.value))
                field.value = String(number)
                if (to !== startBar) shown.ask('form', { kind: 'move-section', from: startBar, to })
              }}
          /></label>
          <button
            class="btn bare"
            ?disabled=${tune.sections.length === 1}
            @click=${() => shown.ask('form', { kind: 'remove-section', bar: startBar })}
          >
            ${bringWords.remove}<span class="vh">${bringWords.removeSection(letter, number)}</span>
          </button>
        </li>`
      })}
    </ol>
    <form
      class="inrow"
      @submit=${(event: SubmitEvent) => {
        event.preventDefault()
        const form = event.target as HTMLFormElement
        const data = new FormData(form)
        shown.ask('form', {
          kind: 'section',
          bar: barIndexOf(tune, Number(text(data, 'bar'))),
          name: text(data, 'name'),
        })
        form.reset()
      }}
    >
      <label
        >${bringWords.addSection}
        <input
          type="text"
          name="name"
          maxlength="24"
          size="6"
          autocomplete="off"
          required
          aria-label=${bringWords.addName}
      /></label>
      <label>${bringWords.addFrom} <input type="number" name="bar" min="1" max=${last} required /></label>
      <button class="btn">${bringWords.add}</button>
    </form>
    <p>
      <button class="btn bare" @click=${() => shown.ask('form', { kind: 'find-form' })}>${bringWords.findForm}</button>
    </p>
  </div>`
}

export function tempoRow(shown: FactsShown): TemplateResult {
  const { tune } = shown.reading
  const { beatType, quarters } = countedNote(tune.metre)
  const note = bringWords.beatNotes[beatType] ?? ''
  const counted = tune.tempoBpm === undefined ? undefined : tune.tempoBpm / quarters
  const value = counted === undefined ? '' : String(Math.round(counted * 10) / 10)
  return factRow(
    shown,
    'tempo',
    bringWords.tempo,
    counted === undefined ? '' : html`<b>${value}</b>`,
    counted === undefined ? bringWords.tempoNone : bringWords.tempoField(note),
    () =>
      html`<form
        class="inrow"
        @submit=${(event: SubmitEvent) => {
          event.preventDefault()
          const asked = Number(text(new FormData(event.target as HTMLFormElement), 'tempo'))
          shown.ask('tempo', { kind: 'tempo', tempoBpm: asked * quarters })
        }}
      >
        <label
          >${bringWords.tempoField(note)}
          <input type="number" name="tempo" min="10" max="400" step="any" required .value=${value}
        /></label>
        <button class="btn">${bringWords.set}</button>
        ${
          counted === undefined
            ? nothing
            : html`<button class="btn bare" type="button" @click=${() => shown.ask('tempo', { kind: 'tempo' })}>
                ${bringWords.tempoClear}
              </button>`
        }
      </form>`,
  )
}

function text(data: FormData, name: string): string {
  const value = data.get(name)
  return typeof value === 'string' ? value.trim() : ''
}
