/**
 * One board on one page: everything the elements show and everything they may ask for.
 * Elements get it by context (`roomContext`), watch its cells, and call its verbs; nothing else holds state that others need.
 */
import { createContext } from '@lit/context'
import { Doc } from 'yjs'
import type { BoardState, HandEdit, Issue, LedgerEntry, Option, Plan, Slot } from '@chartloft/shared-theory'
import {
  type BallotChoices,
  CLOSE,
  parseSlotKey,
  planOfState,
  slotKey,
  type UserCommandKind,
  writerOf,
} from '@chartloft/shared-theory/board'
import { Connection } from '../sync/connection.js'
import { keepOffline, type OfflineCopy } from '../sync/offline.js'
import type { KeptBoards } from '../offline/kept-boards.js'
import { type NoteStore, OwnNotes } from '../offline/own-notes.js'
import { type Api, CallError, type CommandAnswer, type PollView, type Session } from '../sync/http.js'
import { words } from '../words.js'
import { placeOf } from './bar-number.js'
import { Cell, derive, type Watchable } from './cell.js'
import { DraftStore } from './draft.js'
import { type Conflict, editFrom } from './conflicts.js'
import { isHolder } from './leaf.js'
import { LedgerCache } from './ledger.js'
import { type MyState, peopleOf, type Person } from './presence.js'
import { slotViews, type SlotView, triedChoices } from './slots.js'
import type { Step, Way } from './steps.js'
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
/** The board as it stands by what is known before the socket is open: the server's word on coming in, or where there is no network as this
 *  browser last saw it (`isKept`). */
export interface Known {
  readonly state: BoardState
  readonly isKept: boolean
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
/** Edits closer together than this are a run: several people, or one who types. */
const RUN_MS = 200
/** How often a page without a line asks why it has none. */
const ASK_WHY_MS = 5000
/** How long the board may change before its last state is written down for the next time without a network. */
const KEEP_AFTER_MS = 400
/** How long bars wait for the draft: what the band tries would push them about a moment later. */
const DRAFT_WAIT_MS = 2500
/** How long after the exchange of edits the merged music is looked at. */
const MERGED_AFTER_MS = 400

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
  /** The plan once edits rest: what form and player are worked out for now. */
  readonly settled = new Cell<Plan | undefined>(undefined)
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
  /** What the rules find in the music merged after working without a line that they did not find before. */
  readonly mergeIssues = new Cell<readonly Issue[]>([])
  readonly #me: Cell<MyState>
  /** What this browser keeps of its person's own work on the board. */
  readonly notes: OwnNotes
  readonly #boards: KeptBoards
  #keeping: ReturnType<typeof setTimeout> | undefined
  #askedWhy = -Infinity
  #before: ReadonlySet<string> | undefined
  #merging: ReturnType<typeof setTimeout> | undefined
  #settling: ReturnType<typeof setTimeout> | undefined
  #changedAt = -Infinity
  #asked = 0
  #copy: OfflineCopy | undefined
  readonly #draftIsHere: Promise<void>
  #trying: ReadonlyMap<string, string | undefined> | undefined
  #planKey = ''
  #lastPlan: Plan | undefined

