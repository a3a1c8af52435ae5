/** A tune typed in, with its notes engraved as they are typed and every mistake marked where it stands; keys for phones and MIDI keyboards. */
import type { Mode, Tune } from '@chartloft/shared-theory'
import { html, nothing, type PropertyValues, type TemplateResult } from 'lit'
import { customElement, property, query, state } from 'lit/decorators.js'
import { Engraver } from '../charts/engraver.js'
import { noteName } from '../look/note-names.js'
import { LoftElement } from '../look/element.js'
import type { Theory } from '../state/theory.js'
import { bringWords } from '../words-bring.js'
import { fetchSentences, issueText } from './issue-text.js'
import type { Brought } from './brought.js'
import './loft-keyboard.js'
import './loft-sheet.js'
import type { KeyPress } from './midi-in.js'
import { keepTyped, typedDraft } from './typed-draft.js'
import { LENGTHS, LETTERS, METRES, MODES, TONICS } from './typing-choices.js'
import {
  type Fault,
  faultsOf,
  FIRST_HEAD,
  isWholeAbc,
  lengthFigure,
  putIn,
  takeBack,
  type TypedHead,
  typedTune,
} from './typed-text.js'

const words = bringWords.typing
const SETTLE_MS = 250
type Sign = '' | '^' | '_' | '='

@customElement('loft-typing')
export class LoftTyping extends LoftElement {
  @property({ attribute: false }) theory!: Theory
  @property({ attribute: false }) storage: Storage | undefined
  /** Begins with the keyboard open. */
  @property({ type: Boolean }) withKeyboard = false
  @property({ attribute: false }) done!: (brought: Brought) => void
  /** Opens the board with it, where nothing is left to look over. */
  @property({ attribute: false }) openAtOnce!: (brought: Brought) => void
  @property({ attribute: false }) leave!: () => void
  @state() private head: TypedHead = FIRST_HEAD
  @state() private text = ''
  @state() private tune: Tune | undefined
  @state() private faults: readonly Fault[] = []
  @state() private length: string = '1/4'
  @state() private sign: Sign = ''
  @state() private octave = 0
  @state() private asksChord = false
  @state() private trouble = ''
  @state() private cursor = 0
  @query('textarea') private field!: HTMLTextAreaElement
  private readonly engraver = new Engraver()
  #timer: ReturnType<typeof setTimeout> | undefined
  #asked = 0
  #notes: Promise<unknown> = Promise.resolve()

  override connectedCallback(): void {
    super.connectedCallback()
    const { head, text } = typedDraft(this.storage)
    this.head = head
    this.text = text
    this.length = head.unit
    if (text !== '') this.#soon(0)
  }

