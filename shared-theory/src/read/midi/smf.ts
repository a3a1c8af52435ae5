/** The bytes of a Standard MIDI File as events in time. Written here and not taken from a library because a file from a stranger must be read
 *  as far as it goes: chunks of unknown kinds passed over as the standard asks, wrong lengths and cut tracks mended and told.
 *  Source: Standard MIDI Files 1.0 and MIDI 1.0 (MIDI Manufacturers Association). */
import { decodeText } from '../decode-text.js'

export type SmfEvent = { readonly tick: number } & (
  | { readonly kind: 'on'; readonly channel: number; readonly midi: number }
  | { readonly kind: 'off'; readonly channel: number; readonly midi: number }
  | { readonly kind: 'program'; readonly channel: number; readonly program: number }
  | { readonly kind: 'bend' | 'pedal' | 'pressure'; readonly channel: number }
  | { readonly kind: 'text'; readonly what: TextKind; readonly text: string }
  | { readonly kind: 'tempo'; readonly microseconds: number }
  | { readonly kind: 'metre'; readonly beats: number; readonly beatType: number }
  | { readonly kind: 'key'; readonly fifths: number; readonly isMinor: boolean }
)
export type TextKind = 'text' | 'copyright' | 'name' | 'instrument' | 'lyric' | 'marker' | 'cue'

export interface SmfTrack {
  readonly events: readonly SmfEvent[]
  readonly endTick: number
}

export interface Smf {
  readonly format: number
  /** Undefined where the file counts film frames. */
  readonly ticksPerQuarter: number | undefined
  readonly tracks: readonly SmfTrack[]
  /** What was wrong and read all the same, in words. */
  readonly problems: readonly string[]
}

const TEXTS: readonly TextKind[] = ['text', 'copyright', 'name', 'instrument', 'lyric', 'marker', 'cue']
const PEDAL = 64
/** Characters kept of one text. */
const MOST_TEXT = 400

/** Undefined where the bytes are no MIDI file at all. */
export function parseSmf(file: Uint8Array): Smf | undefined {
  const bytes = unwrapped(file)
  if (idAt(bytes, 0) !== 'MThd' || bytes.length < 14) return undefined
  const division = numberAt(bytes, 12, 2)
  const problems: string[] = []
  const tracks: SmfTrack[] = []
  let at = 8 + Math.max(6, numberAt(bytes, 4, 4))
  while (at + 8 <= bytes.length) {
    const id = idAt(bytes, at)
    const length = numberAt(bytes, at + 4, 4)
    if (id === 'MTrk') {
      const end = trackEnd(bytes, at + 8, length, problems)
      tracks.push(new TrackReader(bytes, at + 8, end, tracks.length + 1, problems).read())
      at = end
    } else if (isChunkId(id)) at += 8 + length
    else {
      const next = nextTrack(bytes, at + 1)
      problems.push(`${next - at} bytes between the tracks mean nothing and were passed over`)
      at = next
    }
  }
  return {
    format: numberAt(bytes, 8, 2),
    ticksPerQuarter: division >= 0x8000 || division === 0 ? undefined : division,
    tracks,
    problems,
  }
}

/** A MIDI file inside a RIFF file (RMID). */
function unwrapped(bytes: Uint8Array): Uint8Array {
  return idAt(bytes, 0) === 'RIFF' && idAt(bytes, 8) === 'RMID' && idAt(bytes, 12) === 'data'
    ? bytes.subarray(20)
    : bytes
}

/** Where a track ends: where its length says, if something sensible follows there; else before the next track. */
function trackEnd(bytes: Uint8Array, from: number, length: number, problems: string[]): number {
  const stated = from + length
  if (stated === bytes.length || (stated < bytes.length && isChunkId(idAt(bytes, stated)))) return stated
  problems.push(
    stated > bytes.length ? 'a track is cut short, or its length is wrong' : 'the length of a track is wrong',
  )
  return nextTrack(bytes, from)
}

function nextTrack(bytes: Uint8Array, from: number): number {
  for (let at = from; at + 4 <= bytes.length; at++) if (bytes[at] === 0x4d && idAt(bytes, at) === 'MTrk') return at
  return bytes.length
}

const idAt = (bytes: Uint8Array, at: number): string => String.fromCharCode(...bytes.subarray(at, at + 4))
const isChunkId = (id: string): boolean => /^[A-Za-z][A-Za-z0-9 ]{3}$/.test(id)
function numberAt(bytes: Uint8Array, at: number, size: number): number {
  let value = 0
  for (let index = 0; index < size; index++) value = value * 256 + (bytes[at + index] ?? 0)
  return value
}

