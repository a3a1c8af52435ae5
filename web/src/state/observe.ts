/** Redraws an element when watched values change: the bridge from cells to Lit. */
import type { ReactiveController, ReactiveControllerHost } from 'lit'
import type { Watchable } from './cell.js'

export class Observe implements ReactiveController {
  readonly #host: ReactiveControllerHost
  readonly #sources: () => readonly (Watchable<unknown> | undefined)[]
  #leave: (() => void)[] = []

  /** `sources` is asked each time the element enters the page, so it may depend on what the element was given. */
  constructor(host: ReactiveControllerHost, sources: () => readonly (Watchable<unknown> | undefined)[]) {
    this.#host = host
    this.#sources = sources
    host.addController(this)
  }

  hostConnected(): void {
    this.refresh()
  }

  /** Watches anew: for elements whose sources appear after they entered the page. */
  refresh(): void {
    this.hostDisconnected()
    for (const source of this.#sources()) {
      if (source) this.#leave.push(source.watch(() => this.#host.requestUpdate()))
    }
  }

  hostDisconnected(): void {
    for (const leave of this.#leave) leave()
    this.#leave = []
  }
}
