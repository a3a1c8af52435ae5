/** One ABC bar as its tokens left it, and the written bar it becomes once its words are laid. */
import type { Chord, Metre } from '../../contract/index.js'
import type { RoadMarks, WrittenBar, WrittenChord, WrittenNote } from '../written.js'
import type { AbcKey } from './abc-key.js'

/** A note or rest while its bar is open; lengths are exact fractions of ticks until the bar is closed. */
export interface AbcEvent {
  length: number
  readonly note?: { readonly midi: number; readonly name: string; readonly grace?: readonly string[] }
  tied: boolean
  readonly tuplet?: { readonly actual: number; readonly normal: number }
  lyric?: string
  readonly chords: readonly Chord[]
  readonly bar: number
}

export interface RawBar {
  readonly start: BarStart
  readonly events: readonly AbcEvent[]
  readonly label?: string
  marks: RoadMarks
}

export interface BarStart {
  readonly key: AbcKey
  readonly metre: Metre | undefined
  readonly path: string
  readonly line: number
}

/** `number` is the bar's as musicians count: the pickup is 0. */
export function writtenBar(raw: RawBar, number: number): WrittenBar {
  const { start, events, label, marks } = raw
  const notes: WrittenNote[] = []
  const chords: WrittenChord[] = []
  let at = 0
  for (const event of events) {
    const startTick = Math.round(at)
    const end = Math.round(at + event.length)
    for (const [place, chord] of event.chords.entries())
      chords.push({ startTick: startTick + Math.round((place * event.length) / event.chords.length), chord })
    if (event.note && end > startTick) notes.push(writtenNote(event, startTick, end - startTick))
    at += event.length
  }
  return {
    metre: start.metre,
    key: start.key.key,
    lengthTicks: Math.round(at),
    notes,
    chords,
    ...(label ? { label } : {}),
    marks,
    path: start.path,
    place: `${number === 0 ? 'Pickup' : `Bar ${number}`} (line ${start.line})`,
  }
}

function writtenNote(event: AbcEvent, startTick: number, durationTicks: number): WrittenNote {
  const { midi, name, grace } = event.note as NonNullable<AbcEvent['note']>
  return {
    startTick,
    durationTicks,
    midi,
    name,
    ...(event.tied ? { tied: true as const } : {}),
    ...(event.tuplet ? { tuplet: event.tuplet } : {}),
    ...(event.lyric ? { lyric: event.lyric } : {}),
    ...(grace ? { grace } : {}),
  }
}
