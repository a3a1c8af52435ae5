/** Bring a tune: a file, what is typed or played, or a demo; what was understood is shown and put right before a board is made of it. */
import type { FileContents, Issue } from '@chartloft/shared-theory'
import { html, nothing, type TemplateResult } from 'lit'
import { customElement, property, state } from 'lit/decorators.js'
import { LoftElement } from '../look/element.js'
import { cordSign } from '../look/signs.js'
import type { Surroundings } from '../shell/loft-app.js'
import type { TuneReading } from '../state/theory-protocol.js'
import { CallError, type NewBoard } from '../sync/http.js'
import { words } from '../words.js'
import { bringWords } from '../words-bring.js'
import { musicWords } from '../look/music-text.js'
import { type Brought, firstChoice, type Read } from './brought.js'
import { firstLines } from './first-lines.js'
import { HEAD_BYTES, kindOf, MOST_BYTES } from './file-kind.js'
import { fetchSentences, placedText } from './issue-text.js'
import './loft-found.js'
import type { LoftFound } from './loft-found.js'
import './loft-typing.js'
import { keepTyped } from './typed-draft.js'

type Rights = 'unknown' | 'own' | 'public-domain' | 'licensed'
const RIGHTS = ['own', 'public-domain', 'licensed', 'unknown'] as const
type Stage =
  | {
      readonly kind: 'asking'
      readonly broken?: Brought
      readonly issues?: readonly Issue[]
      readonly trouble?: string
    }
  | { readonly kind: 'typing'; readonly withKeyboard: boolean }
  | { readonly kind: 'reading'; readonly name: string }
  | { readonly kind: 'found'; readonly read: Read; readonly trouble?: string }
  | { readonly kind: 'opening'; readonly read: Read }

/** Reading longer than this shows that it goes on, and the way out. */
const PATIENCE_MS = 500
/** A request body holds 1 MiB, the tune in it as a text in quotes. */
const MOST_BODY_LETTERS = 1_000_000

@customElement('loft-bring')
export class LoftBring extends LoftElement {
  @property({ attribute: false }) surroundings!: Surroundings
  @state() private stage: Stage = { kind: 'asking' }
  @state() private rights: Rights = 'unknown'
  @state() private isOver = false
  /** Reading goes on long enough to be shown. */
  @state() private isSlow = false
  @state() private said = ''
  @state() private demo: { readonly reading: TuneReading; readonly brought: Brought } | undefined
  /** The demo tune was asked for before it was read: it opens as soon as it is. */
  @state() private wantsDemo = false
  @state() private demoTunes: readonly { readonly id: string; readonly title: string; readonly abc: string }[] = []
  #asked = 0

  protected override firstUpdated(): void {
    void this.loadDemo()
  }

  private async loadDemo(id?: string): Promise<void> {
    const { DEMO_TUNES } = await import('@chartloft/demo')
    this.demoTunes = DEMO_TUNES
    const tune = DEMO_TUNES.find((candidate) => candidate.id === id) ?? DEMO_TUNES[0]
    if (!tune) return
    const brought: Brought = { name: tune.title, format: 'abc', content: tune.abc }
    try {
      const read = await this.surroundings.theory.ask('read', 'abc', tune.abc)
      if (!read.ok) return
      this.demo = { reading: read.value, brought }
      if (this.wantsDemo && this.stage.kind === 'asking') this.openDemo()
    } catch {
      // reason: a reading that was left took the demo with it; it is asked for again with the next look
    }
  }

  /** On a slow device the press comes before the tune: it counts all the same. */
  private openDemo(): void {
    const { demo } = this
    this.wantsDemo = demo === undefined
    if (!demo) {
      this.said = words.working
      return
    }
    this.rights = 'own'
    this.show({ brought: demo.brought, chosen: {}, reading: demo.reading })
  }

  protected override render(): TemplateResult {
    return html`${this.content()}
      <p class="vh" role="status" aria-live="polite">${this.said}</p>`
  }

