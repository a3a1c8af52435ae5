/** What lies on the desk for one decision: the proposed options, the band's own, their excerpts, worked out as they are wanted. */
import type { ReactiveController, ReactiveControllerHost } from 'lit'
import type { Option, Plan, Wish } from '@chartloft/shared-theory'
import { Cell } from '../../state/cell.js'
import type { Room } from '../../state/room.js'
import type { SlotView } from '../../state/slots.js'
import type { DeskOption } from '../../state/theory-protocol.js'

export interface NumberedOption {
  /** From 1; sections have letters, options numbers. */
  readonly number: number
  readonly option: Option
  readonly isEdited: boolean
}
export interface Asked {
  readonly key: string
  readonly options: readonly Option[]
  readonly absent: readonly { readonly recipe: string; readonly why: string }[]
  /** Numbers everybody shares: those of the list nobody wished anything of, then the others as they come. */
  readonly numbers: ReadonlyMap<string, number>
}

/** How many options lie side by side before anybody chose which. */
const SIDE_BY_SIDE = 3

export class DeskOptions implements ReactiveController {
  readonly asked = new Cell<Asked | undefined>(undefined)
  /** What this reader asks for beyond the best; nobody else's list changes by it. */
  readonly wish = new Cell<Wish>({})
  readonly #host: ReactiveControllerHost
  readonly #room: () => Room
  readonly #excerpts = new Map<string, DeskOption | 'asked'>()
  #asking = ''
  /** How many there were before the reader last asked for more. */
  #before = 0
  #chosen: ReadonlySet<string> | undefined

  constructor(host: ReactiveControllerHost, room: () => Room) {
    this.#host = host
    this.#room = room
    host.addController(this)
  }

  hostDisconnected(): void {
    this.#excerpts.clear()
  }

  /** Asks the worker anew where slot or ledger changed; harmless to call with every redraw. */
  refresh(view: SlotView, plan: Plan): void {
    const isOther = !this.#asking.startsWith(`${view.key} `)
    if (isOther) this.wish.set({})
    const wish = this.wish.value
    const key = `${view.key} ${this.#room().board?.seq ?? 0} ${JSON.stringify(wish)}`
    if (this.#asking === key) return
    this.#asking = key
    if (isOther) {
      this.asked.set(undefined)
      this.#chosen = undefined
      this.#excerpts.clear()
    }
    const room = this.#room()
    const best = room.theory.ask('options', plan, view.slot)
    const wished = Object.keys(wish).length === 0 ? best : room.theory.ask('options', plan, view.slot, wish)
    Promise.all([best, wished])
      .then(([{ options: first }, { options, absent }]) => {
        if (this.#asking !== key) return
        this.#excerpts.clear()
        const ids = new Set([...first, ...options].map((option) => option.id))
        this.asked.set({ key, options, absent, numbers: new Map([...ids].map((id, index) => [id, index + 1])) })
        this.#host.requestUpdate()
      })
      .catch((error: unknown) => room.say(error))
  }

  /** Proposed options in their order, then what stands in the draft for this slot beside them. */
  all(view: SlotView): readonly NumberedOption[] {
    const asked = this.asked.value
    if (!asked) return []
    const { draft } = this.#room()
    const proposed = new Set(asked.options.map((option) => option.id))
    const own = draft.view.value.options.filter(
      (held) => held.slot.decision === view.slot.decision && held.id === view.tryingId && !proposed.has(held.id),
    )
    const locked = view.lock && !proposed.has(view.lock.option.id) ? [view.lock.option] : []
    const rest = [...own.map((held) => held.option), ...locked]
    const unique = rest.filter((option, index) => rest.findIndex((other) => other.id === option.id) === index)
    let last = asked.numbers.size
    return [...asked.options, ...unique].map((option) => {
      // What is locked is shown as it was locked; what the draft says about it since is kept aside.
      const current = view.lock?.option.id === option.id ? view.lock.option : draft.current(option)
      const number = asked.numbers.get(option.id) ?? ++last
      return { number, option: current, isEdited: (current.handEdits?.length ?? 0) > 0 }
    })
  }

  /** Those side by side: the reader's own choice, at first the best three and whatever is tried, voted on or locked. */
  shown(view: SlotView): readonly NumberedOption[] {
    const all = this.all(view)
    const chosen = this.#chosen
    if (chosen) return all.filter(({ option }) => chosen.has(option.id))
    const poll = view.poll?.open ? this.#room().polls.value.get(view.poll.pollId) : undefined
    const first = new Set(
      poll ? poll.options.map((option) => option.id) : all.slice(0, SIDE_BY_SIDE).map(({ option }) => option.id),
    )
    if (view.lock) first.add(view.lock.option.id)
    if (view.tryingId !== undefined) first.add(view.tryingId)
    return all.filter(({ option }) => first.has(option.id))
  }

  /** Whether the reader asked for more and got nothing new. */
  get isExhausted(): boolean {
    return (this.wish.value.more ?? 0) > 0 && (this.asked.value?.options.length ?? 0) <= this.#before
  }

  /** Asks for other options, or others first; what was compared stays. */
  ask(wish: Wish): void {
    if ((wish.more ?? 0) > (this.wish.value.more ?? 0)) this.#before = this.asked.value?.options.length ?? 0
    this.wish.set(wish)
    this.#host.requestUpdate()
  }

  show(view: SlotView, optionId: string, isShown: boolean): void {
    const next = new Set(this.shown(view).map(({ option }) => option.id))
    if (isShown) next.add(optionId)
    else next.delete(optionId)
    this.#chosen = next
    this.#host.requestUpdate()
  }

  /** The excerpt of an option as it stands now; undefined while it is being worked out. */
  excerpt(view: SlotView, plan: Plan, option: Option): DeskOption | undefined {
    const key = `${this.asked.value?.key} ${option.id} ${JSON.stringify(option.handEdits ?? [])}`
    const held = this.#excerpts.get(key)
    if (held === 'asked') return this.#lastOf(option.id)
    if (held) return held
    this.#excerpts.set(key, 'asked')
    const room = this.#room()
    room.theory
      .ask('excerpt', plan, view.slot, option)
      .then((told) => {
        if (!this.#excerpts.has(key)) return
        this.#excerpts.set(key, told)
        this.#host.requestUpdate()
      })
      .catch((error: unknown) => room.say(error))
    return this.#lastOf(option.id)
  }

  /** While an edited excerpt is on its way, the one before it stays. */
  #lastOf(optionId: string): DeskOption | undefined {
    return [...this.#excerpts.values()].findLast(
      (held): held is DeskOption => held !== 'asked' && held.option.id === optionId,
    )
  }
}
