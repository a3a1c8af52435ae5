/** Where an audio context's time lies on `performance.now()`, from many of its timestamps: single ones are off by a block or two while a context
 *  wakes, after a block that came late, and before the first sound leaves. Pure of audio: it is told timestamps. */

/** What `getOutputTimestamp()` says: seconds of the context, milliseconds of `performance.now()`. */
export interface Stamp {
  readonly contextTime: number
  readonly performanceTime: number
}

/** The middle of half a second of them at the player's 25 ms ticks: a step of the device is followed a quarter of a second later. */
const KEPT = 20
/** A context that has run for less still fills its buffers: its timestamps jump by whole blocks. */
const WAKING_SECONDS = 0.06
/** As many timestamps make the clock good enough to start by. */
const ENOUGH = 7

export class AudioClock {
  /** Milliseconds from the context's time to `performance.now()`, newest last. */
  #offsets: number[] = []
  #last = 0

  /** Takes a timestamp in, if it is a new one of a context that is awake. */
  take({ contextTime, performanceTime }: Stamp): void {
    if (contextTime < WAKING_SECONDS || contextTime === this.#last) return
    this.#last = contextTime
    this.#offsets.push(performanceTime - contextTime * 1000)
    if (this.#offsets.length > KEPT) this.#offsets.shift()
  }

  /** After a sleep the context goes on from where it was: what was known of it says nothing any more. */
  forget(): void {
    this.#offsets = []
  }

  get isSteady(): boolean {
    return this.#offsets.length >= ENOUGH
  }

  /** Milliseconds to add to the context's time; undefined before the first timestamp. */
  get offsetMs(): number | undefined {
    const sorted = this.#offsets.toSorted((a, b) => a - b)
    const middle = sorted.length / 2
    const [low, high] = [sorted[Math.ceil(middle) - 1], sorted[Math.floor(middle)]]
    return low === undefined || high === undefined ? undefined : (low + high) / 2
  }
}
