/** A tune written to a file and read again: what came back otherwise. In MusicXML and ABC nothing may; in MIDI a note may move to the grid. */
import { type MidiEvent, parseMidi, writeMidi as bytesOfMidi } from 'midi-file'
import {
  type Arrangement,
  type MelodyNote,
  type PartSpec,
  type Tune,
  type TuneBar,
  readTune,
  sameChord,
  scheduleEvents,
  writeAbc,
  writeMidi,
  writeMusicXml,
} from '@chartloft/shared-theory'
import { DEMO_TUNES } from '@chartloft/demo'
import { soundOfAbcjs, soundOfTune } from '../fixtures/abc-sound.js'
import { drawn, madeTune } from '../fixtures/made-tunes.js'
import { MORE_TUNES } from '../fixtures/more-tunes.js'
import { arrangementOfTune } from '../fixtures/plain-arrangement.js'
import { traditionalTunes, tuneOfAbc } from '../laws/harmonise-laws.js'

/** Our own, traditional ones, and generated ones of all keys and metres, with and without pickups. */
export function tunesToTravel(): readonly Tune[] {
  return [
    ...DEMO_TUNES.map(({ abc }) => tuneOfAbc(abc)),
    ...MORE_TUNES.map((abc) => tuneOfAbc(abc)),
    ...traditionalTunes(),
    ...Array.from({ length: 60 }, (_, index) => madeTune(2000 + index)),
  ]
}

const FLUTE: PartSpec = { id: 'flute', instrument: 'flute', name: 'Flute', role: 'lead' }
/** One pass with the melody on a part of its own. */
function played(tune: Tune): Arrangement {
  const plain = arrangementOfTune(tune)
  return {
    ...plain,
    lineup: [FLUTE],
    bars: plain.bars.map((bar) => ({
      ...bar,
      parts: { flute: bar.melody.map(({ lyric: _lyric, grace: _grace, ...note }) => ({ ...note, velocity: 80 })) },
    })),
  }
}

/** Rows that name everything musical of a tune; tied pieces joined, chords as they sound on. */
function rowsOf(tune: Tune): readonly string[] {
  const carried = arrangementOfTune(tune).bars
  const notes: { start: number; end: number; note: MelodyNote; tied: boolean }[] = []
  let at = 0
  const bars = tune.bars.map((bar, index) => {
    for (const note of bar.melody) {
      const start = at + note.startTick
      const end = start + note.durationTicks
      const tied = note.tiedToNext === true
      const last = notes.at(-1)
      if (last?.tied && last.end === start && last.note.midi === note.midi) Object.assign(last, { end, tied })
      else notes.push({ start, end, note, tied })
    }
    at += bar.lengthTicks
    const chords = (carried[index]?.chords ?? []).map(({ startTick, chord }) => `${startTick} ${chord.symbol}`)
    return `bar ${index}: ${signs(bar)} ${chords.join(', ')}`
  })
  return [
    `${tune.title}, ${tune.key.key} ${tune.key.mode}, ${tune.metre.beats}/${tune.metre.beatType}, pickup ${tune.pickupTicks}`,
    ...tune.sections.map(({ startBar, bars: count }) => `section from ${startBar}: ${count}`),
    ...bars,
    ...notes.map(({ start, end, note, tied }) =>
      [`${start}–${end}${tied ? '~' : ''} ${note.name}`, note.lyric ?? '', ...(note.grace ?? [])].join(' ').trim(),
    ),
  ]
}
const signs = ({ metre, key, lengthTicks }: TuneBar): string =>
  `${metre.beats}/${metre.beatType} ${lengthTicks} ${key.key} ${key.mode}`

/** First row that came back otherwise. Chords may come back under another name of the same sound. */
function difference(wanted: Tune, found: Tune, hasSections = true): readonly string[] {
  const [ours, theirs] = [wanted, found].map((tune) =>
    rowsOf(tune).filter((row) => hasSections || !row.startsWith('section')),
  ) as [string[], string[]]
  const at = ours.findIndex(
    (row, index) => row !== theirs[index] && !isSameBarInSound(wanted, found, row, theirs[index]),
  )
  if (at < 0 && ours.length === theirs.length) return []
  return [`'${ours[at] ?? 'nothing more'}' came back as '${theirs[at] ?? 'nothing'}'`]
}
function isSameBarInSound(wanted: Tune, found: Tune, row: string, other: string | undefined): boolean {
  const index = Number(/^bar (\d+):/.exec(row)?.[1] ?? -1)
  if (index < 0 || other === undefined) return false
  const [a, b] = [arrangementOfTune(wanted).bars[index], arrangementOfTune(found).bars[index]]
  if (!a || !b || signs(wanted.bars[index]!) !== signs(found.bars[index]!)) return false
  return (
    a.chords.length === b.chords.length &&
    a.chords.every((one, at) => one.startTick === b.chords[at]?.startTick && sameChord(one.chord, b.chords[at]!.chord))
  )
}

const titled = (tune: Tune, faults: readonly string[], how: string): readonly string[] =>
  faults.map((fault) => `${tune.title} (${tune.key.key}, ${tune.metre.beats}/${tune.metre.beatType}) ${how}: ${fault}`)

