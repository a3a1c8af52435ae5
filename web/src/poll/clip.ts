/** Plays one poll option's arrangement on this page alone. The band's sound is loaded when the first clip is asked for. */
import type { Arrangement } from '@chartloft/shared-theory'
import type { Player } from '../audio/index.js'
import { Cell } from '../state/cell.js'
import type { Theory } from '../state/theory.js'

export interface ClipPlace {
  readonly optionId: string
  readonly stage: 'loading' | 'playing'
  /** 0 to 1, and what remains. */
  readonly share: number
  readonly leftMs: number
}

export class ClipPlayer {
  readonly place = new Cell<ClipPlace | undefined>(undefined)
  readonly #theory: Theory
  #band: Player | undefined
  #timer: ReturnType<typeof setInterval> | undefined
  #asked = 0

  constructor(theory: Theory) {
    this.#theory = theory
  }

  /** Call from the click itself: browsers stay silent otherwise. `onEnd` is called when it has played to its end, not when it was stopped. */
  async play(optionId: string, arrangement: Arrangement, onEnd?: () => void): Promise<void> {
    this.stop()
    const asked = this.#asked
    this.place.set({ optionId, stage: 'loading', share: 0, leftMs: 0 })
    const { Player: Band } = await import('../audio/index.js')
    const band = (this.#band ??= await Band.inSlices())
    await band.wake()
    const events = await this.#theory.ask('scheduleArrangement', arrangement)
    await band.setBand(arrangement)
    if (asked !== this.#asked) return
    const lengthMs = events.reduce((end, event) => Math.max(end, event.startMs + event.durationMs), 0)
    band.load(events)
    band.play({ atPerformanceMs: performance.now() + 120, fromMs: 0 }, () => {
      this.stop()
      onEnd?.()
    })
    this.#timer = setInterval(() => {
      const at = band.positionMs() ?? 0
      this.place.set({ optionId, stage: 'playing', share: at / lengthMs, leftMs: lengthMs - at })
    }, 250)
  }

  stop(): void {
    this.#asked++
    clearInterval(this.#timer)
    this.#band?.stop()
    this.place.set(undefined)
  }
}

/** How long an arrangement lasts, for the button that plays it. */
export function lengthMs(arrangement: Arrangement): number {
  return arrangement.bars.reduce(
    (sum, bar) => sum + (bar.lengthTicks / 5040) * (60_000 / ((bar.tempoBpm + (bar.tempoEndBpm ?? bar.tempoBpm)) / 2)),
    0,
  )
}
