/** What was read, beside the engraved result: every fact, every doubt, and the ways to put them right, before anything is made of it. */
import type { Issue, Tune, TuneMend } from '@chartloft/shared-theory'
import { html, nothing, type PropertyValues, type TemplateResult } from 'lit'
import { customElement, property, state } from 'lit/decorators.js'
import { Engraver } from '../charts/engraver.js'
import { musicWords } from '../look/music-text.js'
import { noteName } from '../look/note-names.js'
import { LoftElement } from '../look/element.js'
import { Observe } from '../state/observe.js'
import type { Theory } from '../state/theory.js'
import { bringWords } from '../words-bring.js'
import { issueText } from './issue-text.js'
import type { Read } from './brought.js'
import { type Fact, formRow, keyRow, metreRow, tempoRow } from './facts.js'
import { tuneChoice } from './file-choice.js'
import './loft-bar-desk.js'
import type { AskMend, LoftBarDesk } from './loft-bar-desk.js'
import './loft-sheet.js'
import type { LoftSheet } from './loft-sheet.js'
import { mended, type MendHistory, startWith, takenBack } from './mend-history.js'
import { sayMended } from './say-mended.js'
import { barNumberOf } from './sheet-marks.js'
import { TuneListener } from './tune-listener.js'
import { WhichMelody } from './which-melody.js'

const FEW_ISSUES = 6
const WHOLE = 'whole'

@customElement('loft-found')
export class LoftFound extends LoftElement {
  @property({ attribute: false }) read!: Read
  @property({ attribute: false }) theory!: Theory
  @property() trouble = ''
  /** Another tune or line of the same file. */
  @property({ attribute: false }) choose!: (chosen: Read['chosen']) => Promise<void>
  @state() private history!: MendHistory
  @state() private open: Fact | undefined
  @state() private wrong: { readonly fact: Fact; readonly text: string } | undefined
  @state() private said = ''
  @state() private showsAll = false
  @state() private bar: number | undefined
  @state() private twins: readonly number[] = []
  private readonly melodies = new WhichMelody(this)
  readonly engraver = new Engraver()
  listener!: TuneListener
  /** Corrections one after the other: each is made to what the one before gave. */
  #queue: Promise<unknown> = Promise.resolve()
  /** What is said of the next reading in place of its title. */
  #saidNext = ''

  /** What is said when the next reading is here, in place of its title. */
  sayNext(text: string): void {
    this.#saidNext = text
  }

  protected readonly observe = new Observe(this, () => (this.listener ? [this.listener.heard] : []))

  override disconnectedCallback(): void {
    super.disconnectedCallback()
    this.listener?.close()
    this.engraver.close()
  }

  protected override willUpdate(changed: PropertyValues): void {
    if (!this.listener) {
      this.listener = new TuneListener(this.theory)
      this.observe.refresh()
    }
    if (!changed.has('read')) return
    this.history = startWith(this.read.reading)
    this.bar = undefined
    this.showsAll = false
    this.listener.stop()
    const { title, source } = this.tune
    this.said = this.#saidNext || bringWords.said.read(title, source.issues.length)
    this.#saidNext = ''
  }

  /** The tune as it stands now, put right. */
  get tune(): Tune {
    return this.history.now.tune
  }

  /** The tune once everything asked for is done: a field is left and the board opened with one press. */
  async settled(): Promise<Tune> {
    await this.#queue
    return this.tune
  }

  protected override firstUpdated(): void {
    this.querySelector<HTMLElement>('h1')?.focus()
  }

  protected override render(): TemplateResult {
    const heard = this.listener.heard.value
    return html`<section class="found" @keydown=${(event: KeyboardEvent) => this.onKey(event)}>
      <h1 tabindex="-1">${bringWords.title}</h1>
      <p class="soft">${bringWords.lookHere}</p>
      ${this.trouble ? html`<p class="issue" role="alert">${this.trouble}</p>` : nothing}
      ${
        this.issues.length > 0
          ? html`<button class="btn bare todoubts" @click=${() => this.toDoubts()}>
              ${bringWords.issues(this.issues.length)}
            </button>`
          : nothing
      }
      <div class="readout">
        <div class="understood">
          <div class="facts-part">${this.facts()}</div>
          ${this.doubts()}
        </div>
        <div class="beside">
          <div class="sheetacts">
            ${this.listenButton()}
            ${
              this.history.before.length > 0
                ? html`<button class="btn bare" @click=${() => this.takeBack()}>
                    ${bringWords.undo(bringWords.deed[this.history.before.at(-1)?.kind ?? 'title'])}
                  </button>`
                : nothing
            }
            <span class="note">${bringWords.sheetHow} ${this.hasMarks() ? bringWords.sheetAsked : nothing}</span>
          </div>
          <loft-sheet
            .tune=${this.tune}
            .issues=${this.issues}
            .theory=${this.theory}
            .engraver=${this.engraver}
            .chosen=${this.bar}
            .sounding=${heard.stage === 'playing' ? heard.bar : undefined}
            @choose-bar=${(event: CustomEvent<number>) => this.chooseBar(event.detail)}
          ></loft-sheet>
          ${this.desk()}
        </div>
      </div>
      <p class="vh" role="status" aria-live="polite">${this.said}</p>
    </section>`
  }

