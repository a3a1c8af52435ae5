/** Keeps the screen lit while an element is on the page: a stand must not go dark in the middle of a chorus. */
import type { ReactiveController, ReactiveControllerHost } from 'lit'

export class StayAwake implements ReactiveController {
  readonly #host: ReactiveControllerHost
  #lock: WakeLockSentinel | undefined
  #isWanted = false

  constructor(host: ReactiveControllerHost) {
    this.#host = host
    host.addController(this)
  }

  get isAwake(): boolean {
    return this.#lock !== undefined
  }

  hostConnected(): void {
    this.#isWanted = true
    document.addEventListener('visibilitychange', this.#onVisible)
    void this.#ask()
  }

  hostDisconnected(): void {
    this.#isWanted = false
    document.removeEventListener('visibilitychange', this.#onVisible)
    void this.#lock?.release()
    this.#lock = undefined
  }

  /** A page out of sight loses its lock; back in sight it asks again. */
  readonly #onVisible = (): void => {
    if (document.visibilityState === 'visible') void this.#ask()
  }

  async #ask(): Promise<void> {
    let lock: WakeLockSentinel | undefined
    try {
      lock = await navigator.wakeLock?.request('screen')
    } catch {
      // reason: refused on a low battery; the browser dims as it always does
      lock = undefined
    }
    if (!this.#isWanted) return void lock?.release()
    this.#lock = lock
    lock?.addEventListener('release', () => {
      if (this.#lock === lock) this.#lock = undefined
      this.#host.requestUpdate()
    })
    this.#host.requestUpdate()
  }
}
