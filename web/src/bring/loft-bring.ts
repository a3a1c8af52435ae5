/** Bring a tune: a file, pasted text or a demo; what was understood is shown and confirmed before a board is made of it. */
import { html, nothing, type TemplateResult } from 'lit'
import { customElement, property, state } from 'lit/decorators.js'
import type { ArrangedBar, Issue, TuneBar } from '@chartloft/shared-theory'
import { barList } from '../look/bars.js'
import { withSigns } from '../look/chord-symbol.js'
import { LoftElement } from '../look/element.js'
import { fieldText } from '../look/fields.js'
import { sayKey, sayKeyShort, sayMetre } from '../look/say.js'
import { cordSign } from '../look/signs.js'
import type { Surroundings } from '../shell/loft-app.js'
import { tokenIn } from '../shell/route.js'
import type { TuneFormat, TuneReading } from '../state/theory-protocol.js'
import { CallError, type NewBoard } from '../sync/http.js'
import { words } from '../words.js'
import { carried, kindOf, MOST_BYTES } from './file-kind.js'
import './loft-keys.js'

type Rights = 'unknown' | 'own' | 'public-domain' | 'licensed'
const RIGHTS = ['own', 'public-domain', 'licensed', 'unknown'] as const
interface Brought {
  readonly name: string
  readonly format: TuneFormat
  readonly bytes: Uint8Array
}
type Stage =
  | { readonly kind: 'asking'; readonly issues?: readonly Issue[]; readonly trouble?: string }
  | { readonly kind: 'reading'; readonly name: string }
  | { readonly kind: 'confirming'; readonly brought: Brought; readonly reading: TuneReading; readonly trouble?: string }
  | { readonly kind: 'opening' }
  | { readonly kind: 'open'; readonly board: NewBoard }

@customElement('loft-bring')
export class LoftBring extends LoftElement {
  @property({ attribute: false }) surroundings!: Surroundings
  @state() private stage: Stage = { kind: 'asking' }
  @state() private rights: Rights = 'unknown'
  @state() private isPasting = false
  @state() private isOver = false
  @state() private tuneTitle = ''
  @state() private demo: { readonly reading: TuneReading; readonly brought: Brought } | undefined
  @state() private demoTunes: readonly { readonly id: string; readonly title: string; readonly abc: string }[] = []

  protected override firstUpdated(): void {
    void this.loadDemo()
  }

  private async loadDemo(id?: string): Promise<void> {
    const { DEMO_TUNES } = await import('@chartloft/demo')
    this.demoTunes = DEMO_TUNES
    const tune = DEMO_TUNES.find((candidate) => candidate.id === id) ?? DEMO_TUNES[0]
    if (!tune) return
    const brought: Brought = { name: tune.title, format: 'abc', bytes: new TextEncoder().encode(tune.abc) }
    const read = await this.surroundings.theory.ask('read', 'abc', tune.abc)
    if (read.ok) this.demo = { reading: read.value, brought }
  }

  protected override render(): TemplateResult {
    const { stage } = this
    switch (stage.kind) {
      case 'asking':
        return this.asking(stage)
      case 'reading':
        return busy(words.bring.reading(stage.name))
      case 'confirming':
        return this.confirming(stage)
      case 'opening':
        return busy(words.bring.opening)
      case 'open':
        return html`<loft-keys .board=${stage.board} .origin=${this.surroundings.location.origin}></loft-keys>`
    }
  }

