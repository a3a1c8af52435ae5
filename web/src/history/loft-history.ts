/** History: every accepted command, newest first; states with names; any of them read, compared, and brought back as a new entry. */
import { consume } from '@lit/context'
import { html, nothing, type TemplateResult } from 'lit'
import { customElement, property, state } from 'lit/decorators.js'
import type { LedgerEntry } from '@chartloft/shared-theory'
import { withSigns } from '../look/chord-symbol.js'
import { LoftElement } from '../look/element.js'
import { fieldText } from '../look/fields.js'
import { Observe } from '../state/observe.js'
import { type Room, roomContext } from '../state/room.js'
import { boardPath, historyPath } from '../shell/route.js'
import { words } from '../words.js'
import { compareWords } from '../words-compare.js'
import './loft-compare.js'
import './loft-then.js'
import { isMusical, type Moment, readAddress } from './moments.js'

/** Entries listed before somebody asks for all of them. */
const LISTED_FIRST = 40

@customElement('loft-history')
export class LoftHistory extends LoftElement {
  @consume({ context: roomContext }) private room!: Room
  /** What of the history is looked at: '' all of it, '7' what stood after entry 7, '3-now' two states compared. */
  @property() at = ''
  @state() private listsAll = false
  protected readonly observe = new Observe(this, () => [this.room?.ledger.entries, this.room?.ledger.state])

  protected override firstUpdated(): void {
    this.room.ledger.loadAll().catch((error: unknown) => this.room.say(error))
  }

  protected override render(): TemplateResult {
    const address = readAddress(this.at)
    if (address.kind === 'list') return html`<div class="quiet">${this.list()}</div>`
    return html`<div class="quiet">
      <nav aria-label=${words.history.title}>
        <p class="crumb"><a href=${boardPath(this.room.boardId, 'history')}>${words.history.title}</a></p>
      </nav>
      ${
        address.kind === 'one'
          ? html`<loft-then .seq=${address.seq}></loft-then>`
          : html`<h1>${compareWords.title}</h1>
              ${this.chooser(address.before, address.after)}
              <loft-compare .first=${address.before} .second=${address.after}></loft-compare>`
      }
    </div>`
  }

  private list(): TemplateResult {
    const entries = [...this.room.ledger.entries.value].reverse()
    const versions = [...(this.room.board?.versions ?? [])].reverse()
    const names = new Map(this.room.board?.versions.map(({ name, seq }) => [seq, name]))
    const listed = this.listsAll ? entries : entries.slice(0, LISTED_FIRST)
    const newest = entries[0]?.seq ?? 0
    return html`<div>
        <h1>${words.history.title}</h1>
        <p class="lead">${words.history.lead}</p>
      </div>
      ${newest > 1 ? this.chooser(String(this.lastMusical(newest)), 'now') : nothing}
      <section aria-labelledby="named-h">
        <h2 id="named-h">${words.history.namedTitle}</h2>
        ${
          versions.length === 0
            ? html`<p class="soft">${words.history.noNames}</p>`
            : html`<ul class="list">
                ${versions.map(({ name, seq }) => {
                  const entry = entries.find((candidate) => candidate.seq === seq + 1)
                  return html`<li>
                    <p>
                      <b>“${name}”</b><br /><span class="soft"
                        >${words.history.after(seq)}${entry ? html` · ${this.byWhom(entry)}` : nothing}</span
                      >
                    </p>
                    ${this.acts(seq, newest)}
                  </li>`
                })}
              </ul>`
        }
        <form class="fieldrow" @submit=${(event: SubmitEvent) => void this.name(event)}>
          <label><span>${words.history.nameIt}</span><input type="text" name="name" maxlength="80" required /></label>
          <button class="btn">${words.history.nameButton}</button>
        </form>
      </section>
      <section aria-labelledby="entries-h">
        <h2 id="entries-h">${words.history.entriesTitle}</h2>
        ${this.room.isLeader ? html`<p class="note">${words.history.restoreNote}</p>` : nothing}
        ${entries.length === 0 ? html`<p class="soft">${words.history.empty}</p>` : nothing}
        <ol class="list" reversed>
          ${listed.map((entry) => {
            const name = names.get(entry.seq)
            return html`<li>
              <p>
                <b>${withSigns(words.history.row(entry))}</b
                >${name ? html` <span>${words.history.named(name)}</span>` : nothing}<br /><span class="soft"
                  >${entry.seq} · ${this.byWhom(entry)}</span
                >
              </p>
              ${this.acts(entry.seq, newest)}
            </li>`
          })}
        </ol>
        ${
          listed.length < entries.length
            ? html`<p>
                <button class="btn bare" @click=${() => (this.listsAll = true)}>
                  ${words.history.showAll(entries.length)}
                </button>
              </p>`
            : nothing
        }
      </section>`
  }

