/** What a file holds to choose from, before one of it is read: the tunes of an ABC file, the lines of a MIDI file, the
 *  parts of a MusicXML score. */
import type { Result } from '../contract/index.js'
import { splitAbc } from './abc/abc-tunes.js'
import { decodeText } from './decode-text.js'
import { issueSaid } from './said.js'
import { IssueList, Unreadable } from './issue-list.js'
import { chooseMelody } from './midi/choose-melody.js'
import { type ListedPart, listParts } from './musicxml/parts.js'
import { readMidiSong } from './midi/midi-lines.js'
import { fail } from '../units/index.js'

export interface ListedTune {
  readonly number: number
  readonly title: string
  /** 1-based line of its X: field. */
  readonly line: number
}

/** A melodic line of a MIDI file: one channel of one track. */
export interface ListedLine {
  readonly name: string
  /** From 1, as musicians count them. */
  readonly channel: number
  /** General MIDI program, 0 to 127; absent where the file names none. */
  readonly program?: number
  readonly notes: number
  readonly lowMidi: number
  readonly highMidi: number
  /** Share of its notes that sound with another one: 0 for a single line. */
  readonly together: number
  /** The one that is read where none is asked for. */
  readonly isProposed: boolean
}

export type FileContents =
  | { readonly kind: 'tunes'; readonly tunes: readonly ListedTune[] }
  | { readonly kind: 'lines'; readonly lines: readonly ListedLine[] }
  | { readonly kind: 'parts'; readonly parts: readonly ListedPart[] }

/** Tunes of one number stand once, as they are read. Never throws. */
export function listContents(format: 'abc' | 'midi' | 'musicxml', source: string | Uint8Array): Result<FileContents> {
  try {
    if (format === 'musicxml') return { ok: true, value: { kind: 'parts', parts: listParts(source) } }
    return { ok: true, value: format === 'abc' ? tunesOf(decodeText(source)) : linesOf(source) }
  } catch (error) {
    if (!(error instanceof Unreadable)) throw error
    return fail(issueSaid(error.code, 'error', error.path, error.said))
  }
}

function tunesOf(text: string): FileContents {
  const tunes = new Map<number, ListedTune>()
  for (const { number, lines } of splitAbc(text).tunes) {
    if (number === undefined || tunes.has(number)) continue
    const title =
      lines
        .find((line) => line.text.startsWith('T:'))
        ?.text.slice(2)
        .trim() ?? ''
    tunes.set(number, { number, title: title.slice(0, 200), line: lines[0]?.number ?? 1 })
  }
  return { kind: 'tunes', tunes: [...tunes.values()] }
}

function linesOf(source: string | Uint8Array): FileContents {
  const bytes = typeof source === 'string' ? Uint8Array.from(source, (sign) => sign.charCodeAt(0) & 0xff) : source
  const song = readMidiSong(bytes, new IssueList())
  const proposed = chooseMelody(song.lines)?.line
  return {
    kind: 'lines',
    lines: song.lines.map((line) => {
      const pitches = line.notes.map(({ midi }) => midi)
      const { program } = line
      return {
        name: line.name,
        channel: line.channel + 1,
        ...(program === undefined ? {} : { program }),
        notes: line.notes.length,
        lowMidi: pitches.reduce((a, b) => Math.min(a, b), 127),
        highMidi: pitches.reduce((a, b) => Math.max(a, b), 0),
        together: togetherShare(line.notes),
        isProposed: line === proposed,
      }
    }),
  }
}

/** Notes are sorted by their start; short overlaps are how a line is played. */
function togetherShare(notes: readonly { readonly start: number; readonly end: number }[]): number {
  const count = notes.filter((note, at) => {
    const next = notes[at + 1]
    const before = notes[at - 1]
    return next?.start === note.start || before?.start === note.start
  }).length
  return notes.length === 0 ? 0 : count / notes.length
}