  private asking({ issues, trouble }: Extract<Stage, { kind: 'asking' }>): TemplateResult {
    return html`<div class="first">
        <div class="bring">
          <div>
            <h1>${words.bring.title}</h1>
            <p class="lead">${words.bring.lead}</p>
          </div>
          ${trouble || issues ? this.broken(trouble, issues ?? []) : nothing} ${this.drop()} ${this.pasting()}
          ${this.whose()} ${careful}
        </div>
        ${this.demoPart()}
      </div>
      <section class="then" aria-labelledby="then-h">
        <h2 id="then-h">${words.bring.whatThen}</h2>
        <ol>
          ${words.bring.steps.map(
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

  private broken(trouble: string | undefined, issues: readonly Issue[]): TemplateResult {
    return html`<div role="alert" class="issue">
      <p><b>${words.bring.broken}.</b> ${trouble ?? words.bring.brokenWhat}</p>
      <ul>
        ${issues.slice(0, 8).map((issue) => html`<li>${issue.message}</li>`)}
      </ul>
    </div>`
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
        <h2>${words.bring.drop}</h2>
        <p class="soft">${words.bring.formats}</p>
        <button class="btn main" @click=${() => this.querySelector<HTMLInputElement>('input[type=file]')?.click()}>
          ${words.bring.choose}
        </button>
        <input
          type="file"
          hidden
          aria-label=${words.bring.choose}
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

  private pasting(): TemplateResult {
    if (!this.isPasting) {
      return html`<div class="ways">
        <p>
          <button class="btn" @click=${() => (this.isPasting = true)}>${words.bring.paste}</button>
          <span class="soft">${words.bring.pasteNote}</span>
        </p>
      </div>`
    }
    return html`<form
      class="pasted"
      @submit=${(event: SubmitEvent) => {
        event.preventDefault()
        const text = fieldText(event, 'abc')
        if (text) {
          void this.take({ name: words.bring.pasteLabel, format: 'abc', bytes: new TextEncoder().encode(text) })
        }
      }}
    >
      <label class="field"
        ><span>${words.bring.pasteLabel}</span
        ><textarea name="abc" spellcheck="false" placeholder=${words.bring.pasteSample} required></textarea>
      </label>
      <p class="acts">
        <button class="btn">${words.bring.pasteRead}</button>
        <button class="btn bare" type="button" @click=${() => (this.isPasting = false)}>${words.cancel}</button>
      </p>
    </form>`
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
      <h2 id="demo-h">${words.bring.demoTitle}</h2>
      <p class="soft">${words.bring.demoNote}</p>
      ${
        this.demoTunes.length > 1
          ? html`<label class="field"
              ><span class="vh">${words.bring.demoPick}</span
              ><select @change=${(event: Event) => void this.loadDemo((event.target as HTMLSelectElement).value)}>
                ${this.demoTunes.map(({ id, title }) => html`<option value=${id}>${title}</option>`)}
              </select></label
            >`
          : nothing
      }
      <div class="leaf">${demo ? firstLines(demo.reading) : nothing}</div>
      <p>
        <button
          class="btn"
          aria-disabled=${demo ? 'false' : 'true'}
          @click=${() => {
            if (!demo) return
            this.rights = 'own'
            this.confirm(demo.brought, demo.reading)
          }}
        >
          ${words.bring.demoOpen}
        </button>
      </p>
    </section>`
  }

  private async takeFile(file: File): Promise<void> {
    if (file.size > MOST_BYTES) return this.refuse(words.bring.tooLarge(file.name))
    const bytes = new Uint8Array(await file.arrayBuffer())
    const format = kindOf(file.name, bytes)
    if (!format) return this.refuse(words.bring.wrongType(file.name))
    await this.take({ name: file.name, format, bytes })
  }

  private refuse(trouble: string): void {
    this.stage = { kind: 'asking', trouble }
  }

  private async take(brought: Brought): Promise<void> {
    this.stage = { kind: 'reading', name: brought.name }
    try {
      const { data, encoding } = carried(brought.format, brought.bytes)
      const read = await this.surroundings.theory.ask(
        'read',
        brought.format,
        encoding === 'utf8' ? data : brought.bytes,
      )
      if (read.ok) this.confirm(brought, read.value)
      else this.stage = { kind: 'asking', issues: read.issues }
    } catch (error) {
      this.refuse(error instanceof Error ? error.message : String(error))
    }
  }

  private confirm(brought: Brought, reading: TuneReading): void {
    this.tuneTitle = reading.tune.title || brought.name.replace(/\.[^.]*$/, '')
    if (this.rights === 'unknown') this.rights = reading.tune.rights
    this.stage = { kind: 'confirming', brought, reading }
    scrollTo(0, 0)
  }

