/** The key: which one it is in, and for the leader the ones that lie well for a player or a singer, with the reason. */
import { consume } from '@lit/context'
import { html, nothing, type PropertyValues, type TemplateResult } from 'lit'
import { customElement, state } from 'lit/decorators.js'
import {
  findInstrument,
  INSTRUMENTS,
  type KeyFit,
  type KeyName,
  keySignatureOf,
  type PartSpec,
  pitchInKey,
} from '@chartloft/shared-theory'
import { withSigns } from '../look/chord-symbol.js'
import { LoftElement } from '../look/element.js'
import { sayKey } from '../look/say.js'
import { Observe } from '../state/observe.js'
import { type Room, roomContext } from '../state/room.js'
import { words } from '../words.js'
import { type KeyChoice, keyChoices, keyFields } from './key-choices.js'
import { linePlayers } from './pass-plans.js'

type Range = readonly [lowMidi: number, highMidi: number]

const BEST = 4
const ALL = 12
const SINGERS = INSTRUMENTS.filter(({ family }) => family === 'voice')
/** 'part <id>', 'voice <instrument>' or this. */
const OWN = 'own'
/** Notes offered for a range of one's own: from a bass voice's cellar to a soprano's last row. */
const LOWEST_OFFERED = 36
const HIGHEST_OFFERED = 91
const C_MAJOR = keySignatureOf('C major')

@customElement('loft-key')
export class LoftKey extends LoftElement {
  @consume({ context: roomContext }) private room!: Room
  @state() private whom = ''
  @state() private own: Range = [55, 74]
  @state() private fits: readonly KeyFit[] = []
  @state() private isLong = false
  @state() private isWorking = false
  /** The range the keys shown are for: those of somebody asked for before are not to be pressed by mistake. */
  @state() private fitsRange = ''
  #asked: readonly unknown[] = []
  protected readonly observe = new Observe(this, () => (this.room ? [this.room.ledger.state, this.room.plan] : []))

  protected override updated(_changed: PropertyValues): void {
    if (this.room.isLeader) void this.ask()
  }

