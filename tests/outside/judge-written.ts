/** What we write as MusicXML, judged from outside: by Verovio (warnings, onsets, pitches, marks) and by our own reader (the same printed content). */
import {
  type ArrangedBar,
  type Arrangement,
  type MelodyNote,
  type PartSpec,
  type Tune,
  fold,
  instrumentOf,
  nameOfPitch,
  readTune,
  sameChord,
  scheduleEvents,
  transposeName,
  writeMusicXml,
  writtenInterval,
  writtenKey,
} from '@chartloft/shared-theory'
import { type HeardPitch, readWithVerovio } from './open-verovio.js'

/** Every file a band would take home, by name: score and parts, written and concert, linear and folded. */
export function filesOf(arrangement: Arrangement): { readonly [name: string]: string } {
  const files: { [name: string]: string } = {}
  for (const folded of [false, true])
    for (const pitch of ['written', 'concert'] as const)
      for (const part of [undefined, ...arrangement.lineup.map(({ id }) => id)])
        files[`${part ?? 'score'}-${pitch}-${folded ? 'folded' : 'linear'}`] = writeMusicXml(arrangement, {
          ...(part === undefined ? {} : { part }),
          pitch,
          folded,
        })
  return files
}

/** The writer, or one whose files a test has damaged. */
export type Write = typeof writeMusicXml

/** Graces are played before the beat, each reader in its own way. */
const withoutGraces = (arrangement: Arrangement): Arrangement => ({
  ...arrangement,
  bars: arrangement.bars.map((bar) => ({ ...bar, melody: bar.melody.map(({ grace: _grace, ...note }) => note) })),
})

const barStarts = (bars: readonly ArrangedBar[]): readonly number[] => {
  let at = 0
  return bars.map(({ lengthTicks }) => (at += lengthTicks) - lengthTicks)
}

/** Attacks of a part by our schedule, without what prints as slashes; a note held over from slashes is struck in print. */
export function scheduledNotes(arrangement: Arrangement, partId: string): readonly HeardPitch[] {
  const starts = barStarts(arrangement.bars)
  const written = arrangement.bars.map(({ parts }) =>
    (parts[partId] ?? []).filter(({ printed }) => printed === undefined),
  )
  const printed = new Set(
    written.flatMap((notes, index) =>
      notes.map((note) => `${(starts[index] as number) + note.startTick}/${note.midi}`),
    ),
  )
  const heldOver = written.flatMap((notes, index) => {
    const before = (arrangement.bars[index - 1]?.parts[partId] ?? []).filter(
      (note) => note.tiedToNext && note.printed === 'slash',
    )
    return notes
      .filter(({ startTick, midi }) => startTick === 0 && before.some((held) => held.midi === midi))
      .map(({ midi }) => ({ quarter: (starts[index] as number) / 5040, midi }))
  })
  const struck = scheduleEvents(arrangement, { parts: [partId] })
    .filter((event) => printed.has(`${event.startTick}/${event.midi}`))
    .map((event) => ({ quarter: event.startTick / 5040, midi: event.midi }))
  return inOrder([...struck, ...heldOver])
}

const inOrder = (notes: readonly HeardPitch[]): readonly HeardPitch[] =>
  [...notes].sort((a, b) => a.quarter - b.quarter || a.midi - b.midi)
const rowsOf = (notes: readonly HeardPitch[]): readonly string[] =>
  notes.map(({ quarter, midi }) => `${quarter.toFixed(2)} ${midi}`)

/** Verovio's ties do not jump: a note tied over a repeat, an ending or a jump is struck again there. Where the written neighbour is not the
 *  one played, the notes tied into the bar are such. */
function struckAgain(arrangement: Arrangement, partId: string): readonly HeardPitch[] {
  const starts = barStarts(arrangement.bars)
  const writtenAt: number[] = []
  for (const [index, { playings }] of fold(arrangement).bars.entries())
    for (const { barIndex } of playings) writtenAt[barIndex] = index
  return arrangement.bars.flatMap((bar, index) => {
    const before = arrangement.bars[index - 1]
    if (!before || writtenAt[index] === (writtenAt[index - 1] as number) + 1) return []
    const tied = (before.parts[partId] ?? []).filter(
      (note) =>
        note.tiedToNext &&
        note.printed === undefined &&
        note.startTick + note.durationTicks === before.lengthTicks &&
        (bar.parts[partId] ?? []).some((next) => next.startTick === 0 && next.midi === note.midi),
    )
    return tied.map(({ midi }) => ({ quarter: (starts[index] as number) / 5040, midi }))
  })
}