  private content(): TemplateResult {
    const { stage } = this
    const { theory, storage } = this.surroundings
    switch (stage.kind) {
      case 'asking':
        return this.asking(stage)
      case 'typing':
        return html`<loft-typing
          .theory=${theory}
          .storage=${storage}
          .withKeyboard=${stage.withKeyboard}
          .done=${(brought: Brought) => void this.take(brought)}
          .openAtOnce=${(brought: Brought) => void this.take(brought, true)}
          .leave=${() => this.ask()}
        ></loft-typing>`
      case 'reading':
        return this.isSlow
          ? html`<div class="busy reading" role="status">
              <progress aria-hidden="true"></progress>${bringWords.reading(stage.name)}
              <button class="btn" @click=${() => this.cancel(stage.name)}>${words.cancel}</button>
            </div>`
          : html`<div class="reading"></div>`
      case 'found':
        return this.found(stage)
      case 'opening':
        return html`<div class="busy" role="status"><progress aria-hidden="true"></progress>${bringWords.opening}</div>`
    }
  }

  private ask(): void {
    this.stage = { kind: 'asking' }
    this.wantsDemo = false
    scrollTo(0, 0)
    if (!this.demo) void this.loadDemo()
  }

  private asking({ broken, issues, trouble }: Extract<Stage, { kind: 'asking' }>): TemplateResult {
    return html`<div class="first">
        <div class="bring">
          <div>
            <h1>${words.bring.title}</h1>
            <p class="lead">${bringWords.lead}</p>
          </div>
          ${trouble || issues ? this.broken(trouble, issues ?? [], broken) : nothing} ${this.drop()}
          <div class="ways">
            <p>
              <button class="btn" @click=${() => this.type(false)}>${bringWords.type}</button>
              <span class="soft">${bringWords.typeNote}</span>
            </p>
            <p>
              <button class="btn" @click=${() => this.type(true)}>${bringWords.play}</button>
              <span class="soft">${bringWords.playNote}</span>
            </p>
          </div>
          ${this.whose()} ${careful}
        </div>
        ${this.demoPart()}
      </div>
      <section class="then" aria-labelledby="then-h">
        <h2 id="then-h">${bringWords.whatThen}</h2>
        <ol>
          ${bringWords.steps.map(
            ({ status, title, text }) =>
              html`<li>
                ${cordSign(status)}
                <h3>${title}</h3>
                <p>${text}</p>
              </li>`,
          )}
        </ol>
      </section>`
  }

  private type(withKeyboard: boolean): void {
    this.stage = { kind: 'typing', withKeyboard }
    scrollTo(0, 0)
  }

  private broken(trouble: string | undefined, issues: readonly Issue[], brought: Brought | undefined): TemplateResult {
    const text = brought?.format === 'abc' ? brought.content : undefined
    return html`<div role="alert" class="issue">
      <p><b>${bringWords.broken}.</b> ${trouble ?? bringWords.brokenWhat}</p>
      <ul>
        ${issues.slice(0, 8).map((issue) => html`<li>${placedText(issue)}</li>`)}
      </ul>
      ${
        text === undefined
          ? nothing
          : html`<p>
              <button class="btn" @click=${() => this.mendText(text)}>${bringWords.mendText}</button>
            </p>`
      }
    </div>`
  }

  /** An ABC file that does not read is opened where its mistakes are seen. */
  private mendText(content: string | Uint8Array): void {
    const text = typeof content === 'string' ? content : new TextDecoder().decode(content)
    keepTyped(this.surroundings.storage, {
      head: { title: '', tonic: 'C', mode: 'major', beats: 4, beatType: 4, unit: '1/4' },
      text: text.replaceAll(/\r\n?/g, '\n'),
    })
    this.type(false)
  }

