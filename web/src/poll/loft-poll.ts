/** The listener's page: what is asked, each answer heard in place, one vote. No account, and nothing of the board. */
import { html, nothing, type TemplateResult } from 'lit'
import { customElement, state } from 'lit/decorators.js'
import { withSigns } from '../look/chord-symbol.js'
import { LoftElement } from '../look/element.js'
import { musicText, musicWords } from '../look/music-text.js'
import { cordSign, playSign, stopSign } from '../look/signs.js'
import { tally } from '../look/tally.js'
import { vars } from '../look/vars.js'
import { withChoiceOf } from '../state/ballot.js'
import { inFront } from '../state/standing.js'
import { Observe } from '../state/observe.js'
import type { Theory } from '../state/theory.js'
import { type Api, CallError, type PollOptionView, type PollView } from '../sync/http.js'
import type { BallotChoices, PollSummary } from '@chartloft/shared-theory/board'
import { words } from '../words.js'
import '../shell/loft-speech.js'
import { ClipPlayer, lengthMs } from './clip.js'

export interface PollSurroundings {
  readonly api: Api
  readonly theory: Theory
  readonly path: string
  readonly storage: Storage | undefined
}

@customElement('loft-poll')
export class LoftPoll extends LoftElement {
  @state() private polls: readonly PollSummary[] | undefined
  @state() private poll: PollView | undefined
  @state() private draft: BallotChoices | undefined
  @state() private isStarted = false
  @state() private isThanking = false
  /** Which answer plays when they are heard one after the other. */
  @state() private turn: number | undefined
  @state() private isSending = false
  @state() private trouble: string | undefined
  private api: Api | undefined
  private storage: Storage | undefined
  private clip: ClipPlayer | undefined
  private boardId = ''
  private readonly observe = new Observe(this, () => [this.clip?.place])

  start({ api, theory, path, storage }: PollSurroundings): void {
    this.isStarted = true
    this.api = api
    this.storage = storage
    this.clip = new ClipPlayer(theory)
    this.observe.refresh()
    const [, , boardId = '', pollId] = path.split('/')
    this.boardId = boardId
    void this.load(pollId)
  }

  private async load(pollId: string | undefined): Promise<void> {
    const api = this.api as Api
    try {
      if (pollId) return this.show(await api.poll(pollId))
      const polls = await api.polls(this.boardId)
      const [only] = polls
      if (polls.length === 1 && only) return this.show(await api.poll(only.pollId))
      this.polls = polls
    } catch (error) {
      this.say(error)
    }
  }

  private show(poll: PollView): void {
    this.poll = poll
    this.draft = poll.mine
    document.title = words.titleOf(poll.question)
  }

  private say(error: unknown): void {
    if (!(error instanceof CallError)) {
      this.trouble = words.unexpected(error instanceof Error ? error.message : String(error))
    } else this.trouble = error.code === 'no_session' ? words.join.noSessionWhy : error.message
  }

  protected override render(): TemplateResult | typeof nothing {
    // Nothing is said before the page knows its language.
    if (!this.isStarted) return nothing
    return html`<a class="skip" href="#main">${words.skip}</a>
      <main id="main" class="poll" tabindex="-1">
        ${this.trouble ? html`<p class="issue" role="alert">${this.trouble}</p>` : nothing}
        ${this.poll ? this.one(this.poll) : this.polls ? this.list(this.polls) : this.trouble ? nothing : waiting()}
        ${(this.poll || this.polls || this.trouble) && !this.isThanking ? this.foot() : nothing}
      </main>`
  }

  /** The thanks bring one of their own: they are another page, and nothing on it has moved. */
  private foot(): TemplateResult {
    return html`<footer class="foot"><loft-speech language-only .storage=${this.storage}></loft-speech></footer>`
  }

  private list(polls: readonly PollSummary[]): TemplateResult {
    if (polls.length === 0) {
      return html`<h1>${words.polls.none}</h1>
        <p class="how">${words.polls.noneNote}</p>`
    }
    return html`<h1>${words.polls.title}</h1>
      <ul class="asked">
        ${polls.map(
          (poll) =>
            html`<li>
              <a href="/p/${this.boardId}/${poll.pollId}">
                ${cordSign(poll.open ? 'voting' : 'locked')}
                <span
                  ><b>${withSigns(poll.question)}</b
                  ><span class="soft">${poll.open ? words.polls.open : words.polls.closed}</span></span
                >
              </a>
            </li>`,
        )}
      </ul>`
  }