/** What Verovio says of every file, and where a part's notes are not where the schedule has them. */
export async function verovioFaults(given: Arrangement, write: Write = writeMusicXml): Promise<readonly string[]> {
  const faults: string[] = []
  const arrangement = withoutGraces(given)
  const quarters = arrangement.bars.reduce((sum, { lengthTicks }) => sum + lengthTicks, 0) / 5040
  for (const folded of [false, true]) {
    const how = folded ? 'folded' : 'linear'
    const score = await readWithVerovio(write(given, { folded }))
    if (!score.isLoaded || score.complaints.length > 0) faults.push(`score ${how}: ${score.complaints.join('; ')}`)
    for (const part of given.lineup) {
      const read = await readWithVerovio(write(arrangement, { part: part.id, folded }))
      if (!read.isLoaded || read.complaints.length > 0)
        faults.push(`${part.id} ${how}: ${read.complaints.slice(0, 3).join('; ')}`)
      if (part.role === 'drums') continue
      const meant = scheduledNotes(arrangement, part.id)
      if (meant.length === 0) continue
      if (read.quarters !== quarters) faults.push(`${part.id} ${how}: ${read.quarters} quarters, ${quarters} are meant`)
      const wanted = rowsOf(inOrder([...meant, ...(folded ? struckAgain(arrangement, part.id) : [])]))
      const heard = rowsOf(read.notes.filter(({ isCue }) => !isCue))
      const at = wanted.findIndex((row, index) => row !== heard[index])
      if (at >= 0 || heard.length !== wanted.length)
        faults.push(
          `${part.id} ${how}: note ${at} of ${wanted.length} (${heard.length} heard) is ${heard[at] ?? 'missing'} where the schedule has ${wanted[at] ?? 'none'}`,
        )
    }
    faults.push(...(await markFaults(given, folded, write)))
  }
  return faults
}

/** Rehearsal letters, fermatas and dynamics as Verovio found them in the lead's part. */
async function markFaults(arrangement: Arrangement, folded: boolean, write: Write): Promise<readonly string[]> {
  const lead = leadOf(arrangement)
  const { mei } = await readWithVerovio(write(arrangement, { part: lead.id, folded }))
  const bars = folded ? fold(arrangement).bars.map(({ bar }) => bar) : arrangement.bars
  const letters = [...mei.matchAll(/<reh\b[^>]*>([\s\S]*?)<\/reh>/g)].map((found) =>
    (found[1] as string).replace(/<[^>]*>/g, '').trim(),
  )
  const faults: string[] = []
  if (new Set(letters).size !== letters.length) faults.push(`a rehearsal letter twice: ${letters.join(' ')}`)
  if (!folded) {
    const begins = bars.filter((bar, index) => {
      const before = bars[index - 1]
      return !before || before.sectionId !== bar.sectionId || before.pass !== bar.pass
    })
    if (letters.length !== begins.length)
      faults.push(`${letters.length} rehearsal letters for ${begins.length} stretches`)
  }
  // A sign may stand on both staves of a keyboard; what counts is the bars that have it.
  const measures = mei.split('<measure').slice(1)
  const wanted = {
    fermata: bars.filter(({ fermataTick }) => fermataTick !== undefined).length,
    dynam: bars.filter(({ dynamic }) => dynamic !== undefined).length,
  }
  for (const [name, count] of Object.entries(wanted)) {
    const found = measures.filter((measure) => measure.includes(`<${name} `)).length
    if (found !== count) faults.push(`${name} in ${found} of ${count} bars of the lead's part`)
  }
  return faults.map((fault) => `${lead.id} ${folded ? 'folded' : 'linear'}: ${fault}`)
}

const leadOf = ({ lineup }: Arrangement): PartSpec =>
  lineup.find(({ role }) => role === 'lead') ?? (lineup[0] as PartSpec)

