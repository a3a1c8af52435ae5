/** Whether what I wrote is on the server's disk: counted, because deletes move no state vector. */

export type Kept =
  | { readonly state: 'saved' }
  | { readonly state: 'saving'; readonly waiting: number }
  | { readonly state: 'offline'; readonly waiting: number }

/**
 * Counts draft messages sent on the present socket against the server's `n`, and edits made while no socket is open.
 * Edits sent but not acknowledged when a socket breaks wait again until the next socket's first answer (step 2) is saved.
 */
export class SavedTracker {
  #online = false
  #sent = 0
  #onDisk = 0
  /** Local edits not yet part of a message of this socket. */
  #unsent = 0
  /** Which message of this socket the last step 2 was, and how many waiting edits it carried: it is sent even where there are none. */
  #step2 = { at: 0, carried: 0 }
  #told: (kept: Kept) => void

  /** `waitingBefore`: edits of earlier pages of this browser that no server has answered yet. */
  constructor(told: (kept: Kept) => void, waitingBefore = 0) {
    this.#told = told
    this.#unsent = waitingBefore
  }

  get kept(): Kept {
    const waiting = this.#unsent + Math.max(0, this.#sent - this.#onDisk)
    if (!this.#online) return { state: 'offline', waiting }
    return waiting > 0 ? { state: 'saving', waiting } : { state: 'saved' }
  }

  /** A socket opened; its counts start at nothing. */
  opened(): void {
    this.#online = true
    this.#sent = 0
    this.#onDisk = 0
    this.#tell()
  }

  closed(): void {
    const lost = this.#sent - Math.max(this.#onDisk, this.#step2.at)
    this.#unsent += Math.max(0, lost) + (this.#step2.at > this.#onDisk ? this.#step2.carried : 0)
    this.#step2 = { at: 0, carried: 0 }
    this.#sent = 0
    this.#onDisk = 0
    this.#online = false
    this.#tell()
  }

  /** A local edit happened while no socket could take it. */
  editedOffline(): void {
    this.#unsent++
    this.#tell()
  }

  /** A draft message (step 2 or update) left on this socket; a step 2 carries everything that waited. */
  sent(carriesAll: boolean): void {
    this.#sent++
    if (carriesAll) {
      this.#step2 = { at: this.#sent, carried: this.#unsent }
      this.#unsent = 0
    }
    this.#tell()
  }

  /** The server's message 17. */
  saved(n: number): void {
    this.#onDisk = Math.max(this.#onDisk, n)
    this.#tell()
  }

  #tell(): void {
    this.#told(this.kept)
  }
}
