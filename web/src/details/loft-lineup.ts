/** The line-up: the leader says who plays; everybody else reads it. */
import { consume } from '@lit/context'
import { html, nothing, type TemplateResult } from 'lit'
import { customElement, state } from 'lit/decorators.js'
import { repeat } from 'lit/directives/repeat.js'
import { findInstrument, INSTRUMENTS, LINEUPS, type PartSpec } from '@chartloft/shared-theory'
import { LoftElement } from '../look/element.js'
import { Observe } from '../state/observe.js'
import { type Room, roomContext } from '../state/room.js'
import { words } from '../words.js'
import {
  added,
  type Fault,
  faultOf,
  fromReady,
  isSameLineup,
  lineupOf,
  MOST_PLAYERS,
  moved,
  type Player,
  playersOf,
  removed,
  renamedIn,
  type Role,
  ROLES,
  withInstrument,
  withName,
  withRole,
} from './lineup-draft.js'
import { type Outcome, saveRow } from './save-row.js'
import { sayReach } from './say-reach.js'
import { unsavedOf } from './unsaved.js'

const FAMILIES = [...new Set(INSTRUMENTS.map(({ family }) => family))]
const FIRST_OFFERED = 'tenor-sax'

@customElement('loft-lineup')
export class LoftLineup extends LoftElement {
  @consume({ context: roomContext }) private room!: Room
  @state() private isWorking = false
  @state() private outcome: Outcome = 'none'
  @state() private offered = FIRST_OFFERED
  protected readonly observe = new Observe(this, () =>
    this.room ? [this.room.ledger.state, this.room.form, unsavedOf(this.room).lineup.value] : [],
  )

  private get saved(): readonly PartSpec[] {
    return this.room.board?.lineup ?? []
  }

  private get unsaved() {
    return unsavedOf(this.room).lineup
  }

  private get players(): readonly Player[] {
    return this.unsaved.value.value ?? playersOf(this.saved)
  }

  protected override render(): TemplateResult {
    const { players } = this
    return html`<section aria-labelledby="lineup-h">
      <h2 id="lineup-h" tabindex="-1">${words.details.lineup}</h2>
      <p class="soft">${words.details.lineupNote}</p>
      ${this.room.isLeader ? this.editor(players) : this.list(this.saved)}
    </section>`
  }

  private list(lineup: readonly PartSpec[]): TemplateResult {
    return html`<ol class="list band">
      ${lineup.map(
        ({ name, instrument, role }) =>
          html`<li>
            <p>
              <b>${name}</b>
              <span class="soft">${words.details.roles[role]}</span>
            </p>
            <p class="note">${instrumentBeside(name, instrument)}</p>
          </li>`,
      )}
    </ol>`
  }

  private editor(players: readonly Player[]): TemplateResult {
    const fault = faultOf(players)
    const isChanged = !isSameLineup(lineupOf(players, this.saved), this.saved)
    const isOvertaken = !this.isWorking && this.unsaved.isOvertaken(this.saved)
    return html`<fieldset class="ready">
        <legend>${words.details.ready}</legend>
        ${Object.keys(LINEUPS).map(
          (name) =>
            html`<button class="btn" type="button" @click=${() => this.edit(fromReady(players, name))}>
              ${words.details.readyNames[name] ?? name}
            </button>`,
        )}
      </fieldset>
      <ol class="players">
        ${repeat(
          players,
          ({ key }) => key,
          (player, index) => this.row(player, index, players, fault),
        )}
      </ol>
      ${this.adder(players)}
      ${saveRow({
        label: words.details.saveLineup,
        isMain: true,
        isChanged,
        isWorking: this.isWorking,
        outcome: this.outcome,
        ...(fault ? { fault: sayFault(fault) } : {}),
        ...(isOvertaken && isChanged ? { overtaken: words.details.overtaken.lineup } : {}),
        save: () => void this.save(),
        putBack: () => {
          this.outcome = 'none'
          this.unsaved.drop()
        },
        keepMine: () => {
          this.unsaved.keepOver(this.saved, this.room.board?.seq ?? 0)
          this.requestUpdate()
        },
      })}`
  }

  private row(player: Player, index: number, players: readonly Player[], fault: Fault | undefined): TemplateResult {
    const { key, name, instrument, role } = player
    const said = name.trim() || (findInstrument(instrument)?.name ?? instrument)
    const isFaulty = (fault?.kind === 'no-name' || fault?.kind === 'same-name') && fault.key === key
    const act = (text: string, isPossible: boolean, does: () => void, mark: string) =>
      html`<button
        class="btn bare"
        type="button"
        data-act="${mark} ${key}"
        aria-label=${words.details.actOn(text, said)}
        aria-disabled=${isPossible ? 'false' : 'true'}
        @click=${() => isPossible && does()}
      >
        ${text}
      </button>`
    const warning = role === 'lead' ? this.warning(player, players) : undefined
    return html`<li aria-label=${words.details.player(index + 1, said)}>
      <div class="playerrow">
        <span class="num" aria-hidden="true">${index + 1}</span>
        <label class="field"
          ><span>${words.details.instrument}</span
          >${instrumentSelect(instrument, (next) => this.edit(withInstrument(players, key, next)))}</label
        >
        <label class="field"
          ><span>${words.details.printed}</span
          ><input
            type="text"
            maxlength="80"
            .value=${name}
            aria-invalid=${isFaulty ? 'true' : 'false'}
            @input=${(event: Event) => this.edit(withName(players, key, (event.target as HTMLInputElement).value))}
        /></label>
        <label class="field"
          ><span>${words.details.role}</span
          ><select
            @change=${(event: Event) =>
              this.edit(withRole(players, key, (event.target as HTMLSelectElement).value as Role))}
          >
            ${ROLES.map(
              (one) => html`<option value=${one} .selected=${one === role}>${words.details.roles[one]}</option>`,
            )}
          </select></label
        >
        <span class="rowacts">
          ${act(words.details.earlier, index > 0, () => this.move(player, players, -1), 'earlier')}
          ${act(words.details.later, index < players.length - 1, () => this.move(player, players, 1), 'later')}
          ${act(words.details.remove, true, () => this.takeOut(player, players), 'remove')}
        </span>
      </div>
      ${warning ? html`<p class="issue" role="status">${warning}</p>` : nothing}
    </li>`
  }