type PrintedBar = Pick<ArrangedBar, 'metre' | 'key' | 'lengthTicks'> & {
  readonly melody: readonly MelodyNote[]
  /** From sound to print, in this bar's key. */
  readonly up?: Parameters<typeof transposeName>[1]
}

/** A row of what a bar or a note prints; notes with their name apart. */
interface PrintedRow {
  readonly text: string
  readonly name: string
  readonly midi: number
  /** Of the key it stands in. */
  readonly fifths: number
  /** The part's own transposition doubles its accidental, so that it is printed under a plain name ([MX13]). */
  readonly isPlainInPrint?: boolean
}

/** Metres, keys and notes; tied notes joined, since where a long note is split is the engraver's affair. */
function printed(bars: readonly PrintedBar[]): readonly PrintedRow[] {
  const notes: {
    start: number
    end: number
    name: string
    midi: number
    fifths: number
    tied: boolean
    words: string
    isPlainInPrint: boolean
  }[] = []
  const rows: PrintedRow[] = []
  let barStart = 0
  for (const [index, bar] of bars.entries()) {
    const { metre, key, lengthTicks } = bar
    rows.push({
      text: `bar ${index + 1}: ${metre.beats}/${metre.beatType}, ${lengthTicks}, ${key.key} ${key.mode}`,
      name: '',
      midi: 0,
      fifths: 0,
    })
    for (const note of bar.melody) {
      const start = barStart + note.startTick
      const end = start + note.durationTicks
      const open = notes.findLast((other) => other.tied && other.end === start && other.midi === note.midi)
      const tied = note.tiedToNext === true
      const words = [note.lyric ?? '', ...(note.grace ?? []).map((grace) => `{${grace}}`)].join(' ').trim()
      if (open) Object.assign(open, { end, tied })
      else {
        const isPlainInPrint = bar.up !== undefined && /bb|##/.test(transposeName(nameOfPitch(note.name), bar.up))
        notes.push({ start, end, name: note.name, midi: note.midi, fifths: key.fifths, tied, words, isPlainInPrint })
      }
    }
    barStart += lengthTicks
  }
  return [
    ...rows,
    ...notes.map(({ start, end, name, midi, fifths, tied, words, isPlainInPrint }) => ({
      text: `${start}–${end}${tied ? '~' : ''} ${words}`.trim(),
      name,
      midi,
      fifths,
      isPlainInPrint,
    })),
  ]
}