  private confirming(stage: Extract<Stage, { kind: 'confirming' }>): TemplateResult {
    const { tune, form, keys, range, issues } = stage.reading
    const other = keys.find(({ key }) => key !== tune.key.key)
    const confidence = keys.find(({ key }) => key === tune.key.key)?.confidence ?? 0
    const chordCount = tune.bars.reduce((sum, bar) => sum + bar.chords.length, 0)
    const fact = (name: string, value: string, about: string) =>
      html`<div>
        <dt>${name}</dt>
        <dd><b>${value}</b> <span class="soft">${about}</span></dd>
      </div>`
    return html`<section class="found">
      <h1>${words.bring.readTitle}</h1>
      ${stage.trouble ? html`<p class="issue" role="alert">${stage.trouble}</p>` : nothing}
      <dl>
        <div>
          <dt><label for="tune-title">${words.bring.tuneTitle}</label></dt>
          <dd>
            <input
              id="tune-title"
              type="text"
              maxlength="200"
              .value=${this.tuneTitle}
              @input=${(event: Event) => (this.tuneTitle = (event.target as HTMLInputElement).value)}
            />
          </dd>
        </div>
        ${fact(
          words.bring.key,
          sayKey(tune.key),
          words.bring.sure(confidence) + (other && confidence < 0.75 ? words.bring.nextBest(withSigns(other.key)) : ''),
        )}
        ${fact(
          words.bring.metre,
          sayMetre(tune.metre),
          tune.pickupTicks > 0
            ? words.bring.pickup(tune.pickupTicks / (20160 / tune.metre.beatType))
            : words.bring.noPickup,
        )}
        <div>
          <dt>${words.bring.form}</dt>
          <dd class="form">
            <span class="letters"
              >${form.sections.map(
                (section) =>
                  html`<span class="letter ${section.letter.length > 2 ? 'word' : ''}">${section.letter}</span>`,
              )}</span
            >
            <span class="soft">${words.bring.formBars(form.sections.map((section) => section.bars))}</span>
          </dd>
        </div>
        ${
          range
            ? fact(
                words.bring.melody,
                words.bring.melodyRange(pitchName(tune, range.lowMidi), pitchName(tune, range.highMidi)),
                words.bring.highest(range.highBars.map((bar) => bar + (tune.pickupTicks > 0 ? 0 : 1))),
              )
            : nothing
        }
        ${fact(words.bring.chords, words.bring.chordCount(chordCount), '')}
        ${issues.slice(0, 6).map(
          (issue) =>
            html`<div class="warn">
              <dt>${words.bring.notSure}</dt>
              <dd><span class="soft">${withSigns(issue.message)}</span></dd>
            </div>`,
        )}
      </dl>
      <div class="leaf">${firstLines(stage.reading)}</div>
      ${this.whose()}
      <p class="acts">
        <button class="btn main" @click=${() => void this.open(stage)}>${words.bring.confirm}</button>
        <button class="btn" @click=${() => (this.stage = { kind: 'asking' })}>${words.bring.another}</button>
      </p>
      ${this.rights === 'own' || this.rights === 'public-domain' ? nothing : careful}
    </section>`
  }

  private async open(stage: Extract<Stage, { kind: 'confirming' }>): Promise<void> {
    const { api } = this.surroundings
    const { brought } = stage
    this.stage = { kind: 'opening' }
    try {
      const title = this.tuneTitle.trim() || stage.reading.tune.title || words.bring.title
      const board = await api.createBoard(title, {
        format: brought.format,
        ...carried(brought.format, brought.bytes),
      })
      const token = tokenIn(board.links.leader.slice(board.links.leader.indexOf('#')))
      if (token) await api.openSession(token)
      if (this.rights !== 'unknown' && this.rights !== stage.reading.tune.rights) {
        await api.command(board.boardId, 'setRights', { rights: this.rights })
      }
      this.stage = { kind: 'open', board }
      scrollTo(0, 0)
    } catch (error) {
      if (!(error instanceof CallError)) throw error
      const told = [error.message, ...error.issues.slice(0, 3).map((issue) => issue.message)].join(' ')
      this.stage = { ...stage, trouble: told }
    }
  }
}

const careful = html`<p class="care">
  <span><b>${words.bring.careTitle}</b> ${words.bring.care}</span>
</p>`

const busy = (text: string): TemplateResult =>
  html`<div class="busy" role="status"><progress aria-hidden="true"></progress>${text}</div>`

/** The tune's first section as a chart, up to eight bars. */
function firstLines({ tune }: TuneReading): TemplateResult | typeof nothing {
  const section = tune.sections[0]
  if (!section) return nothing
  const bars = tune.bars.slice(section.startBar, section.startBar + Math.min(8, section.bars))
  const pitches = tune.bars.flatMap((bar) => bar.melody.map((note) => note.midi))
  const range = [pitches.reduce((a, b) => Math.min(a, b), 127), pitches.reduce((a, b) => Math.max(a, b), 0)] as const
  return html`<header>
      <span class="letter ${section.letter.length > 2 ? 'word' : ''}">${section.letter}</span>
      <p class="facts">${words.board.bars(section.bars)} · ${sayKeyShort(tune.key)} · ${sayMetre(tune.metre)}</p>
    </header>
    ${barList(
      bars.map((bar, index) => ({
        bar: asShown(bar, index),
        ...(index === bars.length - 1 ? { closes: 'section' as const } : {}),
      })),
      { label: `${section.letter}, ${words.bring.chords}`, range },
    )}`
}

/** A bar of the tune with the little a chart line asks of an arranged one. */
const asShown = (bar: TuneBar, index: number): ArrangedBar => ({
  ...bar,
  barIndex: index,
  sectionId: '',
  pass: '',
  groups: [bar.metre.beats],
  tempoBpm: 120,
  feel: '',
  parts: {},
  provenance: { decision: 'tune', rule: '', tuneBar: bar.barIndex },
})

/** The name the tune itself gives a pitch. */
function pitchName(tune: TuneReading['tune'], midi: number): string {
  for (const bar of tune.bars) for (const note of bar.melody) if (note.midi === midi) return withSigns(note.name)
  return String(midi)
}