  override disconnectedCallback(): void {
    super.disconnectedCallback()
    clearTimeout(this.#timer)
    this.engraver.close()
  }

  protected override firstUpdated(): void {
    this.querySelector<HTMLElement>('h1')?.focus()
  }

  protected override updated(changed: PropertyValues): void {
    if (changed.has('text') && this.field.value !== this.text) this.field.value = this.text
  }

  protected override render(): TemplateResult {
    return html`<section class="typing">
      <h1 tabindex="-1">${words.title}</h1>
      <p class="soft">${words.lead}</p>
      ${isWholeAbc(this.text) ? nothing : this.headFields()}
      <div class="typed">
        <div class="write">${this.textField()} ${this.keys()}</div>
        <div class="seen">${this.seen()} ${this.faultList()}</div>
        <div class="more">
          <loft-keyboard
            .isOpen=${this.withKeyboard}
            .metre=${{ beats: this.head.beats, beatType: this.head.beatType }}
            .pressed=${(press: KeyPress) => this.pressed(press)}
            .played=${(bytes: Uint8Array) =>
              this.done({ name: bringWords.midi.played, format: 'midi', content: bytes, isOwn: true })}
          ></loft-keyboard>
          ${this.help()}
        </div>
      </div>
      ${this.trouble ? html`<p class="issue" role="alert">${this.trouble}</p>` : nothing}
      <p class="acts">
        <button class="btn main" @click=${() => this.use()}>${words.use}</button>
        ${
          this.isPlain()
            ? html`<button class="btn" @click=${() => this.use(this.openAtOnce)}>${words.openAtOnce}</button>`
            : nothing
        }
        <button class="btn" @click=${() => this.leave()}>${words.left}</button>
      </p>
      <p class="note">${words.kept}</p>
    </section>`
  }

  private headFields(): TemplateResult {
    const { head } = this
    const set = (part: Partial<TypedHead>): void => {
      this.head = { ...this.head, ...part }
      this.#changed()
    }
    const chosen = (event: Event): string => (event.target as HTMLSelectElement).value
    return html`<div class="inrow head">
      <label class="grow"
        >${words.tuneTitle}
        <input
          type="text"
          maxlength="200"
          autocomplete="off"
          .value=${head.title}
          placeholder=${words.untitled}
          @input=${(event: Event) => set({ title: (event.target as HTMLInputElement).value })}
      /></label>
      <label
        >${words.key}
        <span class="two"
          ><select aria-label=${bringWords.tonic} @change=${(event: Event) => set({ tonic: chosen(event) })}>
            ${TONICS.map((name) => html`<option value=${name} ?selected=${name === head.tonic}>${noteName(name)}</option>`)}</select
          ><select aria-label=${bringWords.mode} @change=${(event: Event) => set({ mode: chosen(event) as Mode })}>
            ${MODES.map((mode) => html`<option value=${mode} ?selected=${mode === head.mode}>${bringWords.modes[mode]}</option>`)}
          </select></span
        ></label
      >
      <label
        >${words.metre}
        <select
          @change=${(event: Event) => {
            const [beats = 4, beatType = 4] = chosen(event).split('/').map(Number)
            set({ beats, beatType: beatType as TypedHead['beatType'] })
          }}
        >
          ${METRES.map((metre) => html`<option ?selected=${metre === `${head.beats}/${head.beatType}`}>${metre}</option>`)}
        </select></label
      >
      <label
        >${words.unit}
        <select @change=${(event: Event) => set({ unit: chosen(event) })}>
          ${Object.entries(words.units).map(
            ([unit, name]) => html`<option value=${unit} ?selected=${unit === head.unit}>${name}</option>`,
          )}
        </select></label
      >
    </div>`
  }

  /** The text with what is wrong underlined behind it. */
  private textField(): TemplateResult {
    const marked: (string | TemplateResult)[] = []
    let at = 0
    for (const { at: place } of this.faults) {
      if (!place || place.from < at) continue
      const wrong = this.text.slice(place.from, place.to)
      marked.push(this.text.slice(at, place.from), html`<mark>${wrong === '' ? ' ' : wrong}</mark>`)
      at = place.to
    }
    marked.push(this.text.slice(at), '\n')
    return html`<label class="field" for="typed-notes">${words.text}</label>
      <div class="underlined">
        <div class="lines" aria-hidden="true">${marked}</div>
        <textarea
          id="typed-notes"
          spellcheck="false"
          autocapitalize="off"
          autocomplete="off"
          autocorrect="off"
          rows="6"
          placeholder=${words.sample}
          aria-describedby="typed-state"
          aria-invalid=${this.faults.length > 0 ? 'true' : nothing}
          @input=${(event: Event) => {
            this.text = (event.target as HTMLTextAreaElement).value
            this.#changed()
          }}
          @keydown=${(event: KeyboardEvent) => this.onKey(event)}
          @scroll=${(event: Event) => this.follow(event.target as HTMLTextAreaElement)}
          @select=${() => (this.cursor = this.field.selectionEnd)}
          @blur=${() => (this.cursor = this.field.selectionEnd)}
        ></textarea>
      </div>`
  }

  private follow({ scrollTop }: HTMLTextAreaElement): void {
    const lines = this.querySelector('.underlined .lines')
    if (lines) lines.scrollTop = scrollTop
  }

  /** Keys to type with a thumb: notes of the chosen length, with bar lines set as bars fill. */
  private keys(): TemplateResult {
    const { keyNames } = words
    const key = (label: string, text: string, press: () => void, isOn?: boolean): TemplateResult =>
      html`<button
        type="button"
        class="btn"
        aria-label=${label}
        title=${label}
        aria-pressed=${isOn === undefined ? nothing : isOn ? 'true' : 'false'}
        @pointerdown=${(event: Event) => event.preventDefault()}
        @click=${press}
      >
        ${text}
      </button>`
    const signKey = (sign: Sign, label: string, text: string) =>
      key(label, text, () => (this.sign = this.sign === sign ? '' : sign), this.sign === sign)
    return html`<div class="keypad" role="group" aria-label=${words.keys}>
      <div class="letters7">${LETTERS.map((letter) => key(letter, letter, () => this.putLetter(letter)))}</div>
      <div class="others">
        <label
          ><span class="vh">${bringWords.midi.lengths}</span>
          <select @change=${(event: Event) => (this.length = (event.target as HTMLSelectElement).value)}>
            ${LENGTHS.map((length) => html`<option value=${length} ?selected=${length === this.length}>${bringWords.midi.lengthNames[length] ?? ''}</option>`)}
          </select></label
        >
        ${key(keyNames.rest, keyNames.rest, () => this.put(`z${this.figure()}`, true))}
        ${signKey('^', keyNames.sharp, '♯')} ${signKey('_', keyNames.flat, '♭')} ${signKey('=', keyNames.natural, '♮')}
        ${key(keyNames.lower, '↓', () => (this.octave = Math.max(-2, this.octave - 1)))}
        ${key(keyNames.higher, '↑', () => (this.octave = Math.min(2, this.octave + 1)))}
        ${key(keyNames.tie, '⁀', () => this.put('-', false, true))}
        ${key(keyNames.bar, '|', () => this.put('|', false))}
        ${key(keyNames.chord, keyNames.chord, () => this.openChord(), this.asksChord)}
        ${key(keyNames.back, '⌫', () => this.back())}
      </div>
      <p class="note octave" role="status">
        ${this.octave === 0 ? nothing : this.octave > 0 ? `${keyNames.higher} ${this.octave}` : `${keyNames.lower} ${-this.octave}`}
      </p>
      ${
        this.asksChord
          ? html`<form
              class="inrow"
              @submit=${(event: SubmitEvent) => {
                event.preventDefault()
                const field = (event.target as HTMLFormElement).querySelector('input') as HTMLInputElement
                if (field.value.trim() !== '') this.put(`"${field.value.trim().replaceAll('"', '')}"`, true)
                this.asksChord = false
              }}
            >
              <label
                >${words.chordSymbol}
                <input
                  type="text"
                  maxlength="64"
                  size="8"
                  autocomplete="off"
                  autocapitalize="sentences"
                  spellcheck="false"
              /></label>
              <button class="btn">${words.put}</button>
            </form>`
          : nothing
      }
    </div>`
  }

  private help(): TemplateResult {
    return html`<details class="how">
      <summary>${words.help}</summary>
      <dl>
        ${words.helpLines.map(
          ([sign, what]) =>
            html`<div>
              <dt><code>${sign}</code></dt>
              <dd>${what}</dd>
            </div>`,
        )}
      </dl>
      <p class="note">${words.standard}</p>
    </details>`
  }

  private seen(): TemplateResult {
    if (!this.tune) return html`<p class="soft none">${words.noneYet}</p>`
    return html`<loft-sheet isStill .tune=${this.tune} .theory=${this.theory} .engraver=${this.engraver}></loft-sheet>`
  }

  private faultList(): TemplateResult {
    const { faults, tune } = this
    const told =
      this.text.trim() === ''
        ? ''
        : faults.length > 0
          ? words.faults(faults.length)
          : tune
            ? words.fine(tune.bars.length)
            : ''
    return html`<p id="typed-state" class="state" role="status">${told}</p>
      <ol class="faults">
        ${faults.map(
          ({ issue, at }) =>
            html`<li data-severity=${issue.severity}>
              ${
                at
                  ? html`<button class="btn bare" @click=${() => this.select(at.from, at.to)}>
                      ${words.goTo(at.line, at.column)}
                    </button>`
                  : html`<b>${words.inHead}</b>`
              }
              <p>${issueText(issue)}</p>
            </li>`,
        )}
      </ol>`
  }

  private select(from: number, to: number): void {
    this.field.focus()
    this.field.setSelectionRange(from, Math.max(to, from + 1))
  }

  private onKey(event: KeyboardEvent): void {
    if (event.key !== 'Enter' || !(event.ctrlKey || event.metaKey)) return
    event.preventDefault()
    this.use()
  }

  private openChord(): void {
    this.asksChord = !this.asksChord
    if (this.asksChord)
      void this.updateComplete.then(() => this.querySelector<HTMLInputElement>('.keypad form input')?.focus())
  }

  private figure(): string {
    return lengthFigure(this.length, this.unit())
  }

  private unit(): string {
    return isWholeAbc(this.text) ? (/^L:\s*(\d+\/\d+)/m.exec(this.text)?.[1] ?? '1/8') : this.head.unit
  }

  private putLetter(letter: string): void {
    const name =
      this.octave > 0 ? letter.toLowerCase() + "'".repeat(this.octave - 1) : letter + ','.repeat(-this.octave)
    this.put(`${this.sign}${name}${this.figure()}`, true)
    this.sign = ''
  }

  /** Puts something in where the cursor stands; a note or rest after a full bar brings its bar line. */
  private put(what: string, isNote: boolean, isClose = false): void {
    const { field } = this
    const isHere = document.activeElement === field
    const [from, to] = isHere ? [field.selectionStart, field.selectionEnd] : [this.cursor, this.cursor]
    const full = (20_160 / this.head.beatType) * this.head.beats
    const bar = isNote && !isWholeAbc(this.text) ? { unit: this.unit(), fullTicks: full } : undefined
    const made = isClose
      ? { text: this.text.slice(0, from) + what + this.text.slice(to), cursor: from + what.length }
      : putIn(this.text, from, to, what, bar)
    this.#write(made)
  }

  private back(): void {
    const { field } = this
    this.#write(takeBack(this.text, document.activeElement === field ? field.selectionEnd : this.cursor))
  }

  #write({ text, cursor }: { readonly text: string; readonly cursor: number }): void {
    this.text = text
    this.cursor = cursor
    this.field.value = text
    this.field.setSelectionRange(cursor, cursor)
    this.field.scrollTop = this.field.scrollHeight
    this.#changed()
  }

