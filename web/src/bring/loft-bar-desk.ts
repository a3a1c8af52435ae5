/** One bar of the tune, opened: its notes as letters, its chords beat by beat, whether a section begins here, and what is not sure about it. */
import type { Issue, Tune, TuneBar, TuneMend } from '@chartloft/shared-theory'
import { html, nothing, type PropertyValues, type TemplateResult } from 'lit'
import { customElement, property, state } from 'lit/decorators.js'
import { chordSymbol } from '../look/chord-symbol.js'
import { withSigns } from '../look/note-names.js'
import { LoftElement } from '../look/element.js'
import type { Theory } from '../state/theory.js'
import { bringWords } from '../words-bring.js'
import { issueText } from './issue-text.js'
import { beatName, chordPlaces } from './beats.js'
import { barNumberOf } from './sheet-marks.js'

/** What a bar's desk asks for; the answer is what is wrong with it, undefined where it was done. */
export type AskMend = (mend: TuneMend) => Promise<string | undefined>

/** What was asked: the chord at a tick, the section, the notes. */
type Place = number | 'section' | 'notes'

@customElement('loft-bar-desk')
export class LoftBarDesk extends LoftElement {
  @property({ attribute: false }) tune!: Tune
  @property({ type: Number }) bar = 0
  @property({ attribute: false }) issues: readonly Issue[] = []
  /** Other bars with the same music in the same place. */
  @property({ attribute: false }) twins: readonly number[] = []
  @property({ attribute: false }) mend!: AskMend
  @property({ attribute: false }) theory!: Theory
  @property({ type: Boolean }) isPlaying = false
  /** The bar's melody as letters. */
  @state() private letters = ''
  @state() private withTwins = true
  @state() private wrong: { readonly place: Place; readonly text: string } | undefined

  protected override willUpdate(changed: PropertyValues): void {
    if (changed.has('bar')) {
      this.wrong = undefined
      this.withTwins = true
    }
    if (changed.has('bar') || changed.has('tune')) void this.spell()
  }

  private async spell(): Promise<void> {
    const { tune, bar } = this
    const letters = await this.theory.ask('melodyText', tune, bar)
    if (tune === this.tune && bar === this.bar) this.letters = letters
  }

  private get own(): TuneBar {
    return this.tune.bars[this.bar] as TuneBar
  }

  protected override render(): TemplateResult {
    const { tune, bar, own } = this
    const section = tune.sections.findLast(({ startBar }) => startBar <= bar) ?? tune.sections[0]
    const title = bringWords.barTitle(barNumberOf(tune, bar))
    const about = this.issues.filter((issue) => issue.bar === bar)
    return html`<section class="bardesk" aria-labelledby="bardesk-h">
      <header>
        <h2 id="bardesk-h">
          ${title} <span class="soft">${section ? bringWords.inSection(section.letter) : nothing}</span>
        </h2>
        <button class="btn" aria-label=${bringWords.close + bringWords.closeBar} @click=${() => this.say('close-bar')}>
          ${bringWords.close}
        </button>
      </header>
      ${about.map((issue) => html`<p class="about"><b>${bringWords.severity[issue.severity]}.</b> ${issueText(issue)}</p>`)}
      ${this.chordFields(own)} ${this.noteField()} ${this.sectionField()}
      <p class="acts">
        <button class="btn bare" ?disabled=${bar === 0} @click=${() => this.say('choose-bar', bar - 1)}>
          ${bringWords.before}
        </button>
        <button
          class="btn bare"
          ?disabled=${bar >= tune.bars.length - 1}
          @click=${() => this.say('choose-bar', bar + 1)}
        >
          ${bringWords.after}
        </button>
        <button class="btn bare" @click=${() => this.say('listen-bar', bar)}>
          ${this.isPlaying ? bringWords.stop : bringWords.listenBar}
        </button>
      </p>
    </section>`
  }

  private chordFields(own: TuneBar): TemplateResult {
    const { tune, bar, twins, wrong } = this
    const isProposed = own.chords.some(({ inferred }) => inferred)
    const before = tune.bars
      .slice(0, bar)
      .findLast(({ chords }) => chords.length > 0)
      ?.chords.at(-1)
    const goesOn = own.chords[0]?.startTick !== 0 && before
    return html`<div class="beatrow">${chordPlaces(own).map((tick) => this.chordField(own, tick))}</div>
      ${typeof wrong?.place === 'number' ? html`<p class="issue" role="alert" id="bardesk-wrong">${wrong.text}</p>` : nothing}
      <p class="under">
        ${
          isProposed
            ? html`<button class="btn" @click=${() => void this.ask({ kind: 'confirm', bars: this.meant() }, 0)}>
                ${bringWords.confirmBar}
              </button>`
            : nothing
        }
        ${goesOn ? html`<span class="carried">${chordSymbol(before.chord)} ${bringWords.carried}</span>` : nothing}
        ${
          twins.length > 0
            ? html`<label class="check"
                ><input
                  type="checkbox"
                  .checked=${this.withTwins}
                  @change=${(event: Event) => (this.withTwins = (event.target as HTMLInputElement).checked)}
                />
                ${bringWords.twins(twins.map((twin) => barNumberOf(tune, twin)))}</label
              >`
            : nothing
        }
      </p>`
  }