  private one(poll: PollView): TemplateResult {
    if (this.isThanking) return this.thanks(poll)
    const count = poll.options.length
    const how = { single: words.polls.how, approval: words.polls.howSeveral, score: words.polls.howScore }[poll.method]
    return html`<header>
        <p class="from">${words.name}</p>
        <h1>${withSigns(poll.question)}</h1>
        <p class="how">${poll.open ? how(count) : html`${words.polls.isClosed} ${standing(poll)}`}</p>
      </header>
      <form @submit=${(event: SubmitEvent) => void this.send(event)}>
        ${count > 1 ? this.inTurn(poll) : nothing}
        <fieldset>
          <legend class="vh">${words.polls.options}</legend>
          <ol class="answers">
            ${poll.options.map((option, index) => this.answer(poll, option, index))}
          </ol>
        </fieldset>
        ${poll.tally?.counted === 'browsers, not people' ? html`<p class="note">${words.desk.browsers}</p>` : nothing}
        <p class="care">
          <span><b>${words.polls.earsTitle}</b> ${words.polls.ears}</span>
        </p>
        ${poll.open ? this.sender(poll) : nothing}
      </form>
      <footer>
        <p class="care">
          <span><b>${words.polls.rightsTitle}</b> ${words.polls.rights}</span>
        </p>
        <p class="note"><a href="/p/${this.boardId}">${words.polls.backToAll}</a></p>
      </footer>`
  }

  /** One press for whoever has little time: every answer after the other. */
  private inTurn(poll: PollView): TemplateResult {
    const isOn = this.turn !== undefined && this.clip?.place.value !== undefined
    return html`<p>
      <button
        type="button"
        class="btn in-turn"
        aria-pressed=${isOn ? 'true' : 'false'}
        @click=${() => {
          if (isOn) this.clip?.stop()
          else this.hearFrom(poll, 0)
        }}
      >
        ${isOn ? stopSign : playSign}${words.polls.inTurn}
      </button>
    </p>`
  }

  private hearFrom(poll: PollView, index: number): void {
    const option = poll.options[index]
    this.turn = option && index
    if (!option) return
    if (!option.arrangement) return this.hearFrom(poll, index + 1)
    this.clip
      ?.play(option.id, option.arrangement, () => this.hearFrom(poll, index + 1))
      .catch((error: unknown) => this.say(error))
  }

  private answer(poll: PollView, option: PollOptionView, index: number): TemplateResult {
    const id = `answer-${index}`
    const place = this.clip?.place.value?.optionId === option.id ? this.clip.place.value : undefined
    const { arrangement } = option
    const title = musicWords(option.title)
    const count = poll.tally?.counts[option.id]
    return html`<li class="answer">
      <button
        type="button"
        class="btn hearit"
        aria-pressed=${place ? 'true' : 'false'}
        aria-disabled=${arrangement ? 'false' : 'true'}
        @click=${() => {
          this.turn = undefined
          if (place) this.clip?.stop()
          else if (arrangement) this.clip?.play(option.id, arrangement).catch((error: unknown) => this.say(error))
        }}
      >
        ${place ? stopSign : playSign}<span
          ><span class="vh">${place ? words.polls.stop(title) : words.polls.hear(title)}, </span>${
            place?.stage === 'playing'
              ? words.polls.secondsLeft(place.leftMs / 1000)
              : arrangement
                ? words.polls.seconds(lengthMs(arrangement) / 1000)
                : nothing
          }</span
        >
      </button>
      <label for=${poll.method === 'score' ? nothing : id}
        ><b>${musicText(option.title)}</b
        >${option.summary ? html`<span>${musicText(option.summary)}</span>` : nothing}</label
      >
      ${poll.method === 'score' ? html`<span></span>${this.marks(poll, option)}` : this.box(poll, option, id)}
      ${
        count === undefined
          ? nothing
          : html`<p class="count">
              ${tally(count) ?? nothing}
              <b class="num">${poll.method === 'score' ? words.polls.points(count) : words.polls.votesCount(count)}</b>
            </p>`
      }
      ${place ? html`<span class="prog" aria-hidden="true" ${vars({ width: `${place.share * 100}%` })}></span>` : nothing}
    </li>`
  }

