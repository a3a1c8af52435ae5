/** The server's clock as seen from here: ten exchanges, the least round trip counts, corrections slew instead of jumping. */
import { type ClockAnswer, estimateOffset } from '@chartloft/shared-theory/board'

const EXCHANGES = 10
/** Exchanges stay in the comparison this long: a quiet moment beats many busy ones, and clocks drift little meanwhile. */
const REMEMBER_MS = 30_000
/** Until so many rounds are in, a better estimate is taken at once: the first ones are made while the page still loads. */
const SETTLED_AFTER_ROUNDS = 2
/** How fast a correction may move the clock: 2 ms a second is far below what an ear can tell in tempo. */
const SLEW_MS_PER_MS = 0.002
/** Corrections beyond this jump: nothing heard depends on a clock that wrong. */
const JUMP_MS = 250

export class ServerClock {
  readonly #now: () => number
  #samples: { t0: number; t1: number; t2: number; t3: number }[] = []
  #inRound = 0
  #rounds = 0
  #target = 0
  #offset = 0
  #at: number
  #known = false
  errorMs = Infinity

  /** `now` is a monotonic clock in ms, `performance.now` in a page. */
  constructor(now: () => number) {
    this.#now = now
    this.#at = now()
  }

  /** Whether one estimate has been made; before that `serverNow` is only this machine's own clock. */
  get isKnown(): boolean {
    return this.#known
  }

  /** Forgets what was measured over an old connection. */
  restart(): void {
    this.#samples = []
    this.#inRound = 0
    this.#rounds = 0
  }

  /** Takes in an answer; returns whether more exchanges are wanted for this round. */
  heard(answer: ClockAnswer): boolean {
    const now = this.#now()
    this.#samples = [...this.#samples.filter(({ t3 }) => now - t3 < REMEMBER_MS), { ...answer, t3: now }]
    this.#inRound++
    const { offset, error } = estimateOffset(this.#samples)
    if (Number.isFinite(error)) {
      const offsetNow = this.#slewed()
      this.#at = this.#now()
      this.#target = offset
      const jumps = this.#rounds < SETTLED_AFTER_ROUNDS || Math.abs(offset - offsetNow) > JUMP_MS
      this.#offset = jumps ? offset : offsetNow
      this.errorMs = error
      this.#known = true
    }
    if (this.#inRound < EXCHANGES) return true
    this.#inRound = 0
    this.#rounds++
    return false
  }

  serverNow(): number {
    return this.#now() + this.#slewed()
  }

  /** The local monotonic time at which the server's clock shows `serverMs`. */
  localTimeOf(serverMs: number): number {
    return serverMs - this.#slewed()
  }

  #slewed(): number {
    const reach = (this.#now() - this.#at) * SLEW_MS_PER_MS
    const away = this.#target - this.#offset
    return this.#offset + Math.sign(away) * Math.min(Math.abs(away), reach)
  }
}