export function musicXmlTripFaults(tune: Tune): readonly string[] {
  return [false, true].flatMap((folded) => {
    const read = readTune('musicxml', writeMusicXml(arrangementOfTune(tune), { folded }))
    return titled(
      tune, // A folded chart has one mark for a stretch played twice, and its repeat says where it begins again.
      read.ok ? difference(tune, read.value, !folded) : [read.issues[0]?.message ?? ''],
      folded ? 'folded' : 'linear',
    )
  })
}

export function abcTripFaults(tune: Tune): readonly string[] {
  const text = writeAbc(arrangementOfTune(tune))
  const read = readTune('abc', text)
  if (!read.ok) return titled(tune, [read.issues[0]?.message ?? ''], 'ABC')
  const told = (read.issues ?? [])
    .filter(({ severity }) => severity !== 'note')
    .map(({ message }) => `told: ${message}`)
  const [ours, theirs] = [JSON.stringify(soundOfTune(tune)), JSON.stringify(withoutGraces(tune, text))]
  return titled(
    tune,
    [
      ...difference(tune, read.value),
      ...told,
      ...(ours === theirs ? [] : [`sounds ${ours.slice(0, 200)}, to abcjs ${theirs.slice(0, 200)}`]),
    ],
    'ABC',
  )
}
/** abcjs plays graces in time; a tune with graces is compared without them. */
const withoutGraces = (tune: Tune, text: string): ReturnType<typeof soundOfAbcjs> =>
  soundOfAbcjs(
    tune.bars.some(({ melody }) => melody.some(({ grace }) => grace)) ? text.replaceAll(/\{[^}]*\}/g, '') : text,
  )

/** Half a sixteenth: the furthest a note lies from the grid. */
const MOST_TICKS = 630

export function midiTripFaults(tune: Tune): readonly string[] {
  const arrangement = played(tune)
  const faults: string[] = []
  const notated = writeMidi(arrangement, { feel: 'notated' })
  for (const feel of ['as notated', 'played unevenly'] as const) {
    const read = readTune('midi', feel === 'as notated' ? notated : unevenly(notated))
    if (!read.ok) {
      faults.push(`${feel}: ${read.issues[0]?.message}`)
      continue
    }
    const [ours, theirs] = [soundOfTune(tune), soundOfTune(read.value)]
    const at = ours.findIndex(([midi, start], index) => {
      const other = theirs[index]
      return !other || other[0] !== midi || Math.abs(other[1] - start) * 5040 > MOST_TICKS
    })
    if (at >= 0 || ours.length !== theirs.length)
      faults.push(
        `${feel}: note ${at} of ${ours.length} (${theirs.length}): ${ours[at]?.join(' ')} came back as ${theirs[at]?.join(' ')}`,
      )
    const metres = (bars: readonly TuneBar[]): string =>
      bars.map(({ metre }) => `${metre.beats}/${metre.beatType}`).join(' ')
    const count = Math.min(tune.bars.length, read.value.bars.length)
    if (metres(tune.bars.slice(0, count)) !== metres(read.value.bars.slice(0, count)))
      faults.push(`${feel}: metres ${metres(read.value.bars)}`)
    if (tune.pickupTicks !== read.value.pickupTicks)
      faults.push(`${feel}: pickup ${read.value.pickupTicks} for ${tune.pickupTicks}`)
    if (feel === 'as notated') faults.push(...eventFaults(arrangement))
  }
  return titled(tune, faults, 'MIDI')
}

/** Every note up to 250 ticks (25 ms at 120) early or late and a tenth short, as people play. */
function unevenly(bytes: Uint8Array): Uint8Array {
  const { header, tracks } = parseMidi(bytes)
  const draw = drawn(7)
  const moved = tracks.map((events) => {
    let tick = 0
    const begun = new Map<number, number>()
    const placed = events.map((event): { event: MidiEvent; at: number; rank: number } => {
      tick += event.deltaTime
      if (event.type === 'noteOn' && event.velocity > 0) {
        const at = Math.max(0, tick + draw(501) - 250)
        begun.set(event.noteNumber, tick)
        return { event, at, rank: 2 }
      }
      if (event.type === 'noteOff' || event.type === 'noteOn') {
        const from = begun.get(event.noteNumber) ?? tick
        return { event, at: tick - Math.round((tick - from) / 10) - 251, rank: 1 }
      }
      return { event, at: tick, rank: event.type === 'endOfTrack' ? 3 : 0 }
    })
    placed.sort((a, b) => a.at - b.at || a.rank - b.rank)
    let before = 0
    return placed.map(({ event, at }) => {
      const deltaTime = Math.max(0, at - before)
      before += deltaTime
      return { ...event, deltaTime }
    })
  })
  return Uint8Array.from(bytesOfMidi({ header, tracks: moved }))
}

/** The same attacks to `midi-file` as in the schedule. */
function eventFaults(arrangement: Arrangement): readonly string[] {
  const { tracks } = parseMidi(writeMidi(arrangement, { feel: 'notated' }))
  let tick = 0
  const heard = (tracks[1] ?? []).flatMap((event) => {
    tick += event.deltaTime
    return event.type === 'noteOn' && event.velocity > 0 ? [`${tick} ${event.noteNumber}`] : []
  })
  const meant = scheduleEvents(arrangement).map(({ startTick, midi }) => `${startTick} ${midi}`)
  return JSON.stringify(heard) === JSON.stringify(meant)
    ? []
    : [`midi-file hears ${heard.length} attacks, ${meant.length} are meant`]
}
