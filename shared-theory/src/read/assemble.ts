/** Written bars become a tune: repeats played out, pickup and short bars joined, ties and chords settled, sections named. */
import type { KeySignature, MelodyNote, Metre, PlacedChord, Tune, TuneBar } from '../contract/index.js'
import { type FormLabel, sectionsOf } from '../tune/index.js'
import { LIMITS, barTicks, must, sameMetre } from '../units/index.js'
import { type IssueList, Unreadable } from './issue-list.js'
import { partSequence } from './part-sequence.js'
import { playingOrder } from './playing-order.js'
import { doubtKey, settleKey } from './settle-key.js'
import type { WrittenBar, WrittenChord, WrittenNote, WrittenTune } from './written.js'

/** One bar as played: still with its file place, already with a metre. */
interface PlayedBar {
  readonly metre: Metre
  readonly full: number
  readonly length: number
  readonly key: KeySignature
  readonly notes: readonly WrittenNote[]
  readonly chords: readonly WrittenChord[]
  readonly label?: string
  readonly writtenBar: number
  readonly path: string
  readonly place: string
}

const SMALLEST_TICKS = 1260

export function assembleTune(written: WrittenTune, issues: IssueList): Tune {
  if (!written.bars.some((bar) => bar.notes.length > 0 || bar.chords.length > 0))
    throw new Unreadable('RD1', 'file', 'There is no music in this file: no bar has a note or a chord.')
  const order = written.partOrder
    ? partSequence(written.bars, written.partOrder, issues)
    : playingOrder(written.bars, issues)
  const labelled = carriedLabels(written.bars)
  const played = order.flatMap((index, at) => playBar(written.bars, index, order[at - 1], labelled, issues))
  const joined = padShort(joinShort(shortenEmptyLead(played, issues)), issues)
  if (joined.length > LIMITS.tuneBars)
    throw new Unreadable(
      'RD10',
      'file',
      `${joined.length} bars are more than the ${LIMITS.tuneBars} that one tune may have.`,
    )
  const bars = settle(repeatSigns(joined), issues)
  const first = must(bars[0], 'a tune has a bar')
  const pickupTicks = bars.length > 1 && first.lengthTicks < barTicks(first.metre) ? first.lengthTicks : 0
  const body: Omit<Tune, 'sections' | 'source'> = {
    version: 1,
    title: written.title || 'Untitled',
    ...(written.composer ? { composer: written.composer } : {}),
    rights: written.rights,
    key: first.key,
    metre: first.metre,
    ...(written.tempoBpm ? { tempoBpm: written.tempoBpm } : {}),
    pickupTicks,
    bars,
  }
  const settled = written.keyKnown ? settleKey(body, written.keyKnown, issues) : body
  const labels: FormLabel[] = joined.flatMap((bar, startBar) => (bar.label ? [{ startBar, text: bar.label }] : []))
  const bare: Tune = { ...settled, sections: [], source: { format: written.format, issues: [] } }
  if (!written.keyKnown) doubtKey(bare, issues)
  return { ...settled, sections: sectionsOf(bare, labels), source: { format: written.format, issues: issues.all() } }
}

/** The label each written bar stands under, its own or the last before it. */
function carriedLabels(bars: readonly WrittenBar[]): (string | undefined)[] {
  let current: string | undefined
  return bars.map((bar) => (current = bar.label ?? current))
}

/** A written bar on one playing; an overlong one is cut at its metre, or keeps its length under a metre of its own. */
function playBar(
  bars: readonly WrittenBar[],
  index: number,
  before: number | undefined,
  labelled: readonly (string | undefined)[],
  issues: IssueList,
): PlayedBar[] {
  const bar = must(bars[index], 'the order names written bars')
  const jumped = before !== undefined && before !== index - 1
  const section = jumped && labelled[index] !== labelled[before] ? labelled[index] : undefined
  const label = bar.label ?? (jumped && bar.marks.coda ? 'Coda' : section)
  const common = { key: bar.key, writtenBar: index, path: bar.path, place: bar.place }
  const own = { ...common, notes: bar.notes, chords: bar.chords, ...(label ? { label } : {}) }
  if (bar.metre === undefined) {
    const metre = metreOf(bar.lengthTicks)
    return [{ ...own, metre, full: barTicks(metre), length: barTicks(metre) }]
  }
  const full = barTicks(bar.metre)
  if (bar.lengthTicks <= full) return [{ ...own, metre: bar.metre, full, length: bar.lengthTicks }]
  if (bar.lengthTicks >= 2 * full) {
    issues.addOnce(
      `cut ${index}`,
      'RD6',
      'warning',
      bar.path,
      `${bar.place}: the bar is ${inBeats(bar.lengthTicks, bar.metre)} beats long in ${bar.metre.beats}/${bar.metre.beatType}; it was cut into bars. Put in the missing bar lines.`,
    )
    return cutBar(bar.notes, bar.chords, bar.lengthTicks, full).map((piece, at) => ({
      ...common,
      ...piece,
      metre: bar.metre as Metre,
      full,
      ...(at === 0 && label ? { label } : {}),
    }))
  }
  const metre = metreOf(bar.lengthTicks)
  issues.addOnce(
    `long ${index}`,
    'RD6',
    'warning',
    bar.path,
    `${bar.place}: ${inBeats(bar.lengthTicks, bar.metre)} beats in a bar of ${bar.metre.beats}; kept as a bar of ${metre.beats}/${metre.beatType}. Shorten a note or put in the bar line.`,
  )
  return [{ ...own, metre, full: barTicks(metre), length: barTicks(metre) }]
}

