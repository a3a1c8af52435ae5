/** Who plays what, when: the tune's player in each chorus, and for solos who, how often, on cue, trading, backgrounds. */
import { consume } from '@lit/context'
import { html, nothing, type TemplateResult } from 'lit'
import { customElement, state } from 'lit/decorators.js'
import { repeat } from 'lit/directives/repeat.js'
import type { PartSpec, PassPlan } from '@chartloft/shared-theory'
import { LoftElement } from '../look/element.js'
import { Observe } from '../state/observe.js'
import { type Room, roomContext } from '../state/room.js'
import { words } from '../words.js'
import { changedIn, linePlayers, MOST_TIMES, type PassChange, withoutSolo, withSolo } from './pass-plans.js'
import { type Outcome, saveRow } from './save-row.js'
import { passFacts, passName } from './say-pass.js'
import { sayReach } from './say-reach.js'
import { unsavedOf } from './unsaved.js'

const TRADES = [0, 2, 4, 8] as const

@customElement('loft-passes')
export class LoftPasses extends LoftElement {
  @consume({ context: roomContext }) private room!: Room
  @state() private isWorking = false
  @state() private outcome: Outcome = 'none'
  protected readonly observe = new Observe(this, () =>
    this.room ? [this.room.ledger.state, this.room.form, unsavedOf(this.room).roadmap.value] : [],
  )

  private get saved(): readonly PassPlan[] {
    return this.room.board?.roadmap ?? []
  }

  private get unsaved() {
    return unsavedOf(this.room).roadmap
  }

  private get roadmap(): readonly PassPlan[] {
    return this.unsaved.value.value ?? this.saved
  }

  protected override render(): TemplateResult {
    const lineup = this.room.board?.lineup ?? []
    return html`<section aria-labelledby="passes-h">
      <h2 id="passes-h" tabindex="-1">${words.details.passes}</h2>
      <p class="soft">${words.details.passesNote}</p>
      ${this.room.isLeader ? this.editor(lineup) : this.list(lineup)}
    </section>`
  }

  private list(lineup: readonly PartSpec[]): TemplateResult {
    return html`<ol class="list band">
      ${this.saved.map(
        (pass) =>
          html`<li>
            <p>
              <b>${passName(this.saved, pass)}</b>
              <span class="soft">${passFacts(pass, lineup).join(', ')}</span>
            </p>
          </li>`,
      )}
    </ol>`
  }

  private editor(lineup: readonly PartSpec[]): TemplateResult {
    const { roadmap, saved, unsaved } = this
    const isChanged = JSON.stringify(roadmap) !== JSON.stringify(saved)
    const isOvertaken = isChanged && !this.isWorking && unsaved.isOvertaken(saved)
    return html`<ol class="passes">
        ${repeat(
          roadmap,
          ({ id }) => id,
          (pass) => this.row(pass, lineup),
        )}
      </ol>
      <p>
        <button class="btn" type="button" @click=${() => this.edit(withSolo(roadmap))}>${words.details.addSolo}</button>
      </p>
      ${saveRow({
        label: words.details.savePasses,
        isChanged,
        isWorking: this.isWorking,
        outcome: this.outcome,
        ...(isOvertaken ? { overtaken: words.details.overtaken.roadmap } : {}),
        save: () => void this.save(),
        putBack: () => {
          this.outcome = 'none'
          unsaved.drop()
        },
        keepMine: () => {
          unsaved.keepOver(saved, this.room.board?.seq ?? 0)
          this.requestUpdate()
        },
      })}`
  }

  private row(pass: PassPlan, lineup: readonly PartSpec[]): TemplateResult {
    const name = passName(this.roadmap, pass)
    const warning = this.warning(pass, lineup)
    const change = (next: PassChange) => this.edit(changedIn(this.roadmap, pass.id, next))
    return html`<li>
      <fieldset class="passrow">
        <legend>${name}</legend>
        ${pass.kind === 'solo' ? this.solo(pass, name, lineup, change) : this.chorus(pass, lineup, change)}
      </fieldset>
      ${warning ? html`<p class="issue" role="status">${warning}</p>` : nothing}
    </li>`
  }

