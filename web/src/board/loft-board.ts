/** The board: what is settled and what is not, the piece at a glance, and the running order as the page itself. */
import { consume } from '@lit/context'
import { html, nothing, type TemplateResult } from 'lit'
import { customElement } from 'lit/decorators.js'
import { repeat } from 'lit/directives/repeat.js'
import type { BoardState } from '@chartloft/shared-theory'
import { LoftElement } from '../look/element.js'
import { musicText, musicWords } from '../look/music-text.js'
import { sayKey, sayMetre } from '../look/say.js'
import { cordSign, playSign } from '../look/signs.js'
import { Observe } from '../state/observe.js'
import { type Room, roomContext } from '../state/room.js'
import { barAfter, type PassView, runningOrder, uniform } from '../state/running-order.js'
import type { Form } from '../state/theory-protocol.js'
import type { SlotView } from '../state/slots.js'
import { boardPath, deskPath } from '../shell/route.js'
import { words } from '../words.js'
import { decisionCord } from './decision-cord.js'
import type { TalkedOver } from './desk/loft-comments.js'
import './desk/loft-comments.js'
import './loft-contour.js'
import './loft-here.js'
import './loft-my-part.js'
import './loft-pass.js'
import { placesOf } from './pins.js'

@customElement('loft-board')
export class LoftBoard extends LoftElement {
  @consume({ context: roomContext }) private room!: Room
  private ordered: { readonly form: Form; readonly state: BoardState; readonly passes: readonly PassView[] } | undefined
  private pinnable: { readonly passes: readonly PassView[]; readonly music: readonly TalkedOver[] } | undefined
  protected readonly observe = new Observe(this, () => [
    this.room?.ledger.state,
    this.room?.form,
    this.room?.slots,
    this.room?.polls,
    this.room?.sounding,
    this.room?.connection.transport,
  ])

  protected override render(): TemplateResult {
    const state = this.room.board
    if (!state) return html``
    const form = this.room.form.value
    const slots = this.room.slots.value
    const passes = form ? this.passesOf(form, state) : []
    return html`<div class="title">
        <div>
          <h1>${state.title}</h1>
          ${state.tune ? html`<p class="sub">${this.sub()}</p>` : nothing}
          <p class="soft">
            ${words.board.rights[state.rights]} ${state.tune?.composer ? words.board.by(state.tune.composer) : nothing}
          </p>
          <p class="bandline">
            ${state.lineup.length > 0 ? words.details.plays(state.lineup.map(({ name }) => name)) : nothing}
            <a href=${boardPath(this.room.boardId, 'band')}>${words.details.open}</a>
          </p>
          ${state.tune ? html`<loft-my-part></loft-my-part>` : nothing}
        </div>
        ${state.tune ? this.todo(slots) : nothing}
        <loft-here></loft-here>
      </div>
      ${state.tune ? this.music(passes, slots) : this.noTune()}`
  }

  /** The same passes while neither music nor ledger changed, so that their elements rest. */
  private passesOf(form: Form, state: BoardState): readonly PassView[] {
    if (this.ordered?.form !== form || this.ordered.state !== state) {
      this.ordered = { form, state, passes: runningOrder(form.bars, state) }
    }
    return this.ordered.passes
  }

  private sub(): TemplateResult {
    const tune = this.room.board?.tune
    const form = this.room.form.value
    const bars = form?.bars ?? []
    // A free opening has a tempo of its own; the piece's is that of its first chorus.
    const first = bars.find((bar) => bar.pass !== 'opening') ?? bars[0]
    const known = {
      key: sayKey(first?.key ?? tune?.key ?? { key: 'C major', mode: 'major', fifths: 0 }),
      bars: tune?.bars.length ?? 0,
      form: tune?.sections.map((section) => section.letter).join(' ') ?? '',
    }
    if (!form) {
      // Room for what is not worked out yet, so that nothing moves when it comes.
      const said = words.board.sub(known)
      const whole = words.board.sub({
        ...known,
        groove: 'medium swing',
        metre: tune ? sayMetre(tune.metre) : '',
        bpm: 120,
      })
      return html`${said}<span class="unsaid" aria-hidden="true">${whole.slice(said.length)}</span>`
    }
    const { metre } = uniform(bars)
    return html`${words.board.sub({
      ...known,
      groove: form.grooveName.toLowerCase(),
      ...(metre ? { metre: sayMetre(metre) } : {}),
      ...(first ? { bpm: first.tempoBpm } : {}),
    })}`
  }

