/**
 * One board on one page: everything the elements show and everything they may ask for.
 * Elements get it by context (`roomContext`), watch its cells, and call its verbs; nothing else holds state that others need.
 */
import { createContext } from '@lit/context'
import { Doc } from 'yjs'
import type { Arrangement, BoardState, Issue, LedgerEntry, Option, Plan, Slot } from '@chartloft/shared-theory'
import { type BallotChoices, CLOSE, planOfState, slotKey, type UserCommandKind } from '@chartloft/shared-theory/board'
import { Connection } from '../sync/connection.js'
import { keepOffline, type OfflineCopy } from '../sync/offline.js'
import { type Api, CallError, type CommandAnswer, type PollView, type Session } from '../sync/http.js'
import { words } from '../words.js'
import { Cell, derive, type Watchable } from './cell.js'
import { DraftStore } from './draft.js'
import { LedgerCache } from './ledger.js'
import { type MyState, peopleOf, type Person } from './presence.js'
import { slotViews, type SlotView, triedChoices } from './slots.js'
import type { Theory } from './theory.js'
import type { Form } from './theory-protocol.js'

export const roomContext = createContext<Room>(Symbol('room'))

/** Somebody pressed "listen from here". The player answers; while none is loaded, the shell loads it first. */
export interface PlayRequest {
  readonly fromTick: number
  /** Where listening in place ends by itself; absent: plays on. */
  readonly toTick?: number
  /** The option heard in place, when it is about one. */
  readonly slotKey?: string
  readonly optionId?: string
}
/** What the player tells the page: which bar sounds, so that charts and board can mark it. */
export interface Sounding {
  readonly barIndex: number
  /** 0-based beat in the bar. */
  readonly beat: number
  readonly isPlaying: boolean
}

/** What of a decision's view is drawn. */
const viewKey = ({ key, status, tryingId, lock, poll, place }: SlotView) => [
  key,
  status,
  tryingId,
  lock?.seq,
  poll,
  place,
]

/** How long edits may rest before the music worker is asked again. */
const SETTLE_MS = 30

export class Room {
  readonly boardId: string
  readonly api: Api
  readonly theory: Theory
  readonly session: Cell<Session>
  readonly ledger: LedgerCache
  readonly draft: DraftStore
  readonly connection: Connection
  readonly people = new Cell<readonly Person[]>([])
  readonly polls = new Cell<ReadonlyMap<string, PollView>>(new Map())
  /** Locked choices with the tried ones laid over them; undefined while there is no tune. */
  readonly plan: Watchable<Plan | undefined>
  /** Form, chords and melody of that plan; the last one stays while the next is worked out. */
  readonly form = new Cell<Form | undefined>(undefined)
  /** The plan `form` was worked out for: while it is another than `plan`, the next form is on its way. */
  readonly formOf = new Cell<Plan | undefined>(undefined)
  readonly slots: Watchable<readonly SlotView[]>
  /** Set by elements, read by the player. Each request is a new object. */
  readonly playRequest = new Cell<PlayRequest | undefined>(undefined)
  readonly stopRequest = new Cell<object | undefined>(undefined)
  /** Set by the player. */
  readonly sounding = new Cell<Sounding | undefined>(undefined)
  /** Read out politely by the shell. */
  readonly news = new Cell<string>('')
  /** Shown until dismissed: what went wrong, in words. */
  readonly trouble = new Cell<string | undefined>(undefined)
  readonly #me: Cell<MyState>
  #settling: ReturnType<typeof setTimeout> | undefined
  #asked = 0
  #copy: OfflineCopy | undefined
  #trying: ReadonlyMap<string, string | undefined> | undefined
  #planKey = ''
  #lastPlan: Plan | undefined
  #arrangement:
    | {
        readonly plan: Plan
        readonly promise: Promise<{ planHash: string; arrangement: Arrangement; issues: readonly Issue[] }>
      }
    | undefined

