/** A Standard MIDI File as lines of notes, metres, keys and tempo, all in our ticks. Source: Standard MIDI File 1.0. */
import { type Metre, TICKS_PER_QUARTER } from '../../contract/index.js'
import { LIMITS } from '../../units/index.js'
import { type IssueList, Unreadable } from '../issue-list.js'
import { LeftOut, type LeftOutFamily, shownWords } from '../left-out.js'
import { type Smf, type SmfEvent, type SmfTrack, parseSmf } from './smf.js'
import { said } from '../said.js'

/** A note as played, in our ticks from the start. */
export interface PlayedNote {
  readonly start: number
  readonly end: number
  readonly midi: number
}

export interface MidiLine {
  readonly name: string
  readonly channel: number
  /** General MIDI program, where the file names one. */
  readonly program?: number
  readonly notes: readonly PlayedNote[]
}

interface At {
  readonly at: number
}

export interface MidiSong {
  readonly title: string
  readonly lines: readonly MidiLine[]
  readonly metres: readonly (At & { readonly metre: Metre })[]
  readonly tempoBpm?: number
  /** Written signatures: sharps (flats negative) and whether minor. */
  readonly signatures: readonly (At & { readonly fifths: number; readonly isMinor: boolean })[]
  readonly labels: readonly (At & { readonly text: string })[]
  readonly words: readonly (At & { readonly text: string })[]
}

const DRUM_CHANNEL = 9
/** Metres, keys, markers and syllables of one file, all together. */
const MOST_SIGNS = 8000

export function readMidiSong(bytes: Uint8Array, issues: IssueList): MidiSong {
  const file = openFile(bytes, issues)
  const scale = TICKS_PER_QUARTER / (file.ticksPerQuarter ?? 1)
  const song = new SongReader(scale, issues)
  for (const [index, track] of tracksOf(file, issues).entries()) song.track(track, index)
  return song.finish()
}

function openFile(bytes: Uint8Array, issues: IssueList): Smf {
  if (bytes.length > LIMITS.midiFileBytes)
    throw new Unreadable(
      'RD10',
      'file',
      said`The MIDI file has ${Math.round(bytes.length / 1024)} KB; a tune may have ${LIMITS.midiFileBytes / 1024} KB. Export the one tune by itself.`,
    )
  const file = parseSmf(bytes)
  if (!file || file.tracks.length === 0)
    throw new Unreadable(
      'RD15',
      'file',
      said`This MIDI file is damaged or cut short and could not be read. Export it again.`,
    )
  if (file.ticksPerQuarter === undefined)
    throw new Unreadable(
      'RD15',
      'file',
      said`This MIDI file counts film frames, not beats, so no bars can be read from it. Export it again with beats (PPQ).`,
    )
  for (const problem of [...new Set(file.problems)].slice(0, 10))
    issues.add(
      'RD13',
      'warning',
      'file',
      said`The MIDI file is damaged: ${problem}. It was read as far as it goes; check the end.`,
    )
  return file
}

/** In format 2 every track is a piece by itself: the first with notes is read. */
function tracksOf({ format, tracks }: Smf, issues: IssueList): readonly SmfTrack[] {
  if (format !== 2 || tracks.length < 2) return tracks
  const chosen = tracks.find(({ events }) => events.some(({ kind }) => kind === 'on')) ?? tracks[0]
  issues.add(
    'RD2',
    'note',
    'file',
    said`This MIDI file holds ${tracks.length} pieces that do not belong together (format 2); the first with notes was read.`,
  )
  return chosen ? [chosen] : []
}

interface OpenLine {
  readonly notes: PlayedNote[]
  readonly sounding: Map<number, number>
}

class SongReader {
  readonly #lines: MidiLine[] = []
  readonly #metres: (At & { readonly metre: Metre })[] = []
  readonly #signatures: MidiSong['signatures'][number][] = []
  readonly #labels: (At & { readonly text: string })[] = []
  readonly #words: (At & { readonly text: string })[] = []
  readonly #programs = new Map<number, number>()
  readonly #leftOut = new LeftOut()
  #title = ''
  #tempoBpm: number | undefined
  #noteCount = 0

  constructor(
    readonly scale: number,
    readonly issues: IssueList,
  ) {}