  private async ask(): Promise<void> {
    const plan = this.room.plan.value
    const range = this.range()
    if (!plan || !range || range[0] >= range[1]) return
    const asked = [plan, ...range]
    if (asked.every((part, index) => part === this.#asked[index])) return
    this.#asked = asked
    try {
      const fits = await this.room.theory.ask('keys', plan, ...range)
      if (this.#asked !== asked) return
      this.fits = fits
      this.fitsRange = String(range)
    } catch (error) {
      this.room.say(error)
    }
  }

  protected override render(): TemplateResult | typeof nothing {
    const tune = this.room.board?.tune
    if (!tune) return nothing
    const now = this.room.board?.key ?? tune.key.key
    const isWritten = now === tune.key.key
    return html`<section aria-labelledby="key-h">
      <h2 id="key-h">${words.details.key}</h2>
      <p>
        ${words.details.keyNow(this.say(now), isWritten)}${isWritten ? nothing : words.details.keyWritten(this.say(tune.key.key))}
      </p>
      ${this.room.isLeader ? this.choice() : nothing}
    </section>`
  }

  private choice(): TemplateResult {
    const range = this.range()
    return html`<div class="fieldrow forwhom">
        <label
          ><span>${words.details.keyFor}</span
          ><select @change=${(event: Event) => (this.whom = (event.target as HTMLSelectElement).value)}>
            <optgroup label=${words.details.keyForBand}>
              ${this.bandPlayers().map((part) => this.option(`part ${part.id}`, part.name))}
            </optgroup>
            <optgroup label=${words.details.keyForSinger}>
              ${SINGERS.map(({ id, name }) => this.option(`voice ${id}`, name))}
              ${this.option(OWN, words.details.keyForOwn)}
            </optgroup>
          </select></label
        >
        ${this.chosen() === OWN ? this.ownRange() : nothing}
      </div>
      <p class="note">${words.details.keyNote}</p>
      ${range && range[0] >= range[1] ? html`<p class="issue" role="alert">${words.details.emptyRange}</p>` : this.list()}`
  }

  private list(): TemplateResult | typeof nothing {
    const { board } = this.room
    if (!board?.tune || this.fits.length === 0) return nothing
    const isStale = this.fitsRange !== String(this.range())
    const choices = keyChoices(this.fits, board.tune.key, board.key, this.isLong ? ALL : BEST)
    return html`<ol
        class="list keylist"
        aria-busy=${isStale ? 'true' : 'false'}
        aria-label=${words.details.keyList(this.whomName())}
      >
        ${choices.map((choice) => this.row(choice, isStale))}
      </ol>
      <button
        class="btn bare more"
        type="button"
        aria-expanded=${this.isLong ? 'true' : 'false'}
        @click=${() => (this.isLong = !this.isLong)}
      >
        ${this.isLong ? words.details.fewerKeys : words.details.moreKeys}
      </button>`
  }

  private row(choice: KeyChoice, isStale: boolean): TemplateResult {
    const key = this.say(choice.key)
    return html`<li class=${choice.fits ? 'fits' : 'out'}>
      <p>
        <b>${key}</b> <span class="soft">${words.details.away(choice.semitones)}</span><br />${withSigns(choice.reason)}
      </p>
      ${
        choice.isNow
          ? html`<p class="nowkey" tabindex="-1">${words.details.now}</p>`
          : html`<button
              class="btn"
              type="button"
              aria-disabled=${this.isWorking || isStale ? 'true' : 'false'}
              @click=${() => isStale || void this.use(choice)}
            >
              ${words.details.useKey(key)}
            </button>`
      }
    </li>`
  }

  private ownRange(): TemplateResult {
    const notes = Array.from({ length: HIGHEST_OFFERED - LOWEST_OFFERED + 1 }, (_, index) => LOWEST_OFFERED + index)
    const select = (label: string, value: number, take: (midi: number) => void) =>
      html`<label
        ><span>${label}</span
        ><select @change=${(event: Event) => take(Number((event.target as HTMLSelectElement).value))}>
          ${notes.map((midi) => html`<option value=${midi} .selected=${midi === value}>${withSigns(pitchInKey(midi, C_MAJOR))}</option>`)}
        </select></label
      >`
    const [low, high] = this.own
    return html`${select(words.details.lowest, low, (midi) => (this.own = [midi, high]))}
    ${select(words.details.highest, high, (midi) => (this.own = [low, midi]))}`
  }

  private async use(choice: KeyChoice): Promise<void> {
    if (this.isWorking) return
    this.isWorking = true
    const answer = await this.room.command('setKey', keyFields(choice))
    this.isWorking = false
    if (!answer) return
    this.room.news.set(words.details.keySet(this.say(choice.key)))
    await this.updateComplete
    this.querySelector<HTMLElement>('.nowkey')?.focus()
  }

  private readonly option = (value: string, text: string) =>
    html`<option value=${value} .selected=${value === this.chosen()}>${text}</option>`

  private bandPlayers(): readonly PartSpec[] {
    return linePlayers(this.room.board?.lineup ?? []).filter(({ role }) => role !== 'bass')
  }

  /** The lead, until somebody else is asked for; also when who was asked for has left the band. */
  private chosen(): string {
    const players = this.bandPlayers()
    const lead = players.find(({ role }) => role === 'lead') ?? players[0]
    const isThere = !this.whom.startsWith('part ') || players.some(({ id }) => this.whom === `part ${id}`)
    if (this.whom !== '' && isThere) return this.whom
    return lead ? `part ${lead.id}` : `voice ${SINGERS[0]?.id ?? ''}`
  }

  private instrument() {
    const [kind, id] = this.chosen().split(' ')
    const part = kind === 'part' ? this.bandPlayers().find((one) => one.id === id) : undefined
    return findInstrument(part?.instrument ?? id ?? '')
  }

  private range(): Range | undefined {
    return this.chosen() === OWN ? this.own : this.instrument()?.range
  }

  private whomName(): string {
    const [kind, id] = this.chosen().split(' ')
    if (kind === OWN) return words.details.keyForOwn
    return (kind === 'part' ? this.bandPlayers().find((one) => one.id === id)?.name : this.instrument()?.name) ?? ''
  }

  /** A key in the tune's own mode, as the board says it. */
  private say(key: KeyName): string {
    return sayKey({ key, mode: this.room.board?.tune?.key.mode ?? 'major', fifths: 0 })
  }
}
