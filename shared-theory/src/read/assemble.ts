/** Written bars become a tune: repeats played out, pickup and short bars joined, ties and chords settled, sections named. */
import type { MelodyNote, PlacedChord, Tune, TuneBar } from '../contract/index.js'
import { lacksChords, proposeChords } from '../fit/index.js'
import { type FormLabel, sectionsOf } from '../tune/index.js'
import { LIMITS, barTicks, must } from '../units/index.js'
import { joinShort, padShort, shortenEmptyLead } from './bar-sums.js'
import { type IssueList, Unreadable } from './issue-list.js'
import { partSequence } from './part-sequence.js'
import { type PlayedBar, carriedLabels, playBar } from './played-bars.js'
import { placeIssues } from './place-issues.js'
import { playingOrder } from './playing-order.js'
import { doubtKey, settleKey } from './settle-key.js'
import type { WrittenChord, WrittenNote, WrittenTune } from './written.js'
import { type Said, said } from './said.js'

export function assembleTune(written: WrittenTune, issues: IssueList, mayRest = false): Tune {
  if (!mayRest && !written.bars.some((bar) => bar.notes.length > 0 || bar.chords.length > 0))
    throw new Unreadable('RD1', 'file', said`There is no music in this file: no bar has a note or a chord.`)
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
      said`${joined.length} bars are more than the ${LIMITS.tuneBars} that one tune may have.`,
    )
  const bars = settle(repeatSigns(joined, issues), issues)
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
  const formed: Tune = { ...bare, sections: sectionsOf(bare, labels) }
  if (lacksChords(formed))
    issues.add(
      'RD16',
      'note',
      'file',
      said`The tune came without chords: plain ones in its key were proposed and are marked so. Check them.`,
    )
  const placed = placeIssues(issues.all(), written.bars, bars)
  return { ...proposeChords(formed), source: { format: written.format, issues: placed } }
}

/** Played bars as the tune keeps them: chords tile, ties lead somewhere. */
function settle(bars: readonly PlayedBar[], issues: IssueList): TuneBar[] {
  return bars.map((bar, barIndex) => {
    if (bar.notes.length > LIMITS.notesPerBar || bar.chords.length > LIMITS.chordsPerBar)
      throw new Unreadable(
        'RD10',
        bar.path,
        said`${bar.place}: more than ${LIMITS.notesPerBar} notes or ${LIMITS.chordsPerBar} chords in one bar; are its bar lines missing?`,
      )
    return {
      barIndex,
      metre: bar.metre,
      lengthTicks: bar.length,
      key: bar.key,
      melody: bar.notes.map((note, at) =>
        settleNote(bar, note, bar.notes[at + 1] ?? bars[barIndex + 1]?.notes[0], issues, at),
      ),
      chords: tileChords(bar, issues),
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
    said`${bar.place}: the tie after ${note.name} leads to no note of the same pitch and was left out.`,
  )
  return plain
}

/** '%' plays the chords of the bar before again. */
function repeatSigns(bars: readonly PlayedBar[], issues: IssueList): readonly PlayedBar[] {
  let before: readonly WrittenChord[] = []
  return bars.map((bar) => {
    const plain = bar.chords.filter((one) => one.chord.symbol !== '%')
    if (plain.length > 0 && plain.length < bar.chords.length)
      tellChord(bar, issues, said`${bar.place}: a % beside other chords means nothing and was left out.`)
    const chords = plain.length > 0 || bar.chords.length === 0 ? plain : before
    if (chords.length > 0) before = chords
    return { ...bar, chords }
  })
}

/** Chords last until the next or the bar's end; of two on one spot the later stands, and that is told. */
function tileChords(bar: PlayedBar, issues: IssueList): PlacedChord[] {
  const { chords, length } = bar
  const placed = chords.filter((one, at) => {
    const next = chords[at + 1]
    if (one.startTick >= length)
      tellChord(bar, issues, said`${bar.place}: ${one.chord.symbol} stands behind the end of the bar and was left out.`)
    else if (next?.startTick === one.startTick && next.chord.symbol !== one.chord.symbol)
      tellChord(
        bar,
        issues,
        said`${bar.place}: of ${one.chord.symbol} and ${next.chord.symbol} in one place the later was read.`,
      )
    return one.startTick < length && next?.startTick !== one.startTick
  })
  return placed.map((one, at) => ({
    startTick: one.startTick,
    durationTicks: (placed[at + 1]?.startTick ?? length) - one.startTick,
    chord: one.chord,
    ...(one.inferred ? { inferred: true as const } : {}),
  }))
}

function tellChord({ path, writtenBar }: PlayedBar, issues: IssueList, what: Said): void {
  issues.addFirst(`chord ${writtenBar} ${what.text}`, 'RD5', 'note', path, what)
}
