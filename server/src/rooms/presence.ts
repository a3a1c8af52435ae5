/** Who is here and where they look: awareness entries kept as they came, bound to the sessions that brought them in, told at most ten times a second. */
import * as encoding from 'lib0/encoding'
import { LIMITS } from '../limits.js'
import { BadFrame, StrictReader } from '../socket/frames.js'
import type { PresenceTold } from '../relay/relay.js'
import type { Peer } from '../socket/peer.js'

/** Whoever speaks for an entry: a socket here, or somebody's sockets in another process. */
interface Speaker {
  readonly isOpen: boolean
  readonly session: { readonly userId: string }
}
interface RemoteSpeaker extends Speaker {
  isOpen: boolean
}
interface Entry {
  clock: number
  /** JSON text as sent; 'null' once gone. */
  state: string
  peer: Speaker
}

export interface AwarenessEntry {
  readonly clientId: number
  readonly clock: number
  readonly state: string
}

/** Reads an awareness update strictly: every entry whole, every state small JSON. */
export function decodeAwareness(bytes: Uint8Array): readonly AwarenessEntry[] {
  const reader = new StrictReader(bytes)
  const count = reader.varUint()
  if (count > LIMITS.awarenessEntries) throw new BadFrame('too many presence entries')
  const entries: AwarenessEntry[] = []
  for (let index = 0; index < count; index++) {
    const clientId = reader.varUint()
    const clock = reader.varUint()
    const state = reader.text()
    if (state.length > LIMITS.awarenessStateBytes) throw new BadFrame('a presence entry is too large')
    entries.push({ clientId, clock, state: plainState(state) })
  }
  reader.end()
  return entries
}

function plainState(text: string): string {
  try {
    const state: unknown = JSON.parse(text)
    if (state === null || typeof state === 'object') return text
  } catch {
    // told below, like any other state that is no object
  }
  throw new BadFrame('a presence entry is no JSON object')
}

export function encodeAwareness(entries: readonly AwarenessEntry[]): Uint8Array {
  const encoder = encoding.createEncoder()
  encoding.writeVarUint(encoder, entries.length)
  for (const { clientId, clock, state } of entries) {
    encoding.writeVarUint(encoder, clientId)
    encoding.writeVarUint(encoder, clock)
    encoding.writeVarString(encoder, state)
  }
  return encoding.toUint8Array(encoder)
}

export class Presence {
  private readonly entries = new Map<number, Entry>()
  private readonly changed = new Set<number>()
  /** Who speaks in other processes, by process and user. */
  private readonly speakers = new Map<string, Map<string, RemoteSpeaker>>()
  /** Of those that changed, those of sockets here. */
  private readonly changedHere = new Set<number>()

  /** Takes the entries that are the peer's own; others' are echoes and dropped. True where something is to be told. */
  receive(peer: Peer, entries: readonly AwarenessEntry[], mayIntroduce: (clientId: number) => boolean): boolean {
    for (const entry of entries) {
      const known = this.entries.get(entry.clientId)
      if (known && known.peer !== peer && known.peer.isOpen && known.peer.session.userId !== peer.session.userId)
        continue
      if (!peer.ids.has(entry.clientId)) {
        if (entry.state === 'null' || !mayIntroduce(entry.clientId)) continue
        peer.ids.add(entry.clientId)
      }
      if (known && (entry.clock < known.clock || (entry.clock === known.clock && entry.state !== 'null'))) continue
      if (entry.clock >= Number.MAX_SAFE_INTEGER - 1) throw new BadFrame('a presence clock is too large')
      this.entries.set(entry.clientId, { clock: entry.clock, state: entry.state, peer })
      this.changed.add(entry.clientId)
      this.changedHere.add(entry.clientId)
    }
    return this.changed.size > 0
  }

  /** Takes what another process has taken from its sockets. True where something is to be told. */
  hear(from: string, entries: readonly PresenceTold[]): boolean {
    for (const { clientId, clock, state, userId } of entries) {
      const speaker = this.speakerOf(from, userId)
      const known = this.entries.get(clientId)
      if (known && known.peer !== speaker && known.peer.isOpen && known.peer.session.userId !== userId) continue
      if (known && (clock < known.clock || (clock === known.clock && state !== 'null'))) continue
      this.entries.set(clientId, { clock, state, peer: speaker })
      this.changed.add(clientId)
    }
    return this.changed.size > 0
  }

  /** Everybody a closed socket brought in is gone. */
  leave(peer: Peer): boolean {
    for (const clientId of this.end(peer)) this.changedHere.add(clientId)
    return this.changed.size > 0
  }

  /** Everybody another process spoke for is gone with it. True where something is to be told. */
  lose(from: string): boolean {
    for (const speaker of this.speakers.get(from)?.values() ?? []) {
      speaker.isOpen = false
      this.end(speaker)
    }
    this.speakers.delete(from)
    return this.changed.size > 0
  }

  private end(speaker: Speaker): readonly number[] {
    const ended: number[] = []
    for (const [clientId, entry] of this.entries) {
      if (entry.peer !== speaker || entry.state === 'null') continue
      entry.clock += 1
      entry.state = 'null'
      this.changed.add(clientId)
      ended.push(clientId)
    }
    return ended
  }

  /** What changed since the last telling, and which of it is to be told elsewhere. */
  takeChanges(): { readonly update: Uint8Array; readonly here: readonly PresenceTold[] } | undefined {
    if (this.changed.size === 0) return undefined
    const update = encodeAwareness(this.list([...this.changed]))
    const here = this.told([...this.changedHere])
    this.changedHere.clear()
    for (const clientId of this.changed)
      if (this.entries.get(clientId)?.state === 'null' && !this.isHeld(clientId)) this.entries.delete(clientId)
    this.changed.clear()
    return { update, here }
  }

  all(): Uint8Array {
    return encodeAwareness(
      this.list([...this.entries.keys()].filter((clientId) => this.entries.get(clientId)?.state !== 'null')),
    )
  }

  /** What sockets here say of themselves. */
  ofHere(): readonly PresenceTold[] {
    const elsewhere = new Set([...this.speakers.values()].flatMap((speakers) => [...speakers.values()]))
    return this.told(
      [...this.entries].flatMap(([clientId, { peer }]) => (elsewhere.has(peer as RemoteSpeaker) ? [] : [clientId])),
    )
  }

  /** Somebody's sockets in another process, as one. */
  private speakerOf(from: string, userId: string): RemoteSpeaker {
    const speakers = this.speakers.get(from) ?? new Map<string, RemoteSpeaker>()
    this.speakers.set(from, speakers)
    const speaker = speakers.get(userId) ?? { isOpen: true, session: { userId } }
    speakers.set(userId, speaker)
    return speaker
  }

  private told(clientIds: readonly number[]): PresenceTold[] {
    return this.list(clientIds).map((entry) => ({
      ...entry,
      userId: this.entries.get(entry.clientId)?.peer.session.userId ?? '',
    }))
  }

  private isHeld(clientId: number): boolean {
    return this.entries.get(clientId)?.peer.isOpen ?? false
  }

  private list(clientIds: readonly number[]): AwarenessEntry[] {
    return clientIds.flatMap((clientId) => {
      const entry = this.entries.get(clientId)
      return entry ? [{ clientId, clock: entry.clock, state: entry.state }] : []
    })
  }
}