  private byWhom(entry: LedgerEntry): string {
    return `${entry.by.name || words.join.nobody}, ${words.history.when(entry.at)}`
  }

  /** The newest entry before the last change to the music: what one most likely compares with now. */
  private lastMusical(newest: number): number {
    const last = this.room.ledger.entries.value.findLast((entry) => isMusical(entry) && entry.seq > 1)
    return last ? last.seq - 1 : newest - 1
  }

  private acts(seq: number, newest: number): TemplateResult {
    const { boardId, isLeader } = this.room
    const link = (at: string, text: string) =>
      html`<a href=${historyPath(boardId, at)} aria-label=${words.history.actOn(text, seq)}>${text}</a>`
    return html`<p class="acts">
      ${link(String(seq), words.history.whatStood)}
      ${seq < newest ? link(`${seq}-now`, words.history.compareNow) : nothing}
      ${
        isLeader && seq < newest
          ? html`<button
              class="btn bare"
              aria-label=${words.history.actOn(words.history.restore, seq)}
              @click=${() => void this.restore(seq)}
            >
              ${words.history.restore}
            </button>`
          : nothing
      }
    </p>`
  }

  private async restore(toSeq: number): Promise<void> {
    if (await this.room.command('restoreVersion', { toSeq })) this.room.news.set(words.history.restored)
  }

  /** Two lists of states: now, named ones, and after each entry that changed the music. */
  private chooser(before: Moment, after: Moment): TemplateResult {
    const field = (name: 'before' | 'after', label: string, value: Moment) =>
      html`<p class="field">
        <label for="moment-${name}">${label}</label>
        <select id="moment-${name}" name=${name}>
          ${this.moments(value)}
        </select>
      </p>`
    return html`<form
      class="pairform"
      aria-label=${compareWords.formLabel}
      @submit=${(event: SubmitEvent) => this.compare(event)}
    >
      ${field('before', compareWords.first, before)}${field('after', compareWords.second, after)}
      <button class="btn">${compareWords.show}</button>
    </form>`
  }

  private moments(value: Moment): TemplateResult {
    const option = (moment: Moment, text: string) =>
      html`<option value=${moment} ?selected=${moment === value}>${text}</option>`
    const versions = [...(this.room.board?.versions ?? [])].reverse()
    const named = new Set(versions.map(({ seq }) => String(seq)))
    const entries = this.room.ledger.entries.value
      .filter((entry) => (isMusical(entry) || String(entry.seq) === value) && !named.has(String(entry.seq)))
      .reverse()
    return html`<optgroup label=${compareWords.nowGroup}>
        ${option('now', compareWords.now)}${option('heard', compareWords.heard)}
      </optgroup>
      ${
        versions.length === 0
          ? nothing
          : html`<optgroup label=${compareWords.namedGroup}>
              ${versions.map(({ name, seq }) => option(String(seq), `“${name}”`))}
            </optgroup>`
      }
      <optgroup label=${compareWords.entriesGroup}>
        ${entries.map((entry) => option(String(entry.seq), `${entry.seq} · ${withSigns(compareWords.entry(entry))}`))}
      </optgroup>`
  }

  private compare(event: SubmitEvent): void {
    event.preventDefault()
    const [before, after] = [fieldText(event, 'before'), fieldText(event, 'after')]
    this.dispatchEvent(
      new CustomEvent('open-page', { bubbles: true, detail: historyPath(this.room.boardId, `${before}-${after}`) }),
    )
  }

  private async name(event: SubmitEvent): Promise<void> {
    event.preventDefault()
    const form = event.target as HTMLFormElement
    const name = fieldText(form, 'name')
    if (name && (await this.room.command('nameVersion', { name }))) form.reset()
  }
}