/** The plainest metre of a length: quarters where they fit, else eighths or sixteenths, rounded up. */
function metreOf(lengthTicks: number): Metre {
  for (const beatType of [4, 8, 16] as const) {
    const unit = barTicks({ beats: 1, beatType })
    if (lengthTicks >= unit && lengthTicks % unit === 0) return { beats: lengthTicks / unit, beatType }
  }
  return { beats: Math.max(1, Math.ceil(lengthTicks / SMALLEST_TICKS)), beatType: 16 }
}

function inBeats(ticks: number, metre: Metre): string {
  const beats = ticks / barTicks({ beats: 1, beatType: metre.beatType })
  const whole = Math.floor(beats)
  const rest = beats - whole
  const fraction =
    rest === 0 ? '' : rest === 0.5 ? '½' : rest === 0.25 ? '¼' : rest === 0.75 ? '¾' : rest.toFixed(2).slice(1)
  return `${whole > 0 || !fraction ? whole : ''}${fraction}`
}

function cutBar(
  notes: readonly WrittenNote[],
  chords: readonly WrittenChord[],
  length: number,
  full: number,
): { notes: WrittenNote[]; chords: WrittenChord[]; length: number }[] {
  const pieces = Array.from({ length: Math.ceil(length / full) }, (_, at) => ({
    notes: [] as WrittenNote[],
    chords: [] as WrittenChord[],
    length: Math.min(full, length - at * full),
  }))
  for (const note of notes) {
    let from = note.startTick
    const end = note.startTick + note.durationTicks
    while (from < end) {
      const piece = Math.floor(from / full)
      const to = Math.min(end, (piece + 1) * full)
      const { tied, lyric, grace, ...plain } = note
      pieces[piece]?.notes.push({
        ...plain,
        startTick: from - piece * full,
        durationTicks: to - from,
        ...(to < end || tied ? { tied: true as const } : {}),
        ...(from === note.startTick && lyric ? { lyric } : {}),
        ...(from === note.startTick && grace ? { grace } : {}),
      })
      from = to
    }
  }
  for (const chord of chords) {
    const piece = Math.min(pieces.length - 1, Math.floor(chord.startTick / full))
    pieces[piece]?.chords.push({ ...chord, startTick: chord.startTick - piece * full })
  }
  return pieces
}

/** A first bar that is silent but for its last notes is a pickup written out with rests, where that makes the form come out. */
function shortenEmptyLead(bars: readonly PlayedBar[], issues: IssueList): readonly PlayedBar[] {
  const [first, ...rest] = bars
  const start = first?.notes[0]?.startTick
  if (!first || start === undefined || first.length < first.full || bars.length < 5) return bars
  if (first.chords.length > 0 || start * 2 < first.full || rest.length % 4 !== 0 || bars.length % 4 === 0) return bars
  issues.add(
    'RD6',
    'note',
    first.path,
    `${first.place}: the rests before the first note were taken off; the bar is a pickup.`,
  )
  const notes = first.notes.map((note) => ({ ...note, startTick: note.startTick - start }))
  return [{ ...first, notes, length: first.length - start }, ...rest]
}

/** Neighbouring short bars that fill one bar together are one bar (a repeat sign or double bar in its middle); the pickup stays alone.
 *  A label on the second half names the section its pickup leads into: the next bar. */
