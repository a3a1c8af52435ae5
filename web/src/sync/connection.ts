/** The board's socket: the draft and presence as y-websocket speaks them, and our own messages beside them. */
import * as decoding from 'lib0/decoding'
import * as encoding from 'lib0/encoding'
import type { Awareness } from 'y-protocols/awareness'
import { WebsocketProvider } from 'y-websocket'
import type { Doc, Transaction } from 'yjs'
import {
  type Authors,
  CLOSE,
  type ClockAnswer,
  type LedgerMessage,
  MESSAGE,
  type Notice,
  type Saved,
  type Transport,
  type TransportFrom,
} from '@chartloft/shared-theory/board'
import { Cell } from '../state/cell.js'
import { HOUSEKEEPING } from '../state/origins.js'
import { ServerClock } from './clock.js'
import { draftFrame } from './frames.js'
import { type Kept, SavedTracker } from './saved.js'

/** Awareness renewals and clock rounds both keep the line alive; this is how often the clock is refreshed. */
const CLOCK_EVERY_MS = 10_000
const CLOCK_GAP_MS = 60
/** The second round comes soon: the first is made while the page still loads. */
const CLOCK_AGAIN_MS = 1200

export type Line =
  | { readonly kind: 'connecting' }
  | { readonly kind: 'online' }
  | { readonly kind: 'offline' }
  /** The server closed for good; only a new link or a reload helps. */
  | { readonly kind: 'closed'; readonly code: number }

export interface Heard {
  ledger(message: LedgerMessage): void
  notice(notice: Notice): void
  /** The server did not let the socket in, or is not there: it says which over HTTP. */
  shutOut(): void
}

export class Connection {
  readonly line = new Cell<Line>({ kind: 'connecting' })
  readonly kept = new Cell<Kept>({ state: 'saving', waiting: 0 })
  readonly transport = new Cell<TransportFrom | undefined>(undefined)
  readonly authors = new Cell<Authors['clients']>({})
  readonly synced = new Cell(false)
  readonly clock = new ServerClock(() => performance.now())
  readonly awareness: Awareness
  readonly #provider: WebsocketProvider
  readonly #saved: SavedTracker
  #clockTimer: ReturnType<typeof setInterval> | undefined
  #hasAuthors = false

  /** `waitingBefore`: edits this browser made before this page and has had no answer for. */
  constructor(doc: Doc, boardId: string, origin: string, heard: Heard, waitingBefore = 0) {
    const saved = new SavedTracker((kept) => this.kept.set(kept), waitingBefore)
    this.#saved = saved
    this.kept.set({ state: 'saving', waiting: waitingBefore })
    class CountedSocket extends WebSocket {
      override send(frame: string | ArrayBufferLike | Blob | ArrayBufferView): void {
        const kind = frame instanceof Uint8Array ? draftFrame(frame) : undefined
        if (kind && this.readyState === WebSocket.OPEN) saved.sent(kind === 'step2')
        super.send(frame as Uint8Array<ArrayBuffer>)
      }
    }
    this.#provider = new WebsocketProvider(`${origin.replace(/^http/, 'ws')}/ws`, boardId, doc, {
      connect: false,
      disableBc: true,
      maxBackoffTime: 8000,
      WebSocketPolyfill: CountedSocket,
    })
    this.awareness = this.#provider.awareness
    this.#hear(heard)
    doc.on('update', (_update: Uint8Array, origin: unknown, _doc: Doc, transaction: Transaction) => {
      const isEdit = transaction.local && origin !== HOUSEKEEPING
      if (isEdit && !this.#provider.wsconnected) saved.editedOffline()
    })
    this.#provider.on('status', ({ status }) => {
      if (status === 'connected') this.#opened()
      else if (status === 'disconnected') this.#lost()
    })
    this.#provider.on('sync', (isSynced) => this.synced.set(isSynced))
    this.#provider.on('connection-close', (event) => {
      if (event?.code === CLOSE.revoked || event?.code === CLOSE.noBoard) return this.end(event.code)
      if (event && event.code >= 4400 && event.code < 4500) return this.line.set({ kind: 'closed', code: event.code })
      if (this.line.value.kind === 'connecting') this.#noLine()
      if (this.line.value.kind === 'offline' && navigator.onLine) heard.shutOut()
    })
  }

  connect(): void {
    if (navigator.onLine) this.#provider.connect()
    else this.#noLine()
    addEventListener('offline', this.#onOffline)
    addEventListener('online', this.#onOnline)
  }

  close(): void {
    removeEventListener('offline', this.#onOffline)
    removeEventListener('online', this.#onOnline)
    clearInterval(this.#clockTimer)
    this.#provider.destroy()
  }

  /** The server wants this page no more: what was told as the reason stays on screen. */
  end(code: number): void {
    this.line.set({ kind: 'closed', code })
    this.#provider.disconnect()
  }

  /** Asks the server to take over a shared playback state; it comes back to everybody, us included. */
  sendTransport(transport: Transport): boolean {
    return this.#send(MESSAGE.transport, transport)
  }

  /** The browser knows before the socket does: no half a minute of a "saving" that cannot be. */
  readonly #onOffline = (): void => {
    this.#provider.disconnect()
    this.#noLine()
  }
  readonly #onOnline = (): void => {
    if (this.line.value.kind !== 'closed') this.#provider.connect()
  }

  #noLine(): void {
    if (this.line.value.kind === 'closed') return
    this.#saved.closed()
    this.line.set({ kind: 'offline' })
  }

  #opened(): void {
    this.line.set({ kind: 'online' })
    this.#saved.opened()
    this.clock.restart()
    clearInterval(this.#clockTimer)
    this.#hasAuthors = false
    this.#askClock()
    setTimeout(() => this.#askClock(), CLOCK_AGAIN_MS)
    this.#clockTimer = setInterval(() => this.#askClock(), CLOCK_EVERY_MS)
  }

  #lost(): void {
    clearInterval(this.#clockTimer)
    this.#saved.closed()
    this.#noLine()
  }

  #askClock(): void {
    this.#send(MESSAGE.clock, { t0: performance.now() })
  }

  #send(type: number, payload: unknown): boolean {
    const socket = this.#provider.ws
    if (!socket || socket.readyState !== WebSocket.OPEN) return false
    const encoder = encoding.createEncoder()
    encoding.writeVarUint(encoder, type)
    encoding.writeVarString(encoder, JSON.stringify(payload))
    socket.send(encoding.toUint8Array(encoder))
    return true
  }

  #hear(heard: Heard): void {
    const on = <T>(type: number, take: (payload: T) => void) => {
      this.#provider.messageHandlers[type] = (_encoder, decoder) => {
        take(JSON.parse(decoding.readVarString(decoder)) as T)
      }
    }
    on<ClockAnswer>(MESSAGE.clock, (answer) => {
      if (this.clock.heard(answer)) setTimeout(() => this.#askClock(), CLOCK_GAP_MS)
    })
    on<Saved>(MESSAGE.saved, ({ n }) => this.#saved.saved(n))
    on<TransportFrom>(MESSAGE.transport, (transport) => this.transport.set(transport))
    on<LedgerMessage>(MESSAGE.ledger, (message) => heard.ledger(message))
    on<Notice>(MESSAGE.notice, (notice) => heard.notice(notice))
    on<Authors>(MESSAGE.authors, ({ clients }) => {
      // The first of a connection is whole, and what an earlier one said may hold no longer.
      this.authors.set(this.#hasAuthors ? { ...this.authors.value, ...clients } : clients)
      this.#hasAuthors = true
    })
  }
}
