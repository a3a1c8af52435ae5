/** The server's clock as seen from here: ten exchanges, the quietest way out and the quietest way back count, corrections slew instead of jumping. */
import { type ClockAnswer, estimateOffset } from '@chartloft/shared-theory/board'

const EXCHANGES = 10
/** Exchanges stay in the comparison this long: a quiet moment beats many busy ones, and clocks drift little meanwhile. */
const REMEMBER_MS = 30_000
/** Until so many rounds are in, a better estimate is taken at once: the first ones are made while the page still loads. */
const SETTLED_AFTER_ROUNDS = 2
/** How fast a correction may move the clock: 2 ms a second is far below what an ear can tell in tempo. */
const SLEW_MS_PER_MS = 0.002
/** By so much two machines' clocks may go apart while exchanges are compared: crystals differ by some tens of parts in a million. */
const DRIFT = 50e-6
/** Corrections beyond this jump: nothing heard depends on a clock that wrong. */
const JUMP_MS = 250

interface Exchange {
  readonly t0: number
  readonly t1: number
  readonly t2: number
  readonly t3: number
}

/** One exchange made of the least delay each way. Delays of the two ways are drawn apart: a quiet way out seldom meets a quiet way back, and a
 *  single exchange is as wrong as the two differ. Source: minimum filters of clock synchronisation, common practice. */
function quietest(exchanges: readonly Exchange[]): Exchange {
  const out = Math.min(...exchanges.map(({ t0, t1 }) => t1 - t0))
  const back = Math.min(...exchanges.map(({ t2, t3 }) => t3 - t2))
  return { t0: 0, t1: out, t2: out, t3: out + back }
}

export class ServerClock {
  readonly #now: () => number
  #samples: Exchange[] = []
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
    const last = { ...answer, t3: now }
    const held = [...this.#samples.filter(({ t3 }) => now - t3 < REMEMBER_MS), last]
    // Less than no time both ways: a clock has been set meanwhile, and what was measured before is of another one.
    this.#samples = quietest(held).t3 < 0 ? [last] : held
    this.#inRound++
    const { offset, error } = estimateOffset([quietest(this.#samples)])
    if (Number.isFinite(error)) {
      const offsetNow = this.#slewed()
      this.#at = this.#now()
      this.#target = offset
      const jumps = this.#rounds < SETTLED_AFTER_ROUNDS || Math.abs(offset - offsetNow) > JUMP_MS
      this.#offset = jumps ? offset : offsetNow
      this.errorMs = error + (now - (this.#samples[0]?.t3 ?? now)) * DRIFT
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
