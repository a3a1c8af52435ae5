/** A MIDI file into written bars: a melody line proposed, put on the grid, chords inferred where others accompany. */
import { rankKeys } from '../../chords/index.js'
import { type KeySignature, type Metre, TICKS_PER_QUARTER } from '../../contract/index.js'
import {
  LIMITS,
  barTicks,
  keySignature,
  keySignatureOf,
  noteOfFifths,
  pitchInKey,
  sameMetre,
} from '../../units/index.js'
import { type IssueList, Unreadable } from '../issue-list.js'
import type { WrittenBar, WrittenChord, WrittenNote, WrittenTune } from '../written.js'
import { chooseMelody } from './choose-melody.js'
import { inferChord } from './infer-chords.js'
import { type MidiLine, type MidiSong, type PlayedNote, readMidiSong } from './midi-lines.js'
import { type WrittenSpan, quantise } from './quantise.js'
import { said } from '../said.js'

const FOUR_FOUR: Metre = { beats: 4, beatType: 4 }

interface Bar {
  readonly from: number
  readonly to: number
  readonly metre: Metre
}

export function readMidi(source: string | Uint8Array, issues: IssueList, line?: number): WrittenTune {
  const bytes = typeof source === 'string' ? Uint8Array.from(source, (sign) => sign.charCodeAt(0) & 0xff) : source
  const song = readMidiSong(bytes, issues)
  const melody = melodyOf(song, issues, line)
  const others = song.lines.filter((line) => line !== melody).flatMap((line) => line.notes)
  const keys = keysOf(song, issues)
  const { spans, covered } = quantise(melody.notes)
  if (covered > 0)
    issues.add(
      'RD9',
      'note',
      'file',
      said`Where notes of the melody's line sound together the top note is read as the melody (${covered} lower ones left out).`,
    )
  const bars = barsOf(song, spans.at(-1)?.end ?? 0)
  const words = wordsOf(song, spans, issues)
  tellStrayLabels(song, bars, issues)
  issues.add(
    'RD15',
    'note',
    'file',
    said`MIDI has no note values: the melody was put on a grid of sixteenths and triplets, its loudness left out. Check its rhythm.`,
  )
  if (others.length > 0)
    issues.add(
      'RD15',
      'note',
      'file',
      said`The chords were inferred from the accompaniment and are marked so. Check them.`,
    )
  return {
    format: 'midi',
    title: song.title === melody.name ? '' : song.title,
    rights: 'unknown',
    ...(song.tempoBpm ? { tempoBpm: song.tempoBpm } : {}),
    bars: bars.map((bar, index) => {
      const key = keyAt(keys, bar.from)
      return writtenBar(bar, index, key, spans, inferred(others, bar, key), song, words)
    }),
  }
}

function melodyOf(song: MidiSong, issues: IssueList, asked?: number): MidiLine {
  const chosen = chooseMelody(song.lines, asked)
  if (!chosen && asked !== undefined)
    throw new Unreadable(
      'RD14',
      'file',
      said`This MIDI file has ${song.lines.length} lines; line ${asked + 1} is not in it.`,
    )
  if (!chosen) throw new Unreadable('RD1', 'file', said`There are no pitched notes in this MIDI file.`)
  const { line, why } = chosen
  if (song.lines.length > 1 && why !== 'asked')
    issues.add(
      'RD14',
      'note',
      'file',
      why === 'named'
        ? said`Of ${song.lines.length} lines '${line.name || `channel ${line.channel + 1}`}' was read as the melody, by its name.`
        : said`Of ${song.lines.length} lines '${line.name || `channel ${line.channel + 1}`}' was read as the melody, since it lies highest.`,
    )
  return line
}

interface KeyFrom {
  readonly at: number
  readonly key: KeySignature
}

const keyAt = (keys: readonly KeyFrom[], tick: number): KeySignature =>
  (keys.findLast(({ at }) => at <= tick) ?? keys[0])?.key ?? keySignatureOf('C major')

/** Keys from where they hold, at least one. */
function keysOf(song: MidiSong, issues: IssueList): readonly KeyFrom[] {
  const written = song.signatures.flatMap(({ at, fifths, isMinor }): KeyFrom[] => {
    const key =
      Math.abs(fifths) <= 7
        ? keySignature(noteOfFifths(fifths + (isMinor ? 3 : 0)), isMinor ? 'minor' : 'major')
        : undefined
    if (!key)
      issues.add(
        'RD11',
        'warning',
        'file',
        said`A key signature of ${fifths} accidentals is none of the usual ones; it was passed over.`,
      )
    return key ? [{ at, key }] : []
  })
  // Many programs write 'C major' without meaning it, so that alone is no evidence.
  if (written.some(({ key }) => key.key !== 'C major')) return written
  return [{ at: 0, key: guessedKey(song, issues) }]
}

function guessedKey(song: MidiSong, issues: IssueList): KeySignature {
  const ranked = rankKeys(
    song.lines.flatMap((line) =>
      line.notes.map((note) => ({ midi: note.midi, durationTicks: note.end - note.start, startTick: note.start })),
    ),
  )
  const [best, second] = ranked
  if (!best) return keySignatureOf('C major')
  issues.add(
    'RD11',
    'note',
    'file',
    second
      ? said`The file does not say which key it is in; read as ${best.key} from its notes (next ${second.key}).`
      : said`The file does not say which key it is in; read as ${best.key} from its notes.`,
  )
  return keySignatureOf(best.key)
}

