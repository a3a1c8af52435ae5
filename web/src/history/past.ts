/** Hears bars of a former state on this page alone. The band's playing goes on without this page meanwhile; nothing is shared, nothing changes. */
import type { Arrangement, Plan } from '@chartloft/shared-theory'
import { listeningOf } from '../listen/listening-of.js'
import { ClipPlayer, type ClipPlace } from '../poll/clip.js'
import { Cell } from '../state/cell.js'
import type { Room } from '../state/room.js'
import { barsOf } from './bars-of.js'

/** What is being heard: `key` names the button that asked for it. */
export interface Heard {
  readonly key: string
  /** Undefined while the music is worked out or its sound is loaded. */
  readonly leftMs: number | undefined
}

export class PastHearing {
  readonly now = new Cell<Heard | undefined>(undefined)
  readonly #room: Room
  readonly #clip: ClipPlayer
  #made: { readonly plan: Plan; readonly arrangement: Promise<Arrangement> } | undefined
  /** Whether this page was together with the band before, and goes back to it. */
  #returns = false

  constructor(room: Room) {
    this.#room = room
    this.#clip = new ClipPlayer(room.theory)
    this.#clip.place.watch((place) => this.#placed(place))
    // Whoever presses play at the foot wants the piece as it is now.
    listeningOf(room).stage.watch((stage) => {
      if (this.now.value && (stage === 'waiting' || stage === 'playing')) this.stop()
    })
  }

  /** Bars `from` to `to` (both heard) of what the plan makes, from its first bar to its last where nothing else is said. */
  async hear(key: string, plan: Plan, from = 0, to = Infinity): Promise<void> {
    this.#leaveBand()
    const asked: Heard = { key, leftMs: undefined }
    this.now.set(asked)
    try {
      if (this.#made?.plan !== plan)
        this.#made = { plan, arrangement: this.#room.theory.ask('compile', plan).then((made) => made.arrangement) }
      const arrangement = await this.#made.arrangement
      if (this.now.value === asked) await this.#clip.play(key, barsOf(arrangement, from, to))
    } catch (error) {
      this.#made = undefined
      if (this.now.value?.key === key) this.stop()
      this.#room.say(error)
    }
  }

  stop(): void {
    this.now.set(undefined)
    this.#clip.stop()
    if (!this.#returns) return
    this.#returns = false
    listeningOf(this.#room).setTogether(true)
  }

  #leaveBand(): void {
    const listening = listeningOf(this.#room)
    this.#returns ||= listening.together.value
    listening.setTogether(false)
    if (listening.stage.value !== 'stopped') listening.stop()
  }

  #placed(place: ClipPlace | undefined): void {
    const { value } = this.now
    if (!value) return
    if (place?.optionId === value.key)
      this.now.set({ key: value.key, leftMs: place.stage === 'playing' ? place.leftMs : undefined })
    // It came to its end by itself; before the first note the clip before it ends, which is no end of this one.
    else if (!place && value.leftMs !== undefined) this.stop()
  }
}

const known = new WeakMap<Room, PastHearing>()

/** One a room: what one button started, another ends. */
export function pastOf(room: Room): PastHearing {
  const hearing = known.get(room) ?? new PastHearing(room)
  known.set(room, hearing)
  return hearing
}