  private get issues(): readonly Issue[] {
    return this.tune.source.issues
  }

  private hasMarks(): boolean {
    return (
      this.issues.some(({ bar }) => bar !== undefined) ||
      this.tune.bars.some(({ chords }) => chords.some(({ inferred }) => inferred))
    )
  }

  private listenButton(): TemplateResult {
    const heard = this.listener.heard.value
    const isThis = heard.stage !== 'silent' && heard.what === WHOLE
    const text = !isThis ? bringWords.listen : heard.stage === 'loading' ? bringWords.gettingReady : bringWords.stop
    return html`<button class="btn" aria-pressed=${isThis ? 'true' : 'false'} @click=${() => this.listen(WHOLE, 0)}>
      ${text}
    </button>`
  }

  private facts(): TemplateResult {
    const { tune, range } = this.history.now
    const shown = {
      reading: this.history.now,
      open: this.open,
      isKeySet: this.history.before.some(({ kind }) => kind === 'key'),
      wrong: this.wrong,
      toggle: (fact: Fact) => {
        this.open = this.open === fact ? undefined : fact
        this.wrong = undefined
      },
      ask: (fact: Fact, mend: TuneMend) => void this.ask(fact, mend),
      look: (bar: number) => this.lookAt(bar),
    }
    const { contents } = this.read
    return html`<h2 class="vh">${bringWords.facts}</h2>
      <dl>
        ${
          contents?.kind === 'tunes' && contents.tunes.length > 1
            ? tuneChoice(contents.tunes, this.read.chosen.tuneNumber, (tuneNumber) => void this.choose({ tuneNumber }))
            : nothing
        }
        ${this.melodies.row()}
        <div>
          <dt><label for="tune-title">${bringWords.tuneTitle}</label></dt>
          <dd class="wide">
            <input
              id="tune-title"
              type="text"
              maxlength="200"
              autocomplete="off"
              .value=${tune.title}
              @change=${(event: Event) => void this.setTitle(event.target as HTMLInputElement)}
            />
          </dd>
        </div>
        ${keyRow(shown)} ${metreRow(shown)} ${formRow(shown)} ${tempoRow(shown)} ${this.chordsRow()}
        <div>
          <dt>${bringWords.melody}</dt>
          <dd class="wide">
            ${
              range
                ? html`<b>${bringWords.melodyRange(pitchName(tune, range.lowMidi), pitchName(tune, range.highMidi))}</b>
                    <span class="soft"
                      >${bringWords.highest(range.highBars.map((bar) => barNumberOf(tune, bar)))}</span
                    >`
                : html`<span class="soft">${bringWords.noMelody}</span>`
            }
          </dd>
        </div>
      </dl>`
  }

  private chordsRow(): TemplateResult {
    const chords = this.tune.bars.flatMap((bar) => bar.chords)
    const proposed = chords.filter(({ inferred }) => inferred).length
    return html`<div class=${proposed > 0 ? 'warn' : ''}>
      <dt>${bringWords.chords}</dt>
      <dd>
        <b>${bringWords.chordCount(chords.length)}</b>
        <span class="soft">${bringWords.chordsProposed(proposed, chords.length) || bringWords.chordsNote}</span>
      </dd>
      <dd class="act">
        ${
          proposed > 0
            ? html`<button class="btn bare" @click=${() => void this.mend({ kind: 'confirm' })}>
                ${bringWords.confirmAll}
              </button>`
            : chords.length === 0
              ? html`<button class="btn bare" @click=${() => void this.mend({ kind: 'propose' })}>
                  ${bringWords.propose}
                </button>`
              : nothing
        }
      </dd>
    </div>`
  }

  private doubts(): TemplateResult {
    const { issues, tune } = this
    const shown = this.showsAll ? issues : issues.slice(0, FEW_ISSUES)
    return html`<section class="doubts" aria-labelledby="doubts-h">
      <h2 id="doubts-h" tabindex="-1">${bringWords.issues(issues.length)}</h2>
      <ol>
        ${shown.map((issue, at) => {
          const place = issue.bar === undefined ? undefined : bringWords.barNumber(barNumberOf(tune, issue.bar))
          const title =
            issue.bar === undefined ? bringWords.wholeFile : bringWords.barTitle(barNumberOf(tune, issue.bar))
          return html`<li data-severity=${issue.severity}>
            <b>${title}</b>
            <p>${issueText(issue)}</p>
            <span class="acts">
              ${
                place === undefined
                  ? nothing
                  : html`<button class="btn bare" @click=${() => this.lookAt(issue.bar ?? 0)}>
                      ${bringWords.lookAt(place)}
                    </button>`
              }
              <button
                class="btn bare"
                aria-label=${bringWords.settle + bringWords.settleOf(title)}
                @click=${() => void this.settle(at)}
              >
                ${bringWords.settle}
              </button>
            </span>
          </li>`
        })}
      </ol>
      ${
        issues.length > FEW_ISSUES
          ? html`<button
              class="btn"
              aria-expanded=${this.showsAll ? 'true' : 'false'}
              @click=${() => (this.showsAll = !this.showsAll)}
            >
              ${this.showsAll ? bringWords.showFewer : bringWords.showAll(issues.length)}
            </button>`
          : nothing
      }
    </section>`
  }

