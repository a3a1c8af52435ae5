/** The bytes of a Standard MIDI File: numbers, texts, chunks. Source: Standard MIDI Files 1.0 (MIDI Manufacturers Association). */

/** Big-endian, `size` bytes. */
export function number(value: number, size: 1 | 2 | 3 | 4): number[] {
  const bytes: number[] = []
  for (let shift = size - 1; shift >= 0; shift--) bytes.push(Math.floor(value / 256 ** shift) % 256)
  return bytes
}

/** Variable-length quantity: seven bits a byte, all but the last marked. At most 2²⁸ − 1. */
export function variable(value: number): number[] {
  const bytes = [value % 128]
  for (let rest = Math.floor(value / 128); rest > 0; rest = Math.floor(rest / 128)) bytes.unshift(128 + (rest % 128))
  return bytes
}

/** UTF-8; lone surrogates become '?'. */
export function text(words: string): number[] {
  return Array.from(words, (sign) => sign.codePointAt(0) as number).flatMap((code) => {
    if (code < 0x80) return [code]
    if (code < 0x800) return [0xc0 | (code >> 6), tail(code)]
    if (code >= 0xd800 && code <= 0xdfff) return [0x3f]
    if (code < 0x10000) return [0xe0 | (code >> 12), tail(code >> 6), tail(code)]
    return [0xf0 | (code >> 18), tail(code >> 12), tail(code >> 6), tail(code)]
  })
}

const tail = (code: number): number => 0x80 | (code & 0x3f)

export const chunk = (name: string, body: readonly number[]): number[] => [
  ...text(name),
  ...number(body.length, 4),
  ...body,
]

export const META = {
  title: 0x03,
  instrument: 0x04,
  marker: 0x06,
  endOfTrack: 0x2f,
  tempo: 0x51,
  metre: 0x58,
  key: 0x59,
} as const

export const meta = (type: number, body: readonly number[]): number[] => [0xff, type, ...variable(body.length), ...body]

/** An event of a track before its delta time is known. */
export interface TrackEvent {
  readonly tick: number
  /** Order among events of one tick: what sets up before what sounds, ends before beginnings. */
  readonly rank: number
  readonly bytes: readonly number[]
}

/** A track chunk: events in order of time with delta times, and the end of track at `endTick` or the last event. */
export function track(events: readonly TrackEvent[], endTick: number): number[] {
  const ordered = events
    .map((event, place) => ({ ...event, place }))
    .sort((a, b) => a.tick - b.tick || a.rank - b.rank || a.place - b.place)
  const body: number[] = []
  let at = 0
  for (const { tick, bytes } of ordered) {
    for (const byte of variable(tick - at)) body.push(byte)
    for (const byte of bytes) body.push(byte)
    at = tick
  }
  body.push(...variable(Math.max(0, endTick - at)), ...meta(META.endOfTrack, []))
  return chunk('MTrk', body)
}