  private box(poll: PollView, option: PollOptionView, id: string): TemplateResult {
    const isChosen = Array.isArray(this.draft) && this.draft.includes(option.id)
    return html`<input
      id=${id}
      type=${poll.method === 'single' ? 'radio' : 'checkbox'}
      name="answer"
      ?disabled=${!poll.open}
      .checked=${isChosen}
      @change=${(event: Event) => this.choose(poll, option, (event.target as HTMLInputElement).checked)}
    />`
  }

  private marks(poll: PollView, option: PollOptionView): TemplateResult {
    const marks = this.draft && !Array.isArray(this.draft) ? (this.draft as { readonly [id: string]: number }) : {}
    return html`<div class="marks" role="radiogroup" aria-label=${musicWords(option.title)}>
      ${[0, 1, 2, 3, 4, 5].map(
        (value) =>
          html`<label
            ><input
              type="radio"
              name="mark-${option.id}"
              ?disabled=${!poll.open}
              .checked=${marks[option.id] === value}
              @change=${() => this.choose(poll, option, value)}
            />${words.polls.mark(value)}</label
          >`,
      )}
    </div>`
  }

  private choose(poll: PollView, option: PollOptionView, value: boolean | number): void {
    this.draft = withChoiceOf(poll.method, this.draft, option.id, value)
  }

  private sender(poll: PollView): TemplateResult {
    const chosen = chosenTitles(poll, this.draft)
    const text =
      poll.method === 'score' || chosen.length === 0
        ? words.polls.vote
        : chosen.length === 1
          ? words.polls.voteFor(chosen[0] as string)
          : words.polls.voteForSeveral(chosen.length)
    return html`<div class="send">
      <button class="btn main" aria-disabled=${chosen.length === 0 || this.isSending ? 'true' : 'false'}>
        ${text}
      </button>
      <p class="note">
        ${
          chosen.length === 0
            ? words.polls.chooseFirst
            : poll.closesAt
              ? words.polls.changeUntil(poll.closesAt)
              : words.polls.change
        }
      </p>
    </div>`
  }

  private async send(event: SubmitEvent): Promise<void> {
    event.preventDefault()
    const { poll, draft, api } = this
    if (!poll || !draft || !api || this.isSending || chosenTitles(poll, draft).length === 0) return
    this.isSending = true
    this.trouble = undefined
    try {
      await api.vote(poll.pollId, draft)
      this.clip?.stop()
      this.show(await api.poll(poll.pollId, poll))
      this.isThanking = true
      scrollTo(0, 0)
    } catch (error) {
      this.say(error)
    }
    this.isSending = false
  }

  private thanks(poll: PollView): TemplateResult {
    return html`<section class="thanks" aria-live="polite">
        ${cordSign('voting')}
        <h2>${words.polls.thanks}</h2>
        <p>${words.polls.thanksFor(chosenTitles(poll, poll.mine))} ${words.polls.thanksNext}</p>
        <p class="acts">
          <button class="btn" @click=${() => (this.isThanking = false)}>${words.polls.changeVote}</button>
          <a class="btn bare" href="/p/${this.boardId}">${words.polls.backToAll}</a>
        </p>
      </section>
      ${this.foot()}`
  }
}

const waiting = (): TemplateResult =>
  html`<div class="busy" role="status"><progress aria-hidden="true"></progress>${words.loadingPage}</div>`

/** Who is in front once it is closed, as far as the count may be seen. */
function standing(poll: PollView): string {
  const front = inFront(poll)
  const titles = poll.options.filter((option) => front.includes(option.id)).map((option) => musicWords(option.title))
  return poll.tally ? words.polls.stands(titles) : ''
}

/** Titles a ballot speaks for: chosen, or marked with more than nought. */
function chosenTitles(poll: PollView, choices: BallotChoices | undefined): readonly string[] {
  if (!choices) return []
  const has = (id: string) =>
    Array.isArray(choices) ? choices.includes(id) : ((choices as { readonly [id: string]: number })[id] ?? 0) > 0
  return poll.options.filter((option) => has(option.id)).map((option) => musicWords(option.title))
}
