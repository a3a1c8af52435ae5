/** Locking and unlocking: the leader's hand, with the reason everybody can read. Members see who locked what, and why. */
import { consume } from '@lit/context'
import { html, nothing, type PropertyValues, type TemplateResult } from 'lit'
import { customElement, property, state } from 'lit/decorators.js'
import { LoftElement } from '../../look/element.js'
import { musicText } from '../../look/music-text.js'
import { fieldText } from '../../look/fields.js'
import { cordSign } from '../../look/signs.js'
import { Observe } from '../../state/observe.js'
import { type Room, roomContext } from '../../state/room.js'
import { keptAside } from '../../state/kept-aside.js'
import type { SlotView } from '../../state/slots.js'
import { words } from '../../words.js'
import type { NumberedOption } from './desk-options.js'

@customElement('loft-lock')
export class LoftLock extends LoftElement {
  @consume({ context: roomContext }) private room!: Room
  @property({ attribute: false }) view!: SlotView
  @property({ attribute: false }) shown: readonly NumberedOption[] = []
  @state() private chosenId: string | undefined
  @state() private isWorking = false
  @state() private needsReason = false
  protected readonly observe = new Observe(this, () => [
    this.room?.ledger.entries,
    this.room?.draft.view,
    this.room?.form,
  ])

  protected override willUpdate(changed: PropertyValues): void {
    if (changed.has('view') && this.view.lock) void this.room.ledger.loadAll().catch(() => undefined)
  }

  protected override render(): TemplateResult | typeof nothing {
    if (this.view.lock) return this.locked(this.view.lock)
    return html`${this.aside()}${this.room.isLeader ? this.form() : nothing}`
  }

  /** Draft edits that are not in place: said while it is locked, offered once it is not. */
  private aside(): TemplateResult | typeof nothing {
    const { view, room } = this
    const kept = keptAside(view, room.draft.view.value)
    if (kept.length === 0) return nothing
    return html`<section class="aside" aria-labelledby="aside-h">
      <h3 id="aside-h">${view.lock ? words.desk.aside : words.desk.asideAgain}</h3>
      <ul>
        ${kept.map(
          ({ option, edits }) =>
            html`<li>
              <p><b>${musicText(option.option.title)}</b>: ${edits.map((edit) => room.sayEdit(edit)).join('; ')}</p>
              ${
                view.lock
                  ? nothing
                  : html`<button class="btn" @click=${() => room.draft.try(view.slot, option.option, room.me.name)}>
                      ${words.desk.putInPlace}
                    </button>`
              }
            </li>`,
        )}
      </ul>
    </section>`
  }

  private locked(lock: NonNullable<SlotView['lock']>): TemplateResult {
    const entry = this.room.ledger.entries.value.find((row) => row.seq === lock.seq)
    return html`<section class="lockedby" tabindex="-1" aria-label=${words.status('locked')}>
      <p class="said">${cordSign('locked')} ${musicText(lock.option.title)}</p>
      <p>
        ${entry ? words.desk.lockedBy(entry.by.name || words.join.nobody, entry.at) : nothing}
        ${lock.why ? words.desk.lockedWhy(lock.why) : nothing}
      </p>
      ${this.aside()}
      ${
        this.room.isLeader
          ? html`<form class="fieldrow" @submit=${(event: SubmitEvent) => void this.unlock(event)}>
              <label
                ><span>${words.desk.unlockReason}</span
                ><input type="text" name="reason" maxlength="500" aria-describedby="unlock-note"
              /></label>
              <button class="btn" aria-disabled=${this.isWorking ? 'true' : 'false'}>${words.desk.unlock}</button>
              ${this.instead(lock.option.id)}
              <p class="note" id="unlock-note" role=${this.needsReason ? 'alert' : nothing}>
                ${this.needsReason ? words.desk.unlockNeeds : nothing}
              </p>
            </form>`
          : nothing
      }
    </section>`
  }

  /** The other answers on the desk, each one press away: unlocked and locked anew with the one reason. */
  private instead(lockedId: string): TemplateResult | typeof nothing {
    const others = this.shown.filter(({ option }) => option.id !== lockedId)
    if (others.length === 0) return nothing
    return html`<fieldset class="instead">
      <legend>${words.desk.lockInsteadWhich}</legend>
      ${others.map(
        ({ number, option }) =>
          html`<button class="btn" name="instead" value=${option.id} aria-disabled=${this.isWorking ? 'true' : 'false'}>
            <span>${words.desk.lockInstead(number)}</span> <span class="soft">${musicText(option.title)}</span>
          </button>`,
      )}
    </fieldset>`
  }

  private form(): TemplateResult {
    const chosen = this.chosen()
    return html`<form
      class="lockform"
      aria-labelledby="lock-h"
      @submit=${(event: SubmitEvent) => void this.lock(event)}
    >
      <div>
        <h2 id="lock-h" tabindex="-1">${words.desk.lock(this.view.slot.decision)}</h2>
        <p class="soft">${words.desk.lockNote}</p>
      </div>
      <fieldset>
        <legend>${words.desk.lockWhich}</legend>
        ${this.shown.map(
          ({ number, option }) =>
            html`<label
              ><input
                type="radio"
                name="which"
                .checked=${chosen?.option.id === option.id}
                @change=${() => (this.chosenId = option.id)}
              />
              ${number} ${musicText(option.title)}</label
            >`,
        )}
      </fieldset>
      <div class="because">
        <label for="because">${words.desk.lockWhy}</label>
        <input id="because" name="why" type="text" maxlength="500" />
      </div>
      <div class="do">
        <button class="btn main" aria-disabled=${chosen && !this.isWorking ? 'false' : 'true'}>
          ${cordSign('locked')}${words.desk.lockButton(chosen?.number)}
        </button>
        ${chosen ? nothing : html`<p class="note">${words.desk.lockFirst}</p>`}
      </div>
    </form>`
  }

  /** What was picked here; until then what the band hears now, if it lies on the desk. */
  private chosen(): NumberedOption | undefined {
    const id = this.chosenId ?? this.view.tryingId
    return this.shown.find(({ option }) => option.id === id)
  }

  private async lock(event: SubmitEvent): Promise<void> {
    event.preventDefault()
    const chosen = this.chosen()
    if (!chosen || this.isWorking) return
    const why = fieldText(event, 'why')
    this.isWorking = true
    const { slot } = this.view
    const answer = await this.room.command('lock', { slot, option: chosen.option, ...(why ? { why } : {}) })
    this.isWorking = false
    if (answer) this.room.draft.stopTrying(slot)
  }

  private async unlock(event: SubmitEvent): Promise<void> {
    event.preventDefault()
    const reason = fieldText(event, 'reason')
    this.needsReason = reason === ''
    if (this.needsReason) this.querySelector<HTMLElement>('input[name=reason]')?.focus()
    if (this.needsReason || this.isWorking) return
    const { submitter } = event
    const insteadId = submitter instanceof HTMLButtonElement ? submitter.value : ''
    const instead = this.shown.find(({ option }) => option.id === insteadId)
    const { slot } = this.view
    this.isWorking = true
    const unlocked = await this.room.command('unlock', { slot, reason })
    if (unlocked && instead) {
      // This page may not have heard of its own unlocking yet; what it has seen is the entry it was answered.
      const baseSeq = unlocked.seq
      const locked = await this.room.command('lock', { slot, option: instead.option, why: reason, baseSeq })
      if (locked) this.room.draft.stopTrying(slot)
    }
    this.isWorking = false
  }
}
