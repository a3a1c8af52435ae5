/** A Standard MIDI File as lines of notes, metres and tempo, all in our ticks. Source: Standard MIDI File 1.0. */
import { parseMidi } from 'midi-file'
import { type Metre, TICKS_PER_QUARTER } from '../../contract/index.js'
import { LIMITS } from '../../units/index.js'
import { type IssueList, Unreadable } from '../issue-list.js'

/** A note as played, in our ticks from the start. */
export interface PlayedNote {
  readonly start: number
  readonly end: number
  readonly midi: number
}

export interface MidiLine {
  readonly name: string
  readonly channel: number
  readonly notes: readonly PlayedNote[]
}

export interface MidiSong {
  readonly title: string
  readonly lines: readonly MidiLine[]
  readonly metres: readonly { readonly at: number; readonly metre: Metre }[]
  readonly tempoBpm?: number
  /** A written signature: sharps (flats negative) and whether minor. */
  readonly signature?: { readonly fifths: number; readonly isMinor: boolean }
  readonly labels: readonly { readonly at: number; readonly text: string }[]
}

const DRUM_CHANNEL = 9

export function readMidiSong(bytes: Uint8Array, issues: IssueList): MidiSong {
  const file = parseBytes(bytes)
  const perBeat = file.header.ticksPerBeat
  if (!perBeat || perBeat < 1)
    throw new Unreadable(
      'RD15',
      'file',
      'This MIDI file counts film frames, not beats, so no bars can be read from it. Export it again with beats (PPQ).',
    )
  const scale = TICKS_PER_QUARTER / perBeat
  const lines: MidiLine[] = []
  const metres: { at: number; metre: Metre }[] = []
  const labels: { at: number; text: string }[] = []
  let title = ''
  let noteCount = 0
  let tempoBpm: number | undefined
  let signature: MidiSong['signature']
  for (const [index, track] of file.tracks.entries()) {
    const byChannel = new Map<number, { notes: PlayedNote[]; sounding: Map<number, number> }>()
    let name = ''
    let at = 0
    for (const event of track) {
      at += Number.isFinite(event.deltaTime) ? event.deltaTime : 0
      const tick = Math.round(at * scale)
      if (event.type === 'trackName') {
        name ||= event.text.trim().slice(0, 80)
        if (index === 0) title ||= name
      } else if (event.type === 'marker') labels.push({ at: tick, text: event.text.trim().slice(0, 40) })
      else if (event.type === 'setTempo') {
        const tempo = Math.round(60_000_000_000 / Math.max(1, event.microsecondsPerBeat)) / 1000
        if (tempo < 10 || tempo > 600 || tempo === tempoBpm) continue
        if (tempoBpm === undefined) tempoBpm = tempo
        else
          issues.addOnce(
            'tempo',
            'RD9',
            'note',
            `track/${index}`,
            'A tune has one tempo; the first was kept, changes are left to the arrangement.',
          )
      } else if (event.type === 'timeSignature') {
        const metre = metreOf(event.numerator, event.denominator)
        if (metre) metres.push({ at: tick, metre })
        else
          issues.addOnce(
            'metre',
            'RD3',
            'warning',
            `track/${index}`,
            `The metre ${event.numerator}/${event.denominator} can't be counted and was passed over.`,
          )
      } else if (event.type === 'keySignature') signature ??= { fifths: event.key, isMinor: event.scale === 1 }
      else if (event.type === 'noteOn' || event.type === 'noteOff') {
        if (event.channel === DRUM_CHANNEL || !(event.noteNumber >= 0 && event.noteNumber <= 127)) continue
        let line = byChannel.get(event.channel)
        if (!line) byChannel.set(event.channel, (line = { notes: [], sounding: new Map() }))
        const started = line.sounding.get(event.noteNumber)
        if (started !== undefined) {
          if (tick > started) line.notes.push({ start: started, end: tick, midi: event.noteNumber })
          line.sounding.delete(event.noteNumber)
        }
        if (event.type === 'noteOn' && event.velocity > 0) line.sounding.set(event.noteNumber, tick)
      }
    }
    noteCount += [...byChannel.values()].reduce((sum, line) => sum + line.notes.length, 0)
    if (noteCount > LIMITS.midiNotes)
      throw new Unreadable(
        'RD10',
        `track/${index}`,
        `The MIDI file has more than ${LIMITS.midiNotes} notes; export the one tune by itself.`,
      )
    for (const [channel, { notes }] of byChannel)
      if (notes.length > 0)
        lines.push({ name, channel, notes: notes.sort((a, b) => a.start - b.start || b.midi - a.midi) })
  }
  return {
    title,
    lines,
    metres: metres.sort((a, b) => a.at - b.at),
    ...(tempoBpm === undefined ? {} : { tempoBpm }),
    ...(signature ? { signature } : {}),
    labels: labels.sort((a, b) => a.at - b.at),
  }
}

function parseBytes(bytes: Uint8Array): ReturnType<typeof parseMidi> {
  if (bytes.length > LIMITS.midiFileBytes)
    throw new Unreadable(
      'RD10',
      'file',
      `The MIDI file has ${Math.round(bytes.length / 1024)} KB; a tune may have ${LIMITS.midiFileBytes / 1024} KB. Export the one tune by itself.`,
    )
  try {
    return parseMidi(bytes)
  } catch {
    throw new Unreadable(
      'RD15',
      'file',
      'This MIDI file is damaged or cut short and could not be read. Export it again.',
    )
  }
}

function metreOf(beats: number, beatType: number): Metre | undefined {
  if (!(beats >= 1 && beats <= 64)) return undefined
  return beatType === 2 || beatType === 4 || beatType === 8 || beatType === 16 ? { beats, beatType } : undefined
}