  /** The focus goes to the next one, or to the heading where none is left. */
  private async settle(at: number): Promise<void> {
    await this.mend({ kind: 'settle', issue: at })
    await this.updateComplete
    const rows = [...this.querySelectorAll<HTMLElement>('.doubts li .acts')]
    const next = rows[Math.min(at, rows.length - 1)]?.querySelector<HTMLElement>('button:last-of-type')
    ;(next ?? this.querySelector<HTMLElement>('#doubts-h'))?.focus()
  }

  private desk(): TemplateResult | typeof nothing {
    const { bar, tune } = this
    if (bar === undefined || bar >= tune.bars.length) return nothing
    const heard = this.listener.heard.value
    return html`<loft-bar-desk
      .tune=${tune}
      .bar=${bar}
      .issues=${this.issues}
      .twins=${this.twins}
      .mend=${this.mend}
      .theory=${this.theory}
      .isPlaying=${heard.stage !== 'silent' && heard.what !== WHOLE}
      @choose-bar=${(event: CustomEvent<number>) => this.chooseBar(event.detail)}
      @listen-bar=${(event: CustomEvent<number>) => this.listen('bar', event.detail)}
      @close-bar=${() => this.closeBar()}
    ></loft-bar-desk>`
  }

  private onKey(event: KeyboardEvent): void {
    if (event.key === 'Escape' && this.bar !== undefined) {
      event.preventDefault()
      this.closeBar()
      return
    }
    const isTyping = (event.target as Element).closest('input, textarea, select')
    if (isTyping || !(event.ctrlKey || event.metaKey) || event.key.toLowerCase() !== 'z' || event.shiftKey) return
    event.preventDefault()
    this.takeBack()
  }

  private takeBack(): void {
    const last = this.history.before.at(-1)
    if (!last) return
    this.history = takenBack(this.history)
    this.said = bringWords.undone(bringWords.deed[last.kind])
    void this.findTwins()
  }

  private chooseBar(bar: number): void {
    const wasOpen = this.bar !== undefined
    this.bar = bar
    void this.findTwins()
    void this.updateComplete.then(() => {
      if (!wasOpen) this.querySelector<LoftBarDesk>('loft-bar-desk')?.focusFirst()
      this.querySelector(`loft-sheet [data-bar="${bar}"]`)?.scrollIntoView({ block: 'nearest' })
    })
  }

  private closeBar(): void {
    const { bar } = this
    this.bar = undefined
    if (bar !== undefined) this.querySelector<LoftSheet>('loft-sheet')?.focusBar(bar)
  }

  /** On a narrow page they stand below the whole sheet. */
  private toDoubts(): void {
    const heading = this.querySelector<HTMLElement>('#doubts-h')
    heading?.focus({ preventScroll: true })
    heading?.scrollIntoView({ block: 'start' })
  }

  private lookAt(bar: number): void {
    this.bar = bar
    void this.findTwins()
    this.querySelector<LoftSheet>('loft-sheet')?.focusBar(bar)
  }

  private async findTwins(): Promise<void> {
    const { bar, tune } = this
    this.twins = []
    if (bar === undefined || bar >= tune.bars.length) return
    const twins = await this.theory.ask('twins', tune, bar)
    if (bar === this.bar && tune === this.tune) this.twins = twins
  }

  private async ask(fact: Fact, mend: TuneMend): Promise<void> {
    const text = await this.mend(mend)
    this.wrong = text === undefined ? undefined : { fact, text }
  }

  private async setTitle(field: HTMLInputElement): Promise<void> {
    if ((await this.mend({ kind: 'title', title: field.value })) !== undefined) {
      field.value = this.tune.title
      this.said = bringWords.titleEmpty
    }
  }

  /** Makes a correction; what is wrong with it, or undefined where it is done. */
  private readonly mend: AskMend = (mend) => {
    const made = this.#queue.then(async () => {
      const answer = await this.theory.ask('mend', this.tune, mend)
      if (!answer.ok) return musicWords(answer.issues[0]?.message ?? '')
      this.said = sayMended(mend, this.tune, answer.value.tune)
      this.history = mended(this.history, answer.value, mend.kind)
      void this.findTwins()
      return undefined
    })
    this.#queue = made.catch(() => undefined)
    return made
  }

  private listen(what: string, fromBar: number): void {
    const heard = this.listener.heard.value
    if (heard.stage !== 'silent' && heard.what === what) return this.listener.stop()
    void this.listener.play(what, this.tune, { fromBar })
  }
}

/** The name the tune itself gives a pitch. */
function pitchName(tune: Tune, midi: number): string {
  for (const bar of tune.bars)
    for (const note of bar.melody)
      if (note.midi === midi) return noteName(note.name.replace(/-?\d+$/, '')) + (/-?\d+$/.exec(note.name)?.[0] ?? '')
  return String(midi)
}