  finish(): MidiSong {
    this.#leftOut.tell(this.issues)
    return {
      title: this.#title,
      lines: this.#lines.map((line) => {
        const program = this.#programs.get(line.channel)
        return program === undefined ? line : { ...line, program }
      }),
      metres: inTime(this.#metres),
      ...(this.#tempoBpm === undefined ? {} : { tempoBpm: this.#tempoBpm }),
      signatures: inTime(this.#signatures),
      labels: inTime(this.#labels),
      words: inTime(this.#words),
    }
  }

  track({ events, endTick }: SmfTrack, index: number): void {
    const byChannel = new Map<number, OpenLine>()
    let name = ''
    for (const event of events) {
      if (event.kind === 'text' && event.what === 'name') name ||= event.text.trim().slice(0, 80)
      else if (event.kind === 'on' || event.kind === 'off') this.#note(event, byChannel, index)
      else this.#sign(event, index)
    }
    if (index === 0) this.#title = name
    this.#close(byChannel, Math.round(endTick * this.scale), index)
    this.#noteCount += [...byChannel.values()].reduce((sum, line) => sum + line.notes.length, 0)
    if (this.#noteCount > LIMITS.midiNotes)
      throw new Unreadable(
        'RD10',
        `track/${index}`,
        said`The MIDI file has more than ${LIMITS.midiNotes} notes; export the one tune by itself.`,
      )
    for (const [channel, { notes }] of byChannel)
      if (notes.length > 0)
        this.#lines.push({ name, channel, notes: notes.sort((a, b) => a.start - b.start || b.midi - a.midi) })
  }

  #note(event: SmfEvent & { readonly kind: 'on' | 'off' }, byChannel: Map<number, OpenLine>, index: number): void {
    if (event.channel === DRUM_CHANNEL) {
      if (event.kind === 'on') this.#tell('other', 'drums (channel 10)', index)
      return
    }
    const tick = Math.round(event.tick * this.scale)
    let line = byChannel.get(event.channel)
    if (!line) byChannel.set(event.channel, (line = { notes: [], sounding: new Map() }))
    const started = line.sounding.get(event.midi)
    if (started !== undefined) {
      if (tick > started) line.notes.push({ start: started, end: tick, midi: event.midi })
      else if (event.kind === 'off') this.#tell('other', 'notes of no length', index)
      line.sounding.delete(event.midi)
    }
    if (event.kind === 'on') line.sounding.set(event.midi, tick)
  }

  /** Notes the file never ends are held to the end of its track. */
  #close(byChannel: ReadonlyMap<number, OpenLine>, endTick: number, index: number): void {
    for (const { notes, sounding } of byChannel.values())
      for (const [midi, start] of sounding) {
        if (endTick > start) notes.push({ start, end: endTick, midi })
        this.issues.addOnce(
          'never ended',
          'RD13',
          'warning',
          `track/${index}`,
          said`Track ${index + 1}: a note is never ended; it was held to the end of the track.`,
        )
      }
  }

  #sign(event: Exclude<SmfEvent, { readonly kind: 'on' | 'off' }>, index: number): void {
    const signs = this.#metres.length + this.#signatures.length + this.#labels.length + this.#words.length
    if (signs > MOST_SIGNS)
      throw new Unreadable(
        'RD10',
        `track/${index}`,
        said`The MIDI file has more than ${MOST_SIGNS} metres, keys, markers and syllables; export the one tune by itself.`,
      )
    const at = Math.round(event.tick * this.scale)
    switch (event.kind) {
      case 'text':
        if (event.what === 'marker') this.#labels.push({ at, text: event.text.trim().slice(0, 40) })
        else if (event.what === 'lyric') this.#words.push({ at, text: event.text.slice(0, 40) })
        else if (event.what !== 'instrument' && event.what !== 'name')
          this.#tell('words', shownWords(event.text.trim()), index)
        break
      case 'program':
        if (!this.#programs.has(event.channel)) this.#programs.set(event.channel, event.program)
        break
      case 'tempo':
        this.#tempo(event.microseconds, index)
        break
      case 'metre': {
        const metre = metreOf(event.beats, event.beatType)
        if (metre) this.#metres.push({ at, metre })
        else
          this.issues.addOnce(
            'metre',
            'RD3',
            'warning',
            `track/${index}`,
            said`The metre ${event.beats}/${event.beatType} can't be counted and was passed over.`,
          )
        break
      }
      case 'key':
        this.#signatures.push({ at, fifths: event.fifths, isMinor: event.isMinor })
        break
      case 'bend':
      case 'pedal':
      case 'pressure':
        this.#tell('marks', PLAYED[event.kind], index)
    }
  }

  #tempo(microseconds: number, index: number): void {
    const tempo = Math.round(60_000_000_000 / Math.max(1, microseconds)) / 1000
    const isPlayable = tempo >= 10 && tempo <= 600
    if (!isPlayable)
      this.issues.addOnce(
        'no tempo',
        'RD3',
        'note',
        `track/${index}`,
        said`A tempo of ${Math.round(tempo)} quarters a minute can't be played; it was left out.`,
      )
    if (!isPlayable || tempo === this.#tempoBpm) return
    if (this.#tempoBpm === undefined) this.#tempoBpm = tempo
    else
      this.issues.addOnce(
        'tempo',
        'RD9',
        'note',
        `track/${index}`,
        said`A tune has one tempo; the first was kept, changes are left to the arrangement.`,
      )
  }

  #tell(family: LeftOutFamily, words: string, index: number): void {
    this.#leftOut.add(family, words, { place: `track ${index + 1}`, path: `track/${index}` })
  }
}

const PLAYED = { bend: 'pitch bends', pedal: 'the sustain pedal', pressure: 'pressure after the stroke' } as const

const inTime = <T extends At>(list: readonly T[]): readonly T[] => [...list].sort((a, b) => a.at - b.at)

function metreOf(beats: number, beatType: number): Metre | undefined {
  if (!(beats >= 1 && beats <= 64)) return undefined
  return beatType === 2 || beatType === 4 || beatType === 8 || beatType === 16 ? { beats, beatType } : undefined
}