  private adder(players: readonly Player[]): TemplateResult {
    if (players.length >= MOST_PLAYERS) return html`<p class="note">${words.details.full(MOST_PLAYERS)}</p>`
    return html`<div class="fieldrow adder">
      <label><span>${words.details.add}</span>${instrumentSelect(this.offered, (next) => (this.offered = next))}</label>
      <button
        class="btn"
        type="button"
        @click=${() => {
          const next = added(players, this.offered)
          this.edit(next)
          this.room.news.set(words.details.added(next.at(-1)?.name ?? ''))
        }}
      >
        ${words.details.addButton}
      </button>
    </div>`
  }

  /** Words where the tune leaves what the lead plays with ease. */
  private warning(player: Player, players: readonly Player[]): string | undefined {
    const form = this.room.form.value
    const others = players.filter((other) => other.key !== player.key)
    return sayReach(form?.range, form?.bars[0]?.key, player, others)
  }

  private edit(players: readonly Player[]): void {
    this.outcome = 'none'
    this.unsaved.edit(players, this.saved, this.room.board?.seq ?? 0)
  }

  private move(player: Player, players: readonly Player[], step: -1 | 1): void {
    const next = moved(players, player.key, step)
    this.edit(next)
    this.room.news.set(words.details.movedTo(player.name, next.findIndex(({ key }) => key === player.key) + 1))
    void this.focusOn(`${step < 0 ? 'earlier' : 'later'} ${player.key}`)
  }

  private takeOut(player: Player, players: readonly Player[]): void {
    const at = players.findIndex(({ key }) => key === player.key)
    const neighbour = players[at + 1] ?? players[at - 1]
    this.edit(removed(players, player.key))
    this.room.news.set(words.details.removed(player.name))
    void this.focusOn(neighbour ? `remove ${neighbour.key}` : '')
  }

  /** Rows change places under the hand; the key stays on the button it was on. */
  private async focusOn(mark: string): Promise<void> {
    await this.updateComplete
    const buttons = [...this.querySelectorAll<HTMLElement>('[data-act]')]
    const wanted = buttons.find((button) => button.dataset['act'] === mark) ?? this.querySelector<HTMLElement>('h2')
    wanted?.focus()
  }

  private async save(): Promise<void> {
    const { players, saved, unsaved } = this
    const lineup = lineupOf(players, saved)
    this.isWorking = true
    const answer = await this.room.command('setLineup', { lineup, baseSeq: unsaved.baseSeq })
    if (answer) {
      unsaved.drop()
      await this.rename(players, lineup)
    }
    this.outcome = answer ? 'saved' : 'refused'
    this.isWorking = false
  }

  /** Soloists and tune players of the running order follow their parts' new ids, in what is saved and in what is not yet. */
  private async rename(players: readonly Player[], lineup: readonly PartSpec[]): Promise<void> {
    const saved = this.room.board?.roadmap ?? []
    const roadmap = renamedIn(saved, players, lineup)
    const answer = roadmap === saved ? undefined : await this.room.command('setRoadmap', { roadmap })
    unsavedOf(this.room).roadmap.follow(
      (draft) => renamedIn(draft, players, lineup),
      answer ? { saved: roadmap, seq: answer.seq } : undefined,
    )
  }
}

function instrumentSelect(value: string, take: (instrument: string) => void): TemplateResult {
  const option = (id: string, name: string) => html`<option value=${id} .selected=${id === value}>${name}</option>`
  return html`<select @change=${(event: Event) => take((event.target as HTMLSelectElement).value)}>
    ${findInstrument(value) ? nothing : option(value, value)}
    ${FAMILIES.map(
      (family) =>
        html`<optgroup label=${words.details.families[family]}>
          ${INSTRUMENTS.filter((instrument) => instrument.family === family).map(({ id, name }) => option(id, name))}
        </optgroup>`,
    )}
  </select>`
}

/** What a part's name does not say already. */
function instrumentBeside(name: string, instrument: string): string {
  const plain = findInstrument(instrument)?.name ?? instrument
  return plain.toLowerCase() === name.toLowerCase() ? '' : plain
}

function sayFault(fault: Fault): string {
  return fault.kind === 'same-name' ? words.details.faults['same-name'](fault.name) : words.details.faults[fault.kind]
}