  private drop(): TemplateResult {
    return html`<div
      class="drop ${this.isOver ? 'over' : ''}"
      @dragover=${(event: DragEvent) => {
        event.preventDefault()
        this.isOver = true
      }}
      @dragleave=${() => (this.isOver = false)}
      @drop=${(event: DragEvent) => {
        event.preventDefault()
        this.isOver = false
        const file = event.dataTransfer?.files[0]
        if (file) void this.takeFile(file)
      }}
    >
      <svg class="blank" viewBox="0 0 600 192" preserveAspectRatio="none" aria-hidden="true">
        <path d="M0 8H600M0 52H600M0 96H600M0 140H600M0 184H600" />
        <path class="b" d="M1 8V184M150 8V184M450 8V184M599 8V184" />
      </svg>
      <div class="on">
        <h2>${bringWords.drop}</h2>
        <p class="soft">${bringWords.formats}</p>
        <button class="btn main" @click=${() => this.querySelector<HTMLInputElement>('input[type=file]')?.click()}>
          ${bringWords.choose}
        </button>
        <input
          type="file"
          hidden
          aria-label=${bringWords.choose}
          accept=".abc,.musicxml,.xml,.mxl,.mid,.midi,.txt"
          @change=${(event: Event) => {
            const input = event.target as HTMLInputElement
            const file = input.files?.[0]
            if (file) void this.takeFile(file)
            input.value = ''
          }}
        />
      </div>
    </div>`
  }

  private whose(): TemplateResult {
    return html`<fieldset class="whose">
      <legend>${words.bring.whose}</legend>
      ${RIGHTS.map(
        (rights) =>
          html`<label
            ><input
              type="radio"
              name="whose"
              .checked=${this.rights === rights}
              @change=${() => (this.rights = rights)}
            />
            ${words.bring.rights[rights]}</label
          >`,
      )}
    </fieldset>`
  }

  private demoPart(): TemplateResult {
    const { demo } = this
    return html`<section class="demo" aria-labelledby="demo-h">
      <h2 id="demo-h">${bringWords.demoTitle}</h2>
      <p class="soft">${bringWords.demoNote}</p>
      ${
        this.demoTunes.length > 1
          ? html`<label class="field"
              ><span class="vh">${bringWords.demoPick}</span
              ><select @change=${(event: Event) => void this.loadDemo((event.target as HTMLSelectElement).value)}>
                ${this.demoTunes.map(({ id, title }) => html`<option value=${id}>${title}</option>`)}
              </select></label
            >`
          : nothing
      }
      <div class="leaf">
        ${demo ? firstLines(demo.reading) : this.wantsDemo ? html`<p class="busy">${words.working}</p>` : nothing}
      </div>
      <p>
        <button class="btn" aria-busy=${this.wantsDemo ? 'true' : nothing} @click=${() => this.openDemo()}>
          ${bringWords.demoOpen}
        </button>
      </p>
    </section>`
  }

  /** Its kind is told from its first bytes, its size before any of the rest is fetched. */
  private async takeFile(file: File): Promise<void> {
    const head = new Uint8Array(await file.slice(0, HEAD_BYTES).arrayBuffer())
    const format = kindOf(file.name, head)
    if (!format) return this.refuse(bringWords.wrongType(file.name))
    if (file.size > MOST_BYTES[format])
      return this.refuse(bringWords.tooLarge(file.name, file.size, format, MOST_BYTES[format]))
    await this.take({ name: file.name, format, content: new Uint8Array(await file.arrayBuffer()) })
  }

  private refuse(trouble: string): void {
    this.stage = { kind: 'asking', trouble }
    scrollTo(0, 0)
  }

  private cancel(name: string): void {
    this.#asked++
    this.surroundings.theory.abandon()
    this.said = bringWords.cancelled(name)
    this.ask()
  }