  private todo(slots: readonly SlotView[]): TemplateResult {
    const open = slots.filter((view) => view.status !== 'locked')
    const locked = slots.filter((view) => view.status === 'locked')
    return html`<section class="todo" aria-labelledby="todo-h">
      <h2 id="todo-h">${words.board.left(open.length)}</h2>
      <ul>
        ${open.map(
          (view) =>
            html`<li>
              ${cordSign(view.status)}
              <p>
                <a href=${deskPath(this.room.boardId, view.key)}
                  ><b>${words.decision(view.slot.decision)}</b>, ${words.status(view.status)}</a
                ><br /><span class="soft">${this.about(view)}</span>
              </p>
            </li>`,
        )}
        ${
          locked.length > 0
            ? html`<li>
                ${cordSign('locked')}
                <p>
                  <b>${words.statusTitle('locked')}</b>${locked.map(
                    (view) =>
                      html`<br /><a href=${deskPath(this.room.boardId, view.key)}
                          >${words.decision(view.slot.decision)}: ${musicText(view.lock?.option.title ?? '')}</a
                        >`,
                  )}
                </p>
              </li>`
            : nothing
        }
      </ul>
    </section>`
  }

  private about(view: SlotView): string {
    const poll = view.poll && this.room.polls.value.get(view.poll.pollId)
    if (view.status === 'voting' && poll) {
      return [
        poll.tally ? words.board.votesSoFar(poll.tally.voters) : '',
        poll.closesAt ? words.board.closes(poll.closesAt) : '',
      ]
        .filter((part) => part)
        .join('. ')
    }
    const tried = this.room.draft.tried(view.slot)
    if (tried) return `${musicWords(tried.title)}, ${words.desk.tryingNow}`
    return words.question(view.slot.decision)
  }

  private music(passes: readonly PassView[], slots: readonly SlotView[]): TemplateResult {
    const groove = slots.filter((view) => view.slot.decision === 'groove')
    const homeless = slots.filter(
      (view) =>
        (view.slot.decision === 'opening' && !passes.some((pass) => pass.kind === 'opening')) ||
        (view.slot.decision === 'ending' && !passes.some((pass) => pass.kind === 'ending')),
    )
    const early = homeless.filter((view) => view.slot.decision === 'opening')
    const late = homeless.filter((view) => view.slot.decision === 'ending')
    if (passes.length === 0) return html`<p class="busy" role="status">${words.working}</p>`
    return html`${this.joinIn()}<loft-contour .passes=${passes} .slots=${slots}></loft-contour>
      <div class="whole">${[...groove, ...early].map((view) => decisionCord(this.room, view))}</div>
      ${repeat(
        passes,
        (pass) => `${pass.id}@${pass.turn}`,
        (pass, index) =>
          html`<loft-pass .pass=${pass} .slots=${slots} ?last=${index === passes.length - 1}></loft-pass>`,
      )}
      ${late.length > 0 ? html`<div class="whole">${late.map((view) => decisionCord(this.room, view))}</div>` : nothing}
      ${this.issues()}<loft-comments .music=${this.talkedOver(passes)} whole></loft-comments>
      <p class="legend note">
        <span class="lg"><i class="h"></i>${words.board.legendChanged}</span
        ><span class="lg"><i class="d"></i>${words.board.legendPencilled}</span
        ><span class="lg">+ ${words.board.legendAdded}</span>
      </p>`
  }

  /** Every bar written on the board: where a comment may be pinned, and where the pins lead. */
  private talkedOver(passes: readonly PassView[]): readonly TalkedOver[] {
    const form = this.room.form.value
    if (!form) return []
    if (this.pinnable?.passes !== passes) {
      const shown = passes.flatMap((pass) => pass.cards.flatMap((card) => card.bars.map(({ bar }) => bar.barIndex)))
      this.pinnable = { passes, music: [{ places: placesOf(form.bars), shown }] }
    }
    return this.pinnable.music
  }

  /** Others play and this browser is silent: one press brings it in where they are. */
  private joinIn(): TemplateResult | typeof nothing {
    const transport = this.room.connection.transport.value
    const bars = this.room.form.value?.bars ?? []
    if (!transport?.playing || this.room.sounding.value?.isPlaying) return nothing
    if (transport.by.userId === this.room.session.value.userId) return nothing
    const at = barAfter(bars, transport, this.room.connection.clock.serverNow() - transport.startsAt)
    if (at === undefined) return nothing
    return html`<div class="joined">
      <button class="btn main go" aria-label=${words.player.play} @click=${() => void this.join()}>${playSign}</button>
      <p><b>${words.board.joinAt(at + 1)}</b><br /><span class="soft">${words.board.joinNote}</span></p>
    </div>`
  }

  private async join(): Promise<void> {
    const { listeningOf } = await import('../listen/listening-of.js')
    await listeningOf(this.room).toggle()
  }

  private issues(): TemplateResult | typeof nothing {
    const issues = (this.room.form.value?.issues ?? []).filter((issue) => issue.severity !== 'note')
    if (issues.length === 0) return nothing
    return html`<details class="absent">
      <summary>${words.board.issues(issues.length)}</summary>
      <ul>
        ${issues.slice(0, 30).map((issue) => html`<li>${musicText(issue.message)}</li>`)}
      </ul>
    </details>`
  }

  private noTune(): TemplateResult {
    return this.room.isLeader
      ? html`<p class="lead">${words.board.noTune}</p>
          <p><a class="btn main" href="/">${words.bring.title}</a></p>`
      : html`<p class="lead">${words.board.noTuneMember}</p>`
  }
}
