/** What was played in time, as a Standard MIDI File: the reader of files finds bars and note values, for what is played here too. */
import type { KeyPress } from './midi-in.js'

export interface Metronome {
  /** When the first bar begins, by the clock of the presses. */
  readonly downbeatMs: number
  /** Clicks a minute; a click is one beat of the metre. */
  readonly clicksPerMinute: number
  readonly beats: number
  readonly beatType: 2 | 4 | 8 | 16
}

const TICKS_PER_QUARTER = 480
const MICROSECONDS_A_MINUTE = 60_000_000

interface Note {
  readonly midi: number
  readonly velocity: number
  readonly from: number
  readonly to: number
}

/** Undefined where no key was pressed. Keys held at the end sound until `endMs`. */
export function playedFile(presses: readonly KeyPress[], metronome: Metronome, endMs: number): Uint8Array | undefined {
  const notes = notesOf(presses, metronome, endMs)
  if (notes.length === 0) return undefined
  const { clicksPerMinute, beats, beatType } = metronome
  const perQuarter = Math.round((MICROSECONDS_A_MINUTE * (beatType / 4)) / clicksPerMinute)
  const events = notes
    .flatMap(({ midi, velocity, from, to }) => [
      { at: from, order: 1, bytes: [0x90, midi, velocity] },
      { at: to, order: 0, bytes: [0x80, midi, 0] },
    ])
    .sort((a, b) => a.at - b.at || a.order - b.order)
  const tempo = [0, 0xff, 0x51, 3, (perQuarter >> 16) & 0xff, (perQuarter >> 8) & 0xff, perQuarter & 0xff]
  const metre = [0, 0xff, 0x58, 4, beats, Math.log2(beatType), 24, 8]
  const track = tempo.concat(metre)
  let before = 0
  for (const { at, bytes } of events) {
    track.push(...variableLength(at - before), ...bytes)
    before = at
  }
  track.push(0, 0xff, 0x2f, 0)
  const head = ascii('MThd').concat([0, 0, 0, 6, 0, 0, 0, 1, TICKS_PER_QUARTER >> 8, TICKS_PER_QUARTER & 0xff])
  const length = [24, 16, 8, 0].map((shift) => (track.length >> shift) & 0xff)
  return Uint8Array.from(head.concat(ascii('MTrk'), length, track))
}

function notesOf(presses: readonly KeyPress[], metronome: Metronome, endMs: number): readonly Note[] {
  const { downbeatMs, clicksPerMinute, beatType } = metronome
  const ticksPerMs = ((TICKS_PER_QUARTER * 4) / beatType) * (clicksPerMinute / 60_000)
  const tickAt = (ms: number): number => Math.max(0, Math.round((ms - downbeatMs) * ticksPerMs))
  const down = new Map<number, KeyPress>()
  const notes: Note[] = []
  const end = (press: KeyPress, ms: number): void => {
    const from = tickAt(press.atMs)
    notes.push({ midi: press.midi, velocity: press.velocity, from, to: Math.max(from + 1, tickAt(ms)) })
  }
  for (const press of presses) {
    const held = down.get(press.midi)
    if (held) end(held, press.atMs)
    if (press.kind === 'down') down.set(press.midi, press)
    else down.delete(press.midi)
  }
  for (const press of down.values()) end(press, endMs)
  return notes.sort((a, b) => a.from - b.from)
}

/** Seven bits a byte, the highest bit set on all but the last. Source: Standard MIDI File 1.0. */
function variableLength(value: number): readonly number[] {
  const bytes = [value & 0x7f]
  for (let rest = value >> 7; rest > 0; rest >>= 7) bytes.unshift((rest & 0x7f) | 0x80)
  return bytes
}

const ascii = (text: string): number[] => Array.from(text, (sign) => sign.charCodeAt(0))
