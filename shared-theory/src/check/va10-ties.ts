/** VA10: a tie that leads to nothing, notes of one voice that overlap, a pitch struck while it sounds. */
import type { ArrangedBar, Issue, PartNote } from '../contract/index.js'
import { issue } from '../units/index.js'
import { type CheckContext, isPrinted, notesOf, readableBars } from './check-context.js'
import { shownNote } from './words.js'

type Note = Pick<PartNote, 'startTick' | 'durationTicks' | 'midi' | 'name' | 'tiedToNext' | 'voice'>

interface Stream {
  readonly path: string
  /** '' for the melody, ', alto' for a part. */
  readonly who: string
  /** One note at a time in each voice. */
  readonly isLine: boolean
  /** Two notes at the same moment are no fault: keys, guitars, mallets. */
  readonly isChordal: boolean
  readonly notes: (bar: ArrangedBar) => readonly (Note | undefined)[]
}

export function checkTies(context: CheckContext): Issue[] {
  const melody: Stream = { path: 'melody', who: '', isLine: true, isChordal: false, notes: (bar) => bar.melody }
  const parts = context.parts
    .filter(({ isDrums }) => !isDrums)
    .map((part): Stream => ({
      path: `parts/${part.spec.id}`,
      who: `, ${part.name}`,
      isLine: part.isLine,
      isChordal: CHORDAL.has(part.instrument.family),
      notes: (bar) => notesOf(bar, part).map((note) => (isPrinted(note) ? note : undefined)),
    }))
  const found: Issue[] = []
  for (const [index, bar] of readableBars(context.bars)) {
    for (const stream of [melody, ...parts]) {
      const notes = stream.notes(bar)
      if (stream !== melody && repeatsMelody(bar, notes)) continue
      const say = (place: number, text: string): void => {
        const where = `Bar ${context.numberOf(index)}${stream.who}: `
        found.push(issue('VA10', 'error', `bars/${index}/${stream.path}/${place}`, where + text))
      }
      checkBarTies(context, index, bar, stream, notes, say)
      if (stream.isLine) checkOverlaps(bar, notes, stream.isChordal, say)
      else checkRestrikes(bar, notes, say)
    }
  }
  return found
}

/** The lead's part says what the melody says: one finding is enough. */
function repeatsMelody(bar: ArrangedBar, notes: readonly (Note | undefined)[]): boolean {
  return (
    notes.length > 0 &&
    notes.length === bar.melody.length &&
    notes.every((note, place) => {
      const own = bar.melody[place]
      return (
        own?.startTick === note?.startTick &&
        own?.durationTicks === note?.durationTicks &&
        own?.midi === note?.midi &&
        own?.tiedToNext === note?.tiedToNext
      )
    })
  )
}

function checkBarTies(
  { bars, numberOf }: CheckContext,
  index: number,
  bar: ArrangedBar,
  stream: Stream,
  notes: readonly (Note | undefined)[],
  say: (place: number, text: string) => void,
): void {
  for (const [place, note] of notes.entries()) {
    if (!note?.tiedToNext) continue
    const end = note.startTick + note.durationTicks
    const goesOver = end >= bar.lengthTicks
    const next = goesOver ? bars[index + 1] : bar
    // A bar that cannot be read is complained of already.
    if (goesOver && index + 1 < bars.length && !next) continue
    const target = next
      ? stream.notes(next).find((other) => other?.midi === note.midi && other.startTick === (goesOver ? 0 : end))
      : undefined
    if (target) continue
    const name = shownNote(note, bar.key)
    if (!goesOver) say(place, `the tie from ${name} leads to nothing; its note must follow at once.`)
    else if (next) say(place, `the tie leads to nothing in bar ${numberOf(index + 1)}.`)
    else say(place, `the tie from ${name} leads past the end.`)
  }
}

function checkOverlaps(
  bar: ArrangedBar,
  notes: readonly (Note | undefined)[],
  isChordal: boolean,
  say: (place: number, text: string) => void,
): void {
  for (const [place, note] of notes.entries()) {
    if (!note) continue
    const end = note.startTick + note.durationTicks
    const later = notes.find(
      (other, at) =>
        other !== undefined &&
        (other.voice ?? 1) === (note.voice ?? 1) &&
        other.startTick < end &&
        (other.startTick > note.startTick || (!isChordal && at > place && other.startTick === note.startTick)),
    )
    if (!later) continue
    const name = shownNote(note, bar.key)
    const other = shownNote(later, bar.key)
    say(
      place,
      later.startTick === note.startTick
        ? `${name} and ${other} begin together in one line; keep one of them.`
        : `${name} still sounds when ${other} begins; shorten it.`,
    )
    return
  }
}

/** Where chords are played: one key cannot be struck again while it is held. */
function checkRestrikes(
  bar: ArrangedBar,
  notes: readonly (Note | undefined)[],
  say: (place: number, text: string) => void,
): void {
  for (const [place, note] of notes.entries()) {
    const end = note ? note.startTick + note.durationTicks : 0
    const again = notes.some(
      (other, at) =>
        note !== undefined &&
        other?.midi === note.midi &&
        at !== place &&
        other.startTick >= note.startTick &&
        other.startTick < end,
    )
    if (!note || !again) continue
    say(place, `${shownNote(note, bar.key)} is struck again while it still sounds; shorten it.`)
    return
  }
}

const CHORDAL: ReadonlySet<string> = new Set(['keys', 'guitar', 'mallet'])