function barsOf(song: MidiSong, end: number): Bar[] {
  const bars: Bar[] = []
  let at = 0
  let metre = FOUR_FOUR
  while (at < end) {
    for (const change of song.metres) if (change.at <= at) ({ metre } = change)
    const change = song.metres.find((one) => one.at > at && one.at < at + barTicks(metre))
    const to = change ? change.at : at + barTicks(metre)
    bars.push({ from: at, to, metre })
    at = to
    if (bars.length > LIMITS.tuneBars)
      throw new Unreadable(
        'RD10',
        'file',
        said`The MIDI file is longer than ${LIMITS.tuneBars} bars; export the one tune by itself.`,
      )
  }
  return withPickup(bars)
}

/** Files write a pickup, and the closing bar that completes it, as bars of a metre of their own; here they are short bars of the metre. */
function withPickup(bars: readonly Bar[]): Bar[] {
  const [first, second] = bars
  if (!first || !second || sameMetre(first.metre, second.metre)) return [...bars]
  const full = barTicks(second.metre)
  const pickup = first.to - first.from
  if (pickup >= full) return [...bars]
  return bars.map((bar, at) => {
    if (at === 0) return { ...bar, metre: second.metre }
    const before = bars[at - 1]
    const closes = at === bars.length - 1 && at > 1 && before && bar.to - bar.from + pickup === barTicks(before.metre)
    return closes ? { ...bar, metre: before.metre } : bar
  })
}

/** Syllables by the start of the note they are sung on: the nearest within a sixteenth. */
function wordsOf(song: MidiSong, spans: readonly WrittenSpan[], issues: IssueList): ReadonlyMap<number, string> {
  const words = new Map<number, string>()
  let lost = 0
  const starts = spans
    .filter((span, at) => !spans[at - 1]?.isTied || spans[at - 1]?.end !== span.start)
    .map(({ start }) => start)
  for (const { at, text } of song.words) {
    const syllable = text.replace(/[\r\n/\\]/g, '').trim()
    if (syllable === '') continue
    const nearest = nearestOf(starts, at)
    if (Math.abs(nearest - at) <= TICKS_PER_QUARTER / 4 && !words.has(nearest)) words.set(nearest, syllable)
    else lost++
  }
  if (lost > 0)
    issues.add(
      'RD12',
      'note',
      'file',
      said`${lost} syllables of the words stand where the melody has no note of their own; they were left out.`,
    )
  return words
}

/** Of ascending places the one nearest to a tick. */
function nearestOf(places: readonly number[], tick: number): number {
  let low = 0
  let high = places.length
  while (low < high) {
    const middle = (low + high) >> 1
    if ((places[middle] as number) < tick) low = middle + 1
    else high = middle
  }
  const [before, after] = [places[low - 1], places[low]]
  if (before === undefined || (after !== undefined && after - tick < tick - before)) return after ?? 0
  return before
}

const isLabelOf = (label: { readonly at: number }, bar: Bar): boolean =>
  Math.abs(label.at - bar.from) < TICKS_PER_QUARTER / 4

function tellStrayLabels(song: MidiSong, bars: readonly Bar[], issues: IssueList): void {
  const stray = song.labels.filter((label) => !bars.some((bar) => isLabelOf(label, bar)))
  if (stray.length > 0)
    issues.add(
      'RD9',
      'note',
      'file',
      said`Markers that stand at no bar's beginning were left out: ${stray
        .slice(0, 10)
        .map(({ text }) => `'${text}'`)
        .join(', ')}${stray.length > 10 ? ' …' : ''}.`,
    )
}

function writtenBar(
  bar: Bar,
  index: number,
  key: KeySignature,
  spans: readonly WrittenSpan[],
  chords: readonly WrittenChord[],
  song: MidiSong,
  words: ReadonlyMap<number, string>,
): WrittenBar {
  const notes = spans.flatMap((span): WrittenNote[] => {
    const from = Math.max(span.start, bar.from)
    const to = Math.min(span.end, bar.to)
    if (to <= from) return []
    return [
      {
        startTick: from - bar.from,
        durationTicks: to - from,
        midi: span.midi,
        name: pitchInKey(span.midi, key),
        ...(span.isTied || span.end > bar.to ? { tied: true as const } : {}),
        ...(span.tuplet ? { tuplet: span.tuplet } : {}),
        ...(from === span.start && words.has(from) ? { lyric: words.get(from) as string } : {}),
      },
    ]
  })
  const label = song.labels.find((one) => isLabelOf(one, bar))?.text
  return {
    metre: bar.metre,
    key,
    lengthTicks: bar.to - bar.from,
    notes,
    chords,
    ...(label ? { label } : {}),
    marks: {},
    path: `bars/${index}`,
    place: `Bar ${index + 1}`,
  }
}

/** One chord a bar, or two where the halves of an even bar differ. */
function inferred(others: readonly PlayedNote[], bar: Bar, key: KeySignature): WrittenChord[] {
  if (others.length === 0) return []
  const isEven = bar.metre.beats % 2 === 0 && bar.metre.beatType <= 4
  const middle = (bar.from + bar.to) / 2
  const halves = isEven ? [inferChord(others, bar.from, middle, key), inferChord(others, middle, bar.to, key)] : []
  const [first, second] = halves
  if (first && second && first.root !== second.root)
    return [
      { startTick: 0, chord: first, inferred: true },
      { startTick: middle - bar.from, chord: second, inferred: true },
    ]
  const whole = inferChord(others, bar.from, bar.to, key)
  return whole ? [{ startTick: 0, chord: whole, inferred: true }] : []
}