function joinShort(bars: readonly PlayedBar[]): readonly PlayedBar[] {
  const out: PlayedBar[] = []
  let waitingLabel: string | undefined
  for (const bar of bars) {
    const last = out.at(-1)
    const joins =
      last &&
      out.length > 1 &&
      last.length < last.full &&
      bar.length < bar.full &&
      last.length + bar.length === last.full &&
      sameMetre(last.metre, bar.metre)
    if (!joins) {
      out.push(waitingLabel && !bar.label ? { ...bar, label: waitingLabel } : bar)
      waitingLabel = undefined
      continue
    }
    const shift = last.length
    out[out.length - 1] = {
      ...last,
      length: last.full,
      notes: [...last.notes, ...bar.notes.map((note) => ({ ...note, startTick: note.startTick + shift }))],
      chords: [...last.chords, ...bar.chords.map((chord) => ({ ...chord, startTick: chord.startTick + shift }))],
    }
    waitingLabel = bar.label
  }
  return out
}

/** Only the pickup and the closing bar that completes it may be short; any other is filled with silence, and said. */
function padShort(bars: readonly PlayedBar[], issues: IssueList): readonly PlayedBar[] {
  const pickup = pickupLength(bars)
  return bars.map((bar, at) => {
    if (bar.length >= bar.full) return bar
    if (at === 0 && pickup > 0) return bar
    if (at === bars.length - 1 && pickup > 0 && bar.length + pickup === bar.full) return bar
    issues.addOnce(
      `short ${bar.writtenBar}`,
      'RD6',
      at === bars.length - 1 ? 'note' : 'warning',
      bar.path,
      `${bar.place}: ${inBeats(bar.length, bar.metre)} beats in a bar of ${bar.metre.beats}; the rest was filled with silence. Add the missing note or rest.`,
    )
    return { ...bar, length: bar.full }
  })
}

/** A short first bar is a pickup, unless it is most of a bar with its own chord and the form only comes out with it. */
function pickupLength(bars: readonly PlayedBar[]): number {
  const first = bars[0]
  if (!first || bars.length < 2 || first.length >= first.full) return 0
  const last = bars.at(-1)
  const completed = last && last.length + first.length === first.full
  const looksFull = first.length * 2 > first.full && first.chords[0]?.startTick === 0 && bars.length % 4 === 0
  return looksFull && !completed ? 0 : first.length
}

/** Played bars as the tune keeps them: chords tile, ties lead somewhere. */
function settle(bars: readonly PlayedBar[], issues: IssueList): TuneBar[] {
  return bars.map((bar, barIndex) => {
    if (bar.notes.length > LIMITS.notesPerBar || bar.chords.length > LIMITS.chordsPerBar)
      throw new Unreadable(
        'RD10',
        bar.path,
        `${bar.place}: more than ${LIMITS.notesPerBar} notes or ${LIMITS.chordsPerBar} chords in one bar; are its bar lines missing?`,
      )
    return {
      barIndex,
      metre: bar.metre,
      lengthTicks: bar.length,
      key: bar.key,
      melody: bar.notes.map((note, at) =>
        settleNote(bar, note, bar.notes[at + 1] ?? bars[barIndex + 1]?.notes[0], issues, at),
      ),
      chords: tileChords(bar.chords, bar.length),
      writtenBar: bar.writtenBar,
    }
  })
}

function settleNote(
  bar: PlayedBar,
  note: WrittenNote,
  next: WrittenNote | undefined,
  issues: IssueList,
  at: number,
): MelodyNote {
  const { tied, ...plain } = note
  if (!tied) return plain
  const end = note.startTick + note.durationTicks
  const isLast = at === bar.notes.length - 1
  const meets =
    next && next.midi === note.midi && (isLast ? end === bar.length && next.startTick === 0 : next.startTick === end)
  if (meets) return { ...plain, tiedToNext: true }
  issues.addOnce(
    `tie ${bar.writtenBar} ${at}`,
    'RD7',
    'note',
    bar.path,
    `${bar.place}: the tie after ${note.name} leads to no note of the same pitch and was left out.`,
  )
  return plain
}

/** '%' plays the chords of the bar before again. */
function repeatSigns(bars: readonly PlayedBar[]): readonly PlayedBar[] {
  let before: readonly WrittenChord[] = []
  return bars.map((bar) => {
    const plain = bar.chords.filter((one) => one.chord.symbol !== '%')
    const chords = plain.length === bar.chords.length || plain.length > 0 ? plain : before
    if (chords.length > 0) before = chords
    return { ...bar, chords }
  })
}

/** Chords last until the next or the bar's end; of two on one spot the later stands. */
function tileChords(chords: readonly WrittenChord[], length: number): PlacedChord[] {
  const placed = chords.filter((one, at) => one.startTick < length && chords[at + 1]?.startTick !== one.startTick)
  return placed.map((one, at) => ({
    startTick: one.startTick,
    durationTicks: (placed[at + 1]?.startTick ?? length) - one.startTick,
    chord: one.chord,
    ...(one.inferred ? { inferred: true as const } : {}),
  }))
}
