/** Editing an option's chords by hand: the rules answer at once, in words, and every change can be put back. */
import { consume } from '@lit/context'
import { html, nothing, type PropertyValues, type TemplateResult } from 'lit'
import { customElement, property, state } from 'lit/decorators.js'
import { repeat } from 'lit/directives/repeat.js'
import type { HandEdit, Issue, Option, Plan, PlacedChord } from '@chartloft/shared-theory'
import { editKey } from '@chartloft/shared-theory/board'
import { withSigns } from '../../look/chord-symbol.js'
import { LoftElement } from '../../look/element.js'
import { musicText } from '../../look/music-text.js'
import { beatOf } from '../../look/say.js'
import type { ExcerptBar } from '../../state/excerpt.js'
import { type Room, roomContext } from '../../state/room.js'
import type { SlotView } from '../../state/slots.js'
import type { DeskOption } from '../../state/theory-protocol.js'
import { words } from '../../words.js'
import type { NumberedOption } from './desk-options.js'

/** How long the rules wait with their answer while the band plays on with the edit. */
const AFTER_SOUND_MS = 300

type ChordEdit = Extract<HandEdit, { kind: 'chord' }>

@customElement('loft-hand-edit')
export class LoftHandEdit extends LoftElement {
  @consume({ context: roomContext }) private room!: Room
  @property({ attribute: false }) view!: SlotView
  @property({ attribute: false }) numbered!: NumberedOption
  @property({ attribute: false }) desk!: DeskOption
  /** What was typed that is no chord, by edit key. */
  @state() private unreadable: ReadonlyMap<string, string> = new Map()
  @state() private issues: readonly Issue[] = []
  #checked = ''

  protected override willUpdate(changed: PropertyValues): void {
    if (changed.has('numbered')) this.check()
  }

  /** Asks the validator about the edits as they stand, once for each state of them. */
  private check(): void {
    const { option } = this.numbered
    const plan = this.room.plan.value
    const key = JSON.stringify(option.handEdits ?? [])
    if (key === this.#checked || !plan) return
    this.#checked = key
    if (!option.handEdits?.length) {
      this.issues = []
      return
    }
    // While the band plays, what is heard goes first: one worker does both.
    setTimeout(() => void this.ask(plan, option, key), this.room.sounding.value?.isPlaying ? AFTER_SOUND_MS : 0)
  }

  private async ask(plan: Plan, option: Option, key: string): Promise<void> {
    if (this.#checked !== key) return
    try {
      const issues = await this.room.theory.ask('check', plan, this.view.slot, option)
      if (this.#checked === key) this.issues = issues
    } catch (error) {
      this.room.say(error)
    }
  }

  private editAt(bar: ExcerptBar, startTick: number, symbol: string): ChordEdit {
    return { kind: 'chord', at: bar.ref, metre: bar.bar.metre, key: bar.bar.key.key, startTick, symbol }
  }

  private async change(bar: ExcerptBar, placed: PlacedChord, symbol: string): Promise<void> {
    const edit = this.editAt(bar, placed.startTick, symbol.trim())
    const key = editKey(edit)
    if (edit.symbol === placed.chord.symbol) return this.unread(key, undefined)
    const read = await this.room.theory.ask('chord', edit.symbol)
    if (!read.ok) return this.unread(key, read.issues[0]?.message ?? words.desk.noChord)
    this.unread(key, undefined)
    this.room.draft.edit(this.view.slot, this.numbered.option, edit, this.room.me.name)
  }

  private unread(key: string, message: string | undefined): void {
    const next = new Map(this.unreadable)
    if (message === undefined) next.delete(key)
    else next.set(key, message)
    this.unreadable = next
  }

  protected override render(): TemplateResult {
    const { number, option } = this.numbered
    const edited = new Set((option.handEdits ?? []).map(editKey))
    return html`<form
      class="hand"
      aria-label=${words.desk.editing(number)}
      @submit=${(event: Event) => event.preventDefault()}
    >
      <h3>${words.desk.editByHand}</h3>
      ${repeat(
        this.desk.excerpt.bars.flatMap((bar) => bar.bar.chords.map((placed) => ({ bar, placed }))),
        // An edit may widen the excerpt: each field stays with its bar, and so does the focus.
        ({ bar, placed }) => editKey(this.editAt(bar, placed.startTick, '')),
        ({ bar, placed }) => this.field(bar, placed, edited),
      )}
      <div role="status">
        ${this.issues.map((issue) => html`<p class="issue">${musicText(issue.message)}</p>`)}
        ${
          this.issues.length === 0 && edited.size > 0 && this.unreadable.size === 0
            ? html`<p class="issue calm">${words.desk.noIssues}</p>`
            : nothing
        }
      </div>
      <p class="acts">
        <button class="btn" type="button" @click=${() => this.dispatchEvent(new CustomEvent('done'))}>
          ${edited.size > 0 ? words.desk.keepDraft : words.desk.doneEditing}
        </button>
      </p>
    </form>`
  }

  private field(bar: ExcerptBar, placed: PlacedChord, edited: ReadonlySet<string>): TemplateResult {
    const key = editKey(this.editAt(bar, placed.startTick, ''))
    const id = `edit-${this.numbered.number}-${bar.bar.barIndex}-${placed.startTick}`
    const wrong = this.unreadable.get(key)
    return html`<div class="fld ${edited.has(key) ? 'changed' : ''}">
        <label for=${id}>${words.desk.editPlace(bar.bar.barIndex + 1, beatOf(bar.bar, placed.startTick))}</label>
        <input
          id=${id}
          type="text"
          spellcheck="false"
          autocapitalize="off"
          maxlength="40"
          aria-invalid=${wrong ? 'true' : nothing}
          aria-describedby=${wrong ? `${id}-issue` : nothing}
          .value=${placed.chord.symbol}
          @change=${(event: Event) => void this.change(bar, placed, (event.target as HTMLInputElement).value)}
        />
        ${
          edited.has(key)
            ? html`<button
                class="btn bare"
                type="button"
                @click=${() => this.room.draft.unedit(this.numbered.option.id, key)}
              >
                ${words.desk.putBack}
              </button>`
            : html`<span></span>`
        }
      </div>
      ${wrong ? html`<p class="issue" id="${id}-issue" role="alert">${withSigns(wrong)}</p>` : nothing}`
  }
}