  /** Telephones begin it with a capital and leave the rest: 'GM7' is another chord than 'Gm7'. */
  private chordField(own: TuneBar, tick: number): TemplateResult {
    const placed = own.chords.find(({ startTick }) => startTick === tick)
    const beat = beatName(own.metre, tick)
    const isWrong = this.wrong?.place === tick
    return html`<label class=${placed?.inferred ? 'proposed' : ''}
      ><span class="vh">${bringWords.chordAt(beat)}</span><span aria-hidden="true">${beat}</span
      ><input
        type="text"
        name="chord-${tick}"
        autocapitalize="sentences"
        autocomplete="off"
        autocorrect="off"
        spellcheck="false"
        maxlength="64"
        aria-invalid=${isWrong ? 'true' : nothing}
        aria-describedby=${isWrong ? 'bardesk-wrong' : nothing}
        .value=${placed ? withSigns(placed.chord.symbol) : ''}
        placeholder=${bringWords.noChordHere}
        @change=${(event: Event) => void this.setChord(tick, (event.target as HTMLInputElement).value)}
        @keydown=${(event: KeyboardEvent) => void this.onEnter(event, tick)}
      />${placed?.inferred ? html`<small>${bringWords.proposed}</small>` : nothing}</label
    >`
  }

  /** What the file or the reader has wrong is written as letters; the sheet beside shows what became of it. */
  private noteField(): TemplateResult {
    const isWrong = this.wrong?.place === 'notes'
    return html`<label class="notefield"
        ><span>${bringWords.notes}</span
        ><input
          type="text"
          name="notes"
          autocapitalize="off"
          autocomplete="off"
          autocorrect="off"
          spellcheck="false"
          maxlength="2000"
          placeholder=${bringWords.noNotes}
          aria-invalid=${isWrong ? 'true' : nothing}
          aria-describedby=${isWrong ? 'bardesk-notes-wrong' : 'bardesk-notes-how'}
          .value=${this.letters}
          @change=${(event: Event) => void this.setNotes((event.target as HTMLInputElement).value)}
      /></label>
      ${
        isWrong
          ? html`<p class="issue" role="alert" id="bardesk-notes-wrong">${this.wrong?.text}</p>`
          : html`<small id="bardesk-notes-how">${bringWords.notesHow}</small>`
      }`
  }

  private sectionField(): TemplateResult {
    const { tune, bar, wrong } = this
    const here = tune.sections.find(({ startBar }) => startBar === bar)
    if (tune.pickupTicks > 0 && bar === 0) return html``
    return html`<form
        class="mark"
        @submit=${(event: SubmitEvent) => {
          event.preventDefault()
          const name = (event.target as HTMLFormElement).querySelector('input')?.value ?? ''
          void this.ask({ kind: 'section', bar, name }, 'section')
        }}
      >
        <label
          ><span>${here ? bringWords.sectionHereName : bringWords.sectionHere}</span>
          <input
            type="text"
            name="section"
            maxlength="24"
            size="6"
            autocomplete="off"
            .value=${here?.letter ?? ''}
            aria-invalid=${wrong?.place === 'section' ? 'true' : nothing}
        /></label>
        <button class="btn">${here ? bringWords.set : bringWords.add}</button>
        ${
          here && tune.sections.length > 1
            ? html`<button
                class="btn bare"
                type="button"
                @click=${() => void this.ask({ kind: 'remove-section', bar }, 'section')}
              >
                ${bringWords.remove}<span class="vh"
                  >${bringWords.removeSection(here.letter, barNumberOf(tune, bar))}</span
                >
              </button>`
            : nothing
        }
      </form>
      ${wrong?.place === 'section' ? html`<p class="issue" role="alert">${wrong.text}</p>` : nothing}`
  }

  /** This bar and, where they are meant too, those like it. */
  private meant(): readonly number[] {
    return [this.bar, ...(this.withTwins ? this.twins : [])]
  }

  private async setChord(tick: number, symbol: string): Promise<boolean> {
    const placed = this.own.chords.find(({ startTick }) => startTick === tick)
    if (symbol.trim() === (placed ? withSigns(placed.chord.symbol) : '')) return true
    return this.ask({ kind: 'chord', bars: this.meant(), startTick: tick, symbol }, tick)
  }

  private async setNotes(text: string): Promise<void> {
    if (text.trim() !== this.letters) await this.ask({ kind: 'notes', bars: this.meant(), text }, 'notes')
  }

  private async ask(mend: TuneMend, place: Place): Promise<boolean> {
    const text = await this.mend(mend)
    this.wrong = text === undefined ? undefined : { place, text }
    return text === undefined
  }

  /** Enter takes the chord and goes on to the next beat, after the last to the next bar. */
  private async onEnter(event: KeyboardEvent, tick: number): Promise<void> {
    if (event.key !== 'Enter') return
    event.preventDefault()
    const field = event.target as HTMLInputElement
    if (!(await this.setChord(tick, field.value))) return
    const fields = [...this.querySelectorAll<HTMLInputElement>('.beatrow input')]
    const next = fields[fields.indexOf(field) + 1]
    if (next) next.focus()
    else if (this.bar < this.tune.bars.length - 1) {
      this.say('choose-bar', this.bar + 1)
      await this.updateComplete
      requestAnimationFrame(() => this.focusFirst())
    }
  }

  focusFirst(): void {
    this.querySelector<HTMLInputElement>('.beatrow input')?.focus()
  }

  private say(name: 'close-bar' | 'choose-bar' | 'listen-bar', detail?: number): void {
    this.dispatchEvent(new CustomEvent(name, { detail, bubbles: true }))
  }
}
