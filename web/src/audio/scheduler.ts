/** Hands notes to the audio clock a little before they sound. Pure of audio: it is told the time and asked what is due. */
import type { PlayEvent } from '@chartloft/shared-theory'

/** Milliseconds of the schedule between which playing goes round. */
export interface Loop {
  readonly fromMs: number
  readonly toMs: number
}

export interface DueNote {
  readonly event: PlayEvent
  /** Seconds from the start of playing. */
  readonly startsSeconds: number
  readonly durationSeconds: number
}

/** Walks a sorted schedule from a place on; with a loop it goes round for ever. */
export class Scheduler {
  readonly #events: readonly PlayEvent[]
  readonly #loop: Loop | undefined
  readonly #fromMs: number
  #index = 0
  /** Milliseconds added to schedule times by the rounds already played. */
  #shiftMs = 0

  constructor(events: readonly PlayEvent[], fromMs: number, loop?: Loop) {
    this.#events = [...events].sort((a, b) => a.startMs - b.startMs)
    this.#loop = loop && loop.toMs > loop.fromMs ? loop : undefined
    this.#fromMs = fromMs
    this.#index = this.#firstAt(fromMs)
  }

  /** Notes whose start lies before `untilSeconds` after the start of playing, each once, in order. */
  due(untilSeconds: number): readonly DueNote[] {
    const found: DueNote[] = []
    for (;;) {
      const event = this.#events[this.#index]
      const loop = this.#loop
      if (loop && (!event || event.startMs >= loop.toMs)) {
        if ((loop.toMs + this.#shiftMs - this.#fromMs) / 1000 >= untilSeconds) return found
        this.#shiftMs += loop.toMs - loop.fromMs
        this.#index = this.#firstAt(loop.fromMs)
        if ((this.#events[this.#index]?.startMs ?? Infinity) >= loop.toMs) return found
        continue
      }
      if (!event) return found
      const startsSeconds = (event.startMs + this.#shiftMs - this.#fromMs) / 1000
      if (startsSeconds >= untilSeconds) return found
      const endMs = loop ? Math.min(event.startMs + event.durationMs, loop.toMs) : event.startMs + event.durationMs
      found.push({ event, startsSeconds, durationSeconds: (endMs - event.startMs) / 1000 })
      this.#index++
    }
  }

  /** Where in the schedule (ms) playing is, so many seconds after its start. */
  positionMs(seconds: number): number {
    const at = this.#fromMs + seconds * 1000
    const loop = this.#loop
    if (!loop || at < loop.toMs) return at
    return loop.fromMs + ((at - loop.toMs) % (loop.toMs - loop.fromMs))
  }

  get endMs(): number {
    return this.#events.reduce((end, event) => Math.max(end, event.startMs + event.durationMs), 0)
  }

  #firstAt(ms: number): number {
    let low = 0
    let high = this.#events.length
    while (low < high) {
      const middle = (low + high) >> 1
      if ((this.#events[middle] as PlayEvent).startMs < ms) low = middle + 1
      else high = middle
    }
    return low
  }
}
