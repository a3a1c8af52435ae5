/** A value that can be watched: the one way state travels from controllers to what is on screen. */

export interface Watchable<T> {
  readonly value: T
  /** Calls back after every change; returns what ends it. */
  watch(heard: (value: T) => void): () => void
}

export class Cell<T> implements Watchable<T> {
  #value: T
  readonly #heard = new Set<(value: T) => void>()

  constructor(value: T) {
    this.#value = value
  }

  get value(): T {
    return this.#value
  }

  /** Setting the same value again tells nobody. */
  set(value: T): void {
    if (Object.is(value, this.#value)) return
    this.#value = value
    for (const heard of Array.from(this.#heard)) heard(value)
  }

  watch(heard: (value: T) => void): () => void {
    this.#heard.add(heard)
    return () => this.#heard.delete(heard)
  }
}

/** A cell whose value follows from others, worked out once per round of changes (a microtask), not once per change. */
export function derive<T>(from: readonly Watchable<unknown>[], compute: () => T): Watchable<T> {
  const cell = new Cell(compute())
  let pending = false
  const refresh = () => {
    if (pending) return
    pending = true
    queueMicrotask(() => {
      pending = false
      cell.set(compute())
    })
  }
  for (const source of from) source.watch(refresh)
  return cell
}

/** Waits until a condition holds, looking at each change of a cell; false when the time is up. */
export function until(cell: Watchable<unknown>, holds: () => boolean, withinMs: number): Promise<boolean> {
  if (holds()) return Promise.resolve(true)
  return new Promise((resolve) => {
    const timer = setTimeout(() => finish(false), withinMs)
    const leave = cell.watch(() => holds() && finish(true))
    function finish(held: boolean): void {
      clearTimeout(timer)
      leave()
      resolve(held)
    }
  })
}
