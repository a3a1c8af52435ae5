/** Plays a tune that is being brought in, on this page alone. The sounds are loaded when it is first asked for. */
import type { Tune } from '@chartloft/shared-theory'
import type { Player } from '../audio/index.js'
import { Cell } from '../state/cell.js'
import type { Theory } from '../state/theory.js'

export type Heard =
  | { readonly stage: 'silent' }
  | { readonly stage: 'loading'; readonly what: string }
  | { readonly stage: 'playing'; readonly what: string; readonly bar: number }

const SOON_MS = 120
const LOOK_EVERY_MS = 120

export class TuneListener {
  readonly heard = new Cell<Heard>({ stage: 'silent' })
  readonly #theory: Theory
  #band: Player | undefined
  #timer: ReturnType<typeof setInterval> | undefined
  #asked = 0

  constructor(theory: Theory) {
    this.#theory = theory
  }

  /** `what` names the button that asked. Call from the click itself: browsers stay silent otherwise. */
  async play(what: string, tune: Tune, { fromBar = 0, isMelodyOnly = false } = {}): Promise<void> {
    this.stop()
    const asked = this.#asked
    this.heard.set({ stage: 'loading', what })
    try {
      const { Player: Band } = await import('../audio/index.js')
      const band = (this.#band ??= new Band())
      await band.wake()
      const { arrangement, events, barStartMs } = await this.#theory.ask('hear', tune, { isMelodyOnly })
      await band.setBand(arrangement)
      if (asked !== this.#asked) return
      band.load(events)
      const fromMs = barStartMs[fromBar] ?? 0
      band.play({ atPerformanceMs: performance.now() + SOON_MS, fromMs }, () => this.stop())
      const look = (): void => {
        const at = band.positionMs() ?? fromMs
        const bar = Math.max(
          0,
          barStartMs.findLastIndex((start) => start <= at),
        )
        const now = this.heard.value
        if (now.stage !== 'playing' || now.bar !== bar) this.heard.set({ stage: 'playing', what, bar })
      }
      look()
      this.#timer = setInterval(look, LOOK_EVERY_MS)
    } catch (error) {
      if (asked === this.#asked) this.stop()
      throw error
    }
  }

  stop(): void {
    this.#asked++
    clearInterval(this.#timer)
    this.#band?.stop()
    if (this.heard.value.stage !== 'silent') this.heard.set({ stage: 'silent' })
  }

  close(): void {
    this.stop()
    this.#band?.close()
    this.#band = undefined
  }
}