  private async take(brought: Brought, opensAtOnce = false): Promise<void> {
    const asked = ++this.#asked
    this.stage = { kind: 'reading', name: brought.name }
    this.isSlow = false
    const timer = setTimeout(() => (this.isSlow = true), PATIENCE_MS)
    const { theory } = this.surroundings
    const { format, content } = brought
    try {
      const [read] = await Promise.all([theory.ask('read', format, content), fetchSentences()])
      if (asked !== this.#asked) return
      if (!read.ok) return this.notRead(brought, read.issues)
      // A score of one part has nothing to choose from, and its reading says so.
      const isAlone = format === 'musicxml' && !read.value.issues.some(({ code }) => code === 'RD14')
      const contents = isAlone || brought.isOwn ? undefined : await theory.ask('contents', format, content)
      if (asked !== this.#asked) return
      const held: FileContents | undefined = contents?.ok ? contents.value : undefined
      const reading = named(read.value, brought)
      const taken: Read = { brought, ...(held ? { contents: held } : {}), chosen: firstChoice(held), reading }
      if (opensAtOnce) await this.open(taken)
      else this.show(taken)
    } catch (error) {
      if (asked === this.#asked) this.refuse(error instanceof Error ? error.message : String(error))
    } finally {
      clearTimeout(timer)
    }
  }

  private notRead(brought: Brought, issues: readonly Issue[]): void {
    this.stage = { kind: 'asking', broken: brought, issues }
    scrollTo(0, 0)
  }

  private show(read: Read): void {
    if (this.rights === 'unknown') this.rights = read.reading.tune.rights
    this.stage = { kind: 'found', read }
    scrollTo(0, 0)
  }

  /** Another tune or line of the same file; what was put right belonged to the one before. */
  private async choose(read: Read, chosen: Read['chosen']): Promise<void> {
    const { format, content } = read.brought
    const answer = await this.surroundings.theory.ask('read', format, content, chosen)
    if (this.stage.kind !== 'found') return
    this.stage = answer.ok
      ? { kind: 'found', read: { ...read, chosen, reading: named(answer.value, read.brought) } }
      : { ...this.stage, trouble: answer.issues.map(({ message }) => musicWords(message)).join(' ') }
  }

  private found({ read, trouble }: Extract<Stage, { kind: 'found' }>): TemplateResult {
    const { brought } = read
    return html`<loft-found
        .read=${read}
        .theory=${this.surroundings.theory}
        .trouble=${trouble ?? ''}
        .choose=${(chosen: Read['chosen']) => this.choose(read, chosen)}
      ></loft-found>
      <div class="foundfoot">
        ${this.whose()}
        <p class="acts">
          <button class="btn main" @click=${() => void this.open(read)}>${bringWords.confirm}</button>
          ${
            brought.format === 'abc' && brought.isOwn
              ? html`<button class="btn" @click=${() => this.type(false)}>${bringWords.mendText}</button>`
              : nothing
          }
          <button class="btn" @click=${() => this.ask()}>${bringWords.another}</button>
        </p>
        ${this.rights === 'own' || this.rights === 'public-domain' ? nothing : careful}
      </div>`
  }

  private async open(read: Read): Promise<void> {
    const { api, theory, storage } = this.surroundings
    const found = this.querySelector<LoftFound>('loft-found')
    const tune = { ...(found ? await found.settled() : read.reading.tune), rights: this.rights }
    const reading = { ...read.reading, tune }
    const back: Read = { ...read, reading }
    this.stage = { kind: 'opening', read }
    try {
      const data = await theory.ask('tuneFile', tune)
      if (JSON.stringify(data).length > MOST_BODY_LETTERS) {
        this.stage = { kind: 'found', read: back, trouble: bringWords.tooLong }
        return
      }
      const board = await api.createBoard(tune.title, { format: 'tune', data })
      if (read.brought.isOwn) keepTyped(storage)
      this.dispatchEvent(new CustomEvent<NewBoard>('board-made', { detail: board, bubbles: true }))
    } catch (error) {
      if (!(error instanceof CallError)) throw error
      const told = [error.message, ...error.issues.slice(0, 3).map((issue) => issue.message)].join(' ')
      this.stage = { kind: 'found', read: back, trouble: told }
    }
  }
}

/** A tune whose file says no title is called after the file. */
function named(reading: TuneReading, { name }: Brought): TuneReading {
  const title = name.replace(/\.[^.]*$/, '')
  if (reading.tune.title !== 'Untitled' || title === '') return reading
  return { ...reading, tune: { ...reading.tune, title } }
}

const careful = html`<p class="care">
  <span><b>${words.bring.careTitle}</b> ${words.bring.care}</span>
</p>`