class TrackReader {
  readonly #events: SmfEvent[] = []
  #tick = 0
  #status = 0
  #isEnded = false

  constructor(
    readonly bytes: Uint8Array,
    private at: number,
    readonly end: number,
    readonly number: number,
    readonly problems: string[],
  ) {}

  read(): SmfTrack {
    while (this.at < this.end && !this.#isEnded) {
      this.#tick += this.#variable()
      if (this.at >= this.end || !this.#event()) break
    }
    if (!this.#isEnded) this.problems.push(`track ${this.number} has no end`)
    return { events: this.#events, endTick: this.#tick }
  }

  #byte(): number {
    return this.at < this.end ? (this.bytes[this.at++] as number) : 0
  }

  /** At most four bytes of seven bits. */
  #variable(): number {
    let value = 0
    for (let count = 0; count < 4; count++) {
      const byte = this.#byte()
      value = value * 128 + (byte & 0x7f)
      if (byte < 0x80) break
    }
    return value
  }

  /** False where nothing further can be made out in this track. */
  #event(): boolean {
    const lead = this.bytes[this.at] as number
    if (lead === 0xff) this.#meta()
    else if (lead === 0xf0 || lead === 0xf7) {
      this.at++
      this.#skip(this.#variable())
    } else if (lead > 0xf0) {
      // Messages of live MIDI have no place in a file.
      this.at += lead === 0xf2 ? 3 : lead === 0xf1 || lead === 0xf3 ? 2 : 1
      this.problems.push(`track ${this.number} has messages that belong in no file`)
    } else return this.#channelEvent(lead)
    return true
  }

  #channelEvent(lead: number): boolean {
    if (lead >= 0x80) {
      this.#status = lead
      this.at++
    }
    if (this.#status === 0) {
      this.problems.push(`track ${this.number} cannot be made out from tick ${this.#tick} on`)
      return false
    }
    const kind = this.#status >> 4
    const channel = this.#status & 0x0f
    const first = this.#byte() & 0x7f
    const second = kind === 0xc || kind === 0xd ? 0 : this.#byte() & 0x7f
    const tick = this.#tick
    if (kind === 0x9 && second > 0) this.#events.push({ tick, kind: 'on', channel, midi: first })
    else if (kind === 0x8 || kind === 0x9) this.#events.push({ tick, kind: 'off', channel, midi: first })
    else if (kind === 0xc) this.#events.push({ tick, kind: 'program', channel, program: first })
    else if (kind === 0xe && (first !== 0 || second !== 64)) this.#events.push({ tick, kind: 'bend', channel })
    else if (kind === 0xb && first === PEDAL && second >= 64) this.#events.push({ tick, kind: 'pedal', channel })
    else if (kind === 0xa || kind === 0xd) this.#events.push({ tick, kind: 'pressure', channel })
    return true
  }

  #meta(): void {
    this.at++
    const type = this.#byte()
    const length = this.#variable()
    const from = this.at
    this.#skip(length)
    const body = this.bytes.subarray(from, this.at)
    const tick = this.#tick
    if (body.length < length) this.problems.push(`track ${this.number} is cut off inside an event`)
    if (type === 0x2f) this.#isEnded = true
    else if (type >= 1 && type <= TEXTS.length) {
      const text = decodeText(body).trimEnd().slice(0, MOST_TEXT)
      if (text) this.#events.push({ tick, kind: 'text', what: TEXTS[type - 1] as TextKind, text })
    } else if (type === 0x51 && body.length >= 3)
      this.#events.push({ tick, kind: 'tempo', microseconds: numberAt(body, 0, 3) })
    else if (type === 0x58 && body.length >= 2)
      this.#events.push({
        tick,
        kind: 'metre',
        beats: body[0] as number,
        beatType: 2 ** Math.min(8, body[1] as number),
      })
    else if (type === 0x59 && body.length >= 2) {
      const fifths = body[0] as number
      this.#events.push({ tick, kind: 'key', fifths: fifths > 127 ? fifths - 256 : fifths, isMinor: body[1] === 1 })
    } else if (type === 0x51 || type === 0x58 || type === 0x59)
      this.problems.push(
        `track ${this.number} has a ${type === 0x51 ? 'tempo' : type === 0x58 ? 'metre' : 'key'} that is cut off`,
      )
  }

  #skip(length: number): void {
    this.at = Math.min(this.end, this.at + length)
  }
}