/** Names no player reads are printed plain ([MX13]); of these the sound is compared. */
const isOddName = (name: string): boolean => /^(?:[A-G](?:bb|##)|[CF]b|[BE]#)/.test(name)
/** A note of the key under its own name: E flat in B major, a double flat to a B flat instrument and so printed plain, comes back as D sharp. */
const isOfKey = (name: string, fifths: number): boolean => {
  const place = 'FCGDAEB'.indexOf(name.charAt(0))
  const own = fifths > 0 && place < fifths ? '#' : fifths < 0 && 6 - place < -fifths ? 'b' : ''
  return /^[A-G](#+|b+|)/.exec(name)?.[1] === own
}
const isSameRow = (wanted: PrintedRow, found: PrintedRow | undefined): boolean =>
  found !== undefined &&
  wanted.text === found.text &&
  wanted.midi === found.midi &&
  (wanted.name === found.name ||
    isOddName(wanted.name) ||
    wanted.isPlainInPrint === true ||
    (isOfKey(found.name, found.fifths) && !isOfKey(wanted.name, wanted.fifths)))

/** One line of a part: of notes together the highest, cut where the next begins, as a reader of one line sees it; of a keyboard's two staves
 *  the right hand's, by voice or from middle C on. */
function topLine(
  bar: ArrangedBar,
  part: PartSpec,
  leads: boolean,
  rightHand?: 'by voice' | 'by pitch',
): readonly MelodyNote[] {
  const all = (bar.parts[part.id] ?? []).filter(
    (note) => note.printed === undefined && (rightHand === 'by pitch' ? note.midi >= 60 : (note.voice ?? 1) === 1),
  )
  const starts = [...new Set(all.map(({ startTick }) => startTick))].sort((a, b) => a - b)
  return starts.map((startTick, index) => {
    const together = all.filter((note) => note.startTick === startTick)
    const longest = Math.max(...together.map(({ durationTicks }) => durationTicks))
    const top = together.reduce((best, note) => (note.midi > best.midi ? note : best))
    const durationTicks = Math.min(longest, (starts[index + 1] ?? Number.POSITIVE_INFINITY) - startTick)
    const sung = leads ? bar.melody.find((note) => note.startTick === startTick) : undefined
    return {
      startTick,
      durationTicks,
      midi: top.midi,
      name: top.name,
      ...(top.tiedToNext ? { tiedToNext: true as const } : {}),
      ...(sung?.lyric ? { lyric: sung.lyric } : {}),
      ...(sung?.grace ? { grace: sung.grace } : {}),
    }
  })
}

/** Chord by chord; a chord written again at a bar line that only goes on is no difference. */
function chordFaults(arrangement: Arrangement, tune: Tune): readonly string[] {
  return arrangement.bars.flatMap((bar, index) => {
    const read = tune.bars[index]?.chords ?? []
    return bar.chords.flatMap((placed) => {
      const own = read.find(({ startTick }) => startTick === placed.startTick)
      const isSame =
        own && (sameChord(own.chord, placed.chord) || (own.chord.kind === 'none' && placed.chord.kind === 'none'))
      return isSame
        ? []
        : [`bar ${index + 1}: ${placed.chord.symbol} at ${placed.startTick} read as ${own?.chord.symbol ?? 'nothing'}`]
    })
  })
}

/** Where a file read back by our own reader prints otherwise than it was meant: every part that has written notes, and the score. */
export function readBackFaults(arrangement: Arrangement, write: Write = writeMusicXml): readonly string[] {
  const faults: string[] = []
  const lead = leadOf(arrangement)
  const compare = (
    what: string,
    xml: string,
    part: PartSpec,
    hasChords: boolean,
    pitch: 'written' | 'concert' = 'written',
  ): void => {
    const isGrand = /<part id="P1">[\s\S]{0,2000}?<staves>2</.test(xml)
    const hasHands = arrangement.bars.some((bar) => bar.parts[part.id]?.some((note) => (note.voice ?? 1) > 1))
    const hand = isGrand ? (hasHands ? 'by voice' : 'by pitch') : undefined
    // Two names of the sound may have one on paper: what comes back is one of them.
    const interval = writtenInterval(instrumentOf(part), pitch)
    const upOf = ({ key }: ArrangedBar): Pick<PrintedBar, 'up'> => {
      const { up } = writtenKey(key, interval)
      return up ? { up } : {}
    }
    const wanted = printed(
      arrangement.bars.map((bar) => ({
        ...bar,
        melody: topLine(bar, part, part.role === 'lead' || part.role === 'voice', hand),
        ...upOf(bar),
      })),
    )
    const read = readTune('musicxml', xml)
    if (!read.ok) {
      faults.push(`${what}: ${read.issues[0]?.message}`)
      return
    }
    const found = printed(read.value.bars)
    const at = wanted.findIndex((row, index) => !isSameRow(row, found[index]))
    const shown = (row: PrintedRow | undefined): string => (row ? `${row.text} ${row.name}` : 'nothing')
    if (at >= 0 || wanted.length !== found.length)
      faults.push(`${what}: read '${shown(found[at])}' where '${shown(wanted[at])}' was printed`)
    if (hasChords)
      faults.push(
        ...chordFaults(arrangement, read.value)
          .slice(0, 2)
          .map((fault) => `${what}: ${fault}`),
      )
    if (read.value.title !== arrangement.title) faults.push(`${what}: title '${read.value.title}'`)
  }
  for (const folded of [false, true]) {
    const how = folded ? 'folded' : 'linear'
    for (const pitch of ['written', 'concert'] as const)
      compare(
        `score ${pitch} ${how}`,
        write(arrangement, { folded, pitch }),
        arrangement.lineup[0] as PartSpec,
        true,
        pitch,
      )
    for (const part of arrangement.lineup) {
      const hasNotes = arrangement.bars.some((bar) => topLine(bar, part, false).length > 0)
      if (part.role === 'drums' || !hasNotes) continue
      compare(`${part.id} ${how}`, write(arrangement, { part: part.id, folded }), part, part.id === lead.id)
    }
  }
  return faults
}