  /** A key of a MIDI keyboard: one note of the chosen length, named by the key. */
  private pressed(press: KeyPress): void {
    if (press.kind !== 'down') return
    this.#notes = this.#notes.then(async () => {
      const before = this.text.slice(0, this.cursorNow())
      const name = await this.theory.ask('typedNote', press.midi, this.head.tonic, this.head.mode, before)
      this.put(`${name}${this.figure()}`, true)
    })
  }

  private cursorNow(): number {
    return document.activeElement === this.field ? this.field.selectionEnd : this.cursor
  }

  #changed(): void {
    keepTyped(this.storage, { head: this.head, text: this.text })
    this.trouble = ''
    this.#soon()
  }

  #soon(ms = SETTLE_MS): void {
    clearTimeout(this.#timer)
    this.#timer = setTimeout(() => void this.#read(), ms)
  }

  async #read(): Promise<void> {
    const asked = ++this.#asked
    if (this.text.trim() === '') {
      this.tune = undefined
      this.faults = []
      return
    }
    const { abc, headLines } = typedTune(this.head, this.text)
    const [read] = await Promise.all([this.theory.ask('read', 'abc', abc), fetchSentences()])
    if (asked !== this.#asked) return
    if (read.ok) this.tune = read.value.tune
    // What was proposed or understood is no mistake of the typist's.
    const issues = (read.ok ? read.value.issues : read.issues).filter(({ code }) => code !== 'RD16' && code !== 'RD11')
    this.faults = faultsOf(issues, this.text, headLines)
  }

  /** Written out whole: no fault, and every chord the typist's own. */
  private isPlain(): boolean {
    const chords = this.tune?.bars.flatMap((bar) => bar.chords) ?? []
    return this.faults.length === 0 && chords.length > 0 && chords.every(({ inferred }) => !inferred)
  }

  private use(take = this.done): void {
    if (this.text.trim() === '') {
      this.trouble = words.empty
      this.field.focus()
      return
    }
    const { abc } = typedTune({ ...this.head, title: this.head.title.trim() || words.untitled }, this.text)
    take({ name: this.head.title.trim() || words.untitled, format: 'abc', content: abc, isOwn: true })
  }
}