  private chorus(pass: PassPlan, lineup: readonly PartSpec[], change: (next: PassChange) => void): TemplateResult {
    const lead = lineup.find(({ role }) => role === 'lead')
    return select(
      words.details.melody,
      known(lineup, pass.melody),
      [
        ['', words.details.usualLead(lead?.name ?? words.details.nobody)],
        ...linePlayers(lineup)
          .filter(({ id }) => id !== lead?.id)
          .map(({ id, name }) => [id, name] as const),
      ],
      (melody) => change({ melody }),
    )
  }

  private solo(
    pass: PassPlan,
    name: string,
    lineup: readonly PartSpec[],
    change: (next: PassChange) => void,
  ): TemplateResult {
    return html`${select(
        words.details.soloist,
        known(lineup, pass.soloist),
        [['', words.details.nobody], ...lineup.map((part) => [part.id, part.name] as const)],
        (soloist) => change({ soloist }),
      )}
      ${select(
        words.details.times,
        String(pass.times ?? 1),
        upTo(Math.max(MOST_TIMES, pass.times ?? 1)).map(
          (times) => [String(times), words.details.timesOf(times)] as const,
        ),
        (times) => change({ times: Number(times) }),
      )}
      ${select(
        words.details.trading,
        String(pass.trading ?? 0),
        [...new Set([...TRADES, pass.trading ?? 0])].map(
          (bars) => [String(bars), words.details.tradingOf(bars)] as const,
        ),
        (trading) => change({ trading: Number(trading) }),
      )}
      <span class="checks">
        ${check(words.details.onCue, pass.open === true, (isOpen) => change({ isOpen }))}
        ${check(words.details.backgrounds, pass.backgrounds === true, (hasBackgrounds) => change({ hasBackgrounds }))}
      </span>
      <button
        class="btn bare"
        type="button"
        aria-label=${words.details.actOn(words.details.removeSolo, name)}
        @click=${() => this.takeOut(pass, name)}
      >
        ${words.details.removeSolo}
      </button>`
  }

  /** Words where somebody else than the lead has the tune and cannot reach it; the lead's are said with the line-up. */
  private warning(pass: PassPlan, lineup: readonly PartSpec[]): string | undefined {
    const player = lineup.find(({ id, role }) => id === pass.melody && role !== 'lead')
    const bars = this.room.form.value?.bars.filter((bar) => bar.pass.split('#')[0] === pass.id) ?? []
    const pitches = bars.flatMap((bar) => bar.melody.map(({ midi }) => midi))
    if (!player || pitches.length === 0) return undefined
    const range = [pitches.reduce((a, b) => Math.min(a, b)), pitches.reduce((a, b) => Math.max(a, b))] as const
    return sayReach(
      range,
      bars[0]?.key,
      player,
      lineup.filter(({ id }) => id !== player.id),
    )
  }

  private edit(roadmap: readonly PassPlan[]): void {
    this.outcome = 'none'
    this.unsaved.edit(roadmap, this.saved, this.room.board?.seq ?? 0)
  }

  private takeOut(pass: PassPlan, name: string): void {
    this.edit(withoutSolo(this.roadmap, pass.id))
    this.room.news.set(words.details.removed(name))
    this.querySelector<HTMLElement>('h2')?.focus()
  }

  private async save(): Promise<void> {
    const { roadmap, unsaved } = this
    this.isWorking = true
    const answer = await this.room.command('setRoadmap', { roadmap, baseSeq: unsaved.baseSeq })
    if (answer) unsaved.drop()
    this.outcome = answer ? 'saved' : 'refused'
    this.isWorking = false
  }
}

/** A part's id while its player is in the band. */
const known = (lineup: readonly PartSpec[], id: string | undefined): string =>
  id !== undefined && lineup.some((part) => part.id === id) ? id : ''

const upTo = (most: number): readonly number[] => Array.from({ length: most }, (_, index) => index + 1)

function select(
  label: string,
  value: string,
  choices: readonly (readonly [value: string, text: string])[],
  take: (value: string) => void,
): TemplateResult {
  return html`<label class="field"
    ><span>${label}</span
    ><select @change=${(event: Event) => take((event.target as HTMLSelectElement).value)}>
      ${choices.map(([one, text]) => html`<option value=${one} .selected=${one === value}>${text}</option>`)}
    </select></label
  >`
}

function check(text: string, isOn: boolean, take: (isOn: boolean) => void): TemplateResult {
  return html`<label class="check"
    ><input
      type="checkbox"
      .checked=${isOn}
      @change=${(event: Event) => take((event.target as HTMLInputElement).checked)}
    />
    ${text}</label
  >`
}