  constructor(given: {
    readonly session: Session
    readonly api: Api
    readonly theory: Theory
    readonly origin: string
    readonly newId: () => string
    readonly me: MyState
  }) {
    const { session, api, theory } = given
    this.boardId = session.boardId
    this.api = api
    this.theory = theory
    this.session = new Cell(session)
    this.#me = new Cell(given.me)
    const doc = new Doc()
    this.draft = new DraftStore(doc, given.newId)
    this.ledger = new LedgerCache((after) => api.ledger(this.boardId, after))
    this.connection = new Connection(doc, this.boardId, given.origin, {
      ledger: (message) => this.ledger.hear(message),
      notice: ({ code, message }) => this.trouble.set(words.notice(code, message)),
    })
    const places = derive([this.form], () => this.form.value?.places ?? {})
    let slots: readonly SlotView[] = []
    this.slots = derive([this.ledger.state, this.draft.view, places], () => {
      const next = this.board ? slotViews(this.board, this.draft.view.value, places.value) : []
      // A comment changes no decision: the same views again redraw nothing.
      if (JSON.stringify(next.map(viewKey)) !== JSON.stringify(slots.map(viewKey))) slots = next
      return slots
    })
    this.plan = derive([this.ledger.state, this.draft.view], () => this.#planNow())
    this.plan.watch(() => this.#settle())
    this.connection.awareness.on('change', () => this.#meet())
    this.connection.authors.watch(() => this.#meet())
    this.connection.line.watch((line) => {
      if (line.kind !== 'closed') return
      this.trouble.set(words.closed(line.code))
      if (line.code === CLOSE.revoked || line.code === CLOSE.noBoard) void this.#copy?.forget()
    })
    this.draft.overwritten.watch((told) => {
      if (told) this.trouble.set(words.desk.overwritten(told.mine, told.now))
    })
    this.slots.watch((slots) => this.#announceTrying(slots))
    this.ledger.newest.watch((entry) => this.#announce(entry))
    this.ledger.state.watch((state) => this.#followPolls(state))
    this.#me.watch((me) => this.connection.awareness.setLocalState({ ...me }))
    this.connection.awareness.setLocalState({ ...given.me })
  }

  get board(): BoardState | undefined {
    return this.ledger.state.value
  }
  get isLeader(): boolean {
    return this.session.value.role === 'leader'
  }
  get me(): MyState {
    return this.#me.value
  }

  /** Reads this browser's own copy of the draft first, so that edits made offline go along with the first exchange. */
  async open(): Promise<void> {
    this.#copy = await keepOffline(this.draft.doc, this.boardId)
    this.connection.connect()
  }

  close(): void {
    clearTimeout(this.#settling)
    this.connection.close()
  }

  /** Where I am and what I am called, for everybody to see. */
  tell(changes: Partial<MyState>): void {
    this.#me.set({ ...this.#me.value, ...changes })
  }

  /** The whole arrangement with every part; worked out once a plan. */
  arrangement(): Promise<{ planHash: string; arrangement: Arrangement; issues: readonly Issue[] }> {
    const plan = this.plan.value
    if (!plan) return Promise.reject(new Error('there is no tune yet'))
    if (this.#arrangement?.plan !== plan) this.#arrangement = { plan, promise: this.theory.ask('compile', plan) }
    return this.#arrangement.promise
  }

  /** Gives a command; its refusal is shown in words. Undefined where it was refused. */
  async command(
    kind: UserCommandKind,
    fields: { readonly [field: string]: unknown } = {},
  ): Promise<CommandAnswer | undefined> {
    try {
      const answer = await this.api.command(this.boardId, kind, { baseSeq: this.board?.seq ?? 0, ...fields })
      this.trouble.set(undefined)
      return answer
    } catch (error) {
      this.say(error, words.notDone(kind))
      return undefined
    }
  }

  /** Shows what went wrong, after what was not done because of it. */
  say(error: unknown, notDone = ''): void {
    if (error instanceof CallError) {
      const issues = error.issues.slice(0, 3).map((issue) => issue.message)
      const why = issues.length > 0 ? issues.join(' ') : error.message
      this.trouble.set(`${notDone} ${why}`.trim())
    } else this.trouble.set(words.unexpected(error instanceof Error ? error.message : String(error)))
  }

  /** Puts an option in place for everybody and asks the player to start a few bars before it. */
  hear(slot: Slot, option: Option, from: { readonly fromTick: number; readonly toTick?: number }): void {
    this.draft.try(slot, option, this.me.name)
    this.playRequest.set({ ...from, slotKey: slotKey(slot), optionId: option.id })
  }

  listenFrom(barIndex: number): void {
    let fromTick = 0
    for (const bar of this.form.value?.bars.slice(0, barIndex) ?? []) fromTick += bar.lengthTicks
    this.playRequest.set({ fromTick })
  }

  async refreshPoll(pollId: string): Promise<void> {
    try {
      const poll = await this.api.poll(pollId)
      this.polls.set(new Map([...this.polls.value, [pollId, poll]]))
    } catch (error) {
      if (!(error instanceof CallError) || error.code !== 'forbidden') this.say(error)
    }
  }

  async vote(pollId: string, choices: BallotChoices): Promise<boolean> {
    try {
      await this.api.vote(pollId, choices)
      await this.refreshPoll(pollId)
      this.news.set(words.desk.voteIn)
      return true
    } catch (error) {
      this.say(error)
      return false
    }
  }

  /** The same object as before while neither ledger nor tried choices changed: a comment recompiles nothing. */
  #planNow(): Plan | undefined {
    const state = this.board
    if (!state) return undefined
    const views = slotViews(state, this.draft.view.value, {})
    const trying = triedChoices(views, (slot) => this.draft.tried(slot))
    const key = JSON.stringify([state.seq, trying])
    if (this.#planKey !== key) {
      this.#planKey = key
      this.#lastPlan = planOfState(state, trying)
    }
    return this.#lastPlan
  }

  #settle(): void {
    clearTimeout(this.#settling)
    this.#settling = setTimeout(() => void this.#recompile(), this.form.value ? SETTLE_MS : 0)
  }

  async #recompile(): Promise<void> {
    const plan = this.plan.value
    const asked = ++this.#asked
    if (!plan) return this.form.set(undefined)
    try {
      const form = await this.theory.ask('form', plan)
      // An older answer than the newest question would show a state nobody is in.
      if (asked !== this.#asked) return
      if (form.planHash !== this.form.value?.planHash) this.form.set(form)
      this.formOf.set(plan)
    } catch (error) {
      if (asked === this.#asked) this.say(error)
    }
  }

  #meet(): void {
    const { awareness } = this.connection
    this.people.set(
      peopleOf(awareness.getStates(), this.connection.authors.value, {
        clientId: awareness.clientID,
        userId: this.session.value.userId,
        role: this.session.value.role,
      }),
    )
  }

  #announce(entry: LedgerEntry | undefined): void {
    if (!entry) return
    const said = words.ledgerNews(entry)
    if (said) this.news.set(said)
  }

  /** What everybody hears in place now, when it changes after the first look. */
  #announceTrying(slots: readonly SlotView[]): void {
    const now = new Map(slots.flatMap((view) => (view.tryingId === undefined ? [] : [[view.key, view] as const])))
    for (const [key, view] of now) {
      const title = this.draft.tried(view.slot)?.title
      if (this.#trying && title && this.#trying.get(key) !== view.tryingId) {
        this.news.set(words.desk.nowInPlace(view.slot.decision, title))
      }
    }
    if (this.form.value) this.#trying = new Map([...now].map(([key, view]) => [key, view.tryingId]))
  }

  #followPolls(state: BoardState | undefined): void {
    for (const { pollId, open } of state?.polls ?? []) {
      const known = this.polls.value.get(pollId)
      if (!known || known.open !== open) void this.refreshPoll(pollId)
    }
  }
}