  constructor(given: {
    readonly session: Session
    readonly api: Api
    readonly theory: Theory
    readonly origin: string
    readonly newId: () => string
    readonly me: MyState
    readonly storage: NoteStore
    readonly boards: KeptBoards
    readonly known?: Known
  }) {
    const { session, api, theory } = given
    this.boardId = session.boardId
    this.api = api
    this.theory = theory
    this.session = new Cell(session)
    this.#me = new Cell(given.me)
    const doc = new Doc()
    this.#boards = given.boards
    this.notes = new OwnNotes(given.storage, this.boardId, given.newId())
    const ids = this.notes.clientIds(doc.clientID)
    const writer = (client: number, clock: number) => writerOf(this.connection.authors.value, client, clock)
    const isMine = (client: number, clock = Infinity) => {
      const known = writer(client, clock)
      const isBroughtByAnother = known !== this.connection.authors.value[String(client)]
      return (!isBroughtByAnother && ids.has(client)) || known?.userId === this.session.value.userId
    }
    this.draft = new DraftStore(doc, given.newId, this.notes, {
      isMine,
      nameOf: (client, clock) => writer(client, clock)?.name,
    })
    this.ledger = new LedgerCache((after) => api.ledger(this.boardId, after))
    this.connection = new Connection(
      doc,
      this.boardId,
      given.origin,
      {
        ledger: (message) => this.ledger.hear(message),
        notice: ({ code, message }) => this.trouble.set(words.notice(code, message)),
        shutOut: () => void this.#askWhy(),
      },
      this.notes.takeWaiting(),
    )
    this.connection.kept.watch((kept) => this.notes.setWaiting(kept.state === 'saved' ? 0 : kept.waiting))
    this.connection.line.watch(({ kind }) => {
      if (kind === 'online' && this.connection.kept.value.state !== 'saved' && this.connection.kept.value.waiting > 0)
        this.#beforeMerge()
    })
    this.connection.synced.watch(() => this.#mergedSoon())
    this.#draftIsHere = new Promise((resolve) => {
      this.connection.synced.watch(() => resolve())
      this.connection.line.watch(({ kind }) => kind !== 'connecting' && kind !== 'online' && resolve())
      setTimeout(resolve, DRAFT_WAIT_MS)
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
      if (line.code === CLOSE.revoked || line.code === CLOSE.noBoard) void this.#forget()
    })
    this.draft.conflicts.open.watch((open) => open.length > 0 && this.#beforeMerge())
    this.formOf.watch(() => this.#mergedSoon())
    this.ledger.state.watch(() => this.#keep())
    this.slots.watch((slots) => this.#announceTrying(slots))
    this.ledger.newest.watch((entry) => this.#announce(entry))
    this.ledger.state.watch((state) => this.#followPolls(state))
    this.#me.watch((me) => this.connection.awareness.setLocalState({ ...me }))
    this.connection.awareness.setLocalState({ ...given.me })
    if (given.known?.isKept) this.ledger.openKept(given.known.state)
    else if (given.known) this.ledger.hear({ seq: given.known.state.seq, state: given.known.state })
  }

  get board(): BoardState | undefined {
    return this.ledger.state.value
  }
  /** The board as this browser last saw it, with nothing heard from the server yet. */
  get isKept(): boolean {
    return this.ledger.isKept
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
    clearTimeout(this.#keeping)
    clearTimeout(this.#merging)
    this.connection.close()
  }

  /** Where I am and what I am called, for everybody to see. */
  tell(changes: Partial<MyState>): void {
    this.#me.set({ ...this.#me.value, ...changes })
  }

  /** Takes back one's own newest edit, or does it again, and says which it was. */
  step(way: Way): void {
    const step = way === 'undo' ? this.draft.undo() : this.draft.redo()
    if (step) this.news.set(words.stepped(way, this.sayStep(step)))
  }

  /** A step as a label names it: 'D♭7 in bar 30'. */
  sayStep({ deed }: Step): string {
    return words.deed(deed, 'edit' in deed ? placeOf(this.form.value?.bars ?? [], deed.edit) : {})
  }

  sayEdit(edit: HandEdit): string {
    return this.sayStep({ deed: { kind: 'edit', edit }, changes: [] })
  }

  /** Who the other one is, as the server knows it. */
  otherIn({ other, at, who }: Conflict): string {
    const known = writerOf(this.connection.authors.value, other, at ?? Infinity)
    return known ? known.name || words.join.nobody : (who ?? words.join.nobody)
  }

  /** Of a place two people rewrote without seeing each other's: which one stands, in words. */
  sayConflict(conflict: Conflict): string {
    const who = this.otherIn(conflict)
    if (conflict.path[0] === 'trying') {
      const title = (id: unknown) => (typeof id === 'string' ? this.draft.optionNamed(id)?.option.title : undefined)
      return words.merge.tried(conflict, who, parseSlotKey(conflict.path[1] as string)?.decision, {
        mine: title(conflict.mine),
        theirs: title(conflict.theirs),
      })
    }
    if (isHolder(conflict.path)) {
      return words.merge.began(who, this.draft.optionNamed(conflict.path[1] as string)?.option.title)
    }
    const mine = editFrom(conflict.mine)
    const place = mine ? placeOf(this.form.value?.bars ?? [], mine) : {}
    return words.merge.rewrote(conflict, who, place, { mine, theirs: editFrom(conflict.theirs) })
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
    // What is locked is in place whatever the draft tries.
    if (!this.slots.value.some((view) => view.key === slotKey(slot) && view.lock))
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
      const poll = await this.api.poll(pollId, this.polls.value.get(pollId))
      this.polls.set(new Map([...this.polls.value, [pollId, poll]]))
    } catch (error) {
      // Without a line a poll is simply not there; the page says elsewhere that it is offline.
      if (!(error instanceof CallError) || (error.code !== 'forbidden' && error.code !== 'offline')) this.say(error)
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

  /** The first edit after a rest is worked out at once; of a run of them each waits for the next a little. */
  #settle(): void {
    clearTimeout(this.#settling)
    const now = performance.now()
    const isInRun = this.form.value !== undefined && now - this.#changedAt < RUN_MS
    this.#changedAt = now
    if (isInRun) this.#settling = setTimeout(() => void this.#recompile(), SETTLE_MS)
    else void this.#recompile()
  }

  async #recompile(): Promise<void> {
    const plan = this.plan.value
    const asked = ++this.#asked
    if (!plan) return this.form.set(undefined)
    try {
      // What is heard goes first: a player that plays asks now.
      this.settled.set(plan)
      const form = await this.theory.ask('form', plan)
      await this.#draftIsHere
      // An older answer than the newest question would show a state nobody is in.
      if (asked !== this.#asked) return
      if (form.planHash !== this.form.value?.planHash) this.form.set(form)
      this.formOf.set(plan)
    } catch (error) {
      if (asked === this.#asked) this.say(error)
    }
  }

  /** No socket although there is a network: either the server is away, or this browser may no longer come in. */
  async #askWhy(): Promise<void> {
    const now = performance.now()
    if (now - this.#askedWhy < ASK_WHY_MS) return
    this.#askedWhy = now
    try {
      this.session.set(await this.api.session(this.boardId))
    } catch (error) {
      if (!(error instanceof CallError)) throw error
      if (error.code === 'no_session' || error.code === 'forbidden') this.connection.end(CLOSE.revoked)
      else if (error.code === 'not_found') this.connection.end(CLOSE.noBoard)
    }
  }

  /** Writes down what opens this board without a network. */
  #keep(): void {
    clearTimeout(this.#keeping)
    this.#keeping = setTimeout(() => {
      const state = this.board
      if (state && this.connection.line.value.kind !== 'closed')
        void this.#boards.keep({ session: this.session.value, state })
    }, KEEP_AFTER_MS)
  }

  async #forget(): Promise<void> {
    clearTimeout(this.#keeping)
    this.notes.forget()
    await Promise.all([this.#boards.forget(this.boardId), this.#copy?.forget()])
  }

  /** What the rules had against the music as it stood on this page, so that what a merge brings is told apart. */
  #beforeMerge(): void {
    if (this.form.value) this.#before ??= new Set(this.form.value.issues.map((issue) => issue.message))
  }

  /** What came with the merge is in the plan a moment later. */
  #mergedSoon(): void {
    if (!this.#before) return
    clearTimeout(this.#merging)
    this.#merging = setTimeout(() => this.#afterMerge(), MERGED_AFTER_MS)
  }

  /** The merged music has been worked out: what is new in it is said once. */
  #afterMerge(): void {
    const before = this.#before
    if (!before || !this.connection.synced.value || this.formOf.value !== this.plan.value) return
    this.#before = undefined
    const found = (this.form.value?.issues ?? []).filter(
      ({ severity, message }) => severity !== 'note' && !before.has(message),
    )
    this.mergeIssues.set(found)
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
