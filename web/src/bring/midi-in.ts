/** A MIDI keyboard at the browser: who is connected, and which keys go down and up. Source of the messages: MIDI 1.0, channel voice messages. */
import { Cell } from '../state/cell.js'

export interface KeyPress {
  readonly kind: 'down' | 'up'
  readonly midi: number
  readonly velocity: number
  /** On the clock of `performance.now()`. */
  readonly atMs: number
}

export type MidiState =
  | { readonly stage: 'idle' | 'asking' | 'absent' | 'refused' | 'none' }
  | { readonly stage: 'listening'; readonly names: readonly string[] }

/** What we use of the browser's MIDIAccess. */
export interface MidiAccessLike {
  readonly inputs: { forEach(take: (input: MidiInputLike) => void): void }
  onstatechange: ((event: never) => void) | null
}
export interface MidiInputLike {
  readonly name?: string | null
  readonly state?: string
  onmidimessage: ((event: { readonly data: Uint8Array | null; readonly timeStamp?: number }) => void) | null
}

const NOTE_OFF = 0x80
const NOTE_ON = 0x90
const UNNAMED = 'a keyboard'

export class MidiIn {
  readonly state = new Cell<MidiState>({ stage: 'idle' })
  readonly #ask: (() => Promise<MidiAccessLike>) | undefined
  readonly #now: () => number
  readonly #listeners = new Set<(press: KeyPress) => void>()
  #access: MidiAccessLike | undefined

  /** `ask` is the browser's own question for access; undefined where it has none. */
  constructor(ask: (() => Promise<MidiAccessLike>) | undefined, now: () => number) {
    this.#ask = ask
    this.#now = now
    if (!ask) this.state.set({ stage: 'absent' })
  }

  /** Call from a click: browsers ask their user for it. */
  async connect(): Promise<void> {
    if (!this.#ask || this.#access) return
    this.state.set({ stage: 'asking' })
    try {
      const access = await this.#ask()
      this.#access = access
      access.onstatechange = () => this.#attach()
      this.#attach()
    } catch {
      this.state.set({ stage: 'refused' })
    }
  }

  /** Every key from now on; the answer ends it. */
  listen(take: (press: KeyPress) => void): () => void {
    this.#listeners.add(take)
    return () => this.#listeners.delete(take)
  }

  close(): void {
    this.#listeners.clear()
    if (!this.#access) return
    this.#access.onstatechange = null
    this.#access.inputs.forEach((input) => (input.onmidimessage = null))
    this.#access = undefined
  }

  #attach(): void {
    const names: string[] = []
    this.#access?.inputs.forEach((input) => {
      if (input.state === 'disconnected') return
      names.push(input.name || UNNAMED)
      input.onmidimessage = ({ data, timeStamp }) => this.#take(data, timeStamp)
    })
    this.state.set(names.length === 0 ? { stage: 'none' } : { stage: 'listening', names })
  }

  #take(data: Uint8Array | null, timeStamp: number | undefined): void {
    const [status = 0, midi = 0, velocity = 0] = data ?? []
    const kind = status & 0xf0
    if ((kind !== NOTE_ON && kind !== NOTE_OFF) || (data?.length ?? 0) < 3) return
    const isDown = kind === NOTE_ON && velocity > 0
    const press: KeyPress = { kind: isDown ? 'down' : 'up', midi, velocity, atMs: timeStamp || this.#now() }
    for (const take of this.#listeners) take(press)
  }
}
