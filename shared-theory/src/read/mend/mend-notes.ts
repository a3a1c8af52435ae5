/** The notes of a bar written anew, as ABC letters in the bar's own key: what a reader heard wrong, or what the file had wrong. */
import type { MelodyNote, Result, Tune, TuneBar } from '../../contract/index.js'
import { LIMITS, abcKey, fail, formatMetre, issue } from '../../units/index.js'
import { readAbc } from '../abc/abc-reader.js'
import { type AbcToken, tokenizeAbc } from '../abc/abc-tokens.js'
import { IssueList, Unreadable } from '../issue-list.js'
import { inBeats } from '../played-bars.js'
import type { WrittenBar, WrittenNote } from '../written.js'

/** L:1/8, as `melodyText` writes them. */
const UNIT = '1/8'
const HEAD_LINES = 5
const TEXT_LETTERS = 2000

/** What stands in one bar of melody; anything else has its place elsewhere. */
const OF_NOTES: ReadonlySet<AbcToken['kind']> = new Set([
  'note',
  'rest',
  'bar-rest',
  'tuplet',
  'broken',
  'grace',
  'tie',
])

/** `at`: bars that are to have these notes, the first the one that is looked at. Words stay under the notes that begin where they did. */
export function setNotes(tune: Tune, at: readonly number[], text: string): Result<Tune> {
  const [first] = at
  const own = first === undefined ? undefined : tune.bars[first]
  if (own === undefined || at.some((bar) => tune.bars[bar]?.lengthTicks !== own.lengthTicks))
    return refuse('There is no such bar in the tune.')
  const read = readBar(own, text.replace(/\s*\|\]?\s*$/, ''))
  if (!read.ok) return read
  const notes = read.value
  const leadsOn = notes.at(-1)
  if (leadsOn?.tied && !meets(notes, tune.bars[own.barIndex + 1], own.lengthTicks))
    return refuse(
      `The tie after ${leadsOn.name} leads to no ${leadsOn.name} at the beginning of the next bar; take the - out, or write that bar first.`,
    )
  const meant = new Set(at)
  const written = tune.bars.map((bar, index) => (meant.has(index) ? { ...bar, melody: melodyOf(bar, notes) } : bar))
  const bars = written.map((bar, index): TuneBar => {
    const next = written[index + 1]
    const isBeside = meant.has(index) || meant.has(index + 1)
    return isBeside ? { ...bar, melody: tiesThatMeet(bar, next) } : bar
  })
  return { ok: true, value: { ...tune, bars } }
}

function readBar(bar: TuneBar, text: string): Result<readonly WrittenNote[]> {
  if (text.length > TEXT_LETTERS) return refuse(`A bar's notes may have ${TEXT_LETTERS} letters.`)
  const line = text.replaceAll(/\s+/g, ' ')
  const stray = tokenizeAbc(line).find((token) => !OF_NOTES.has(token.kind) || isStack(token))
  if (stray) return refuse(strayWords(stray, line))
  const { key, metre, lengthTicks } = bar
  const head = ['X:1', `M:${formatMetre(metre)}`, `L:${UNIT}`, `K:${abcKey(key)}`, '%']
  const issues = new IssueList()
  let written: readonly WrittenBar[]
  try {
    // A bar without a sign is a bar of rest.
    written = readAbc([...head, line.trim() === '' ? 'Z' : line, ''].join('\n'), issues).bars
  } catch (error) {
    if (!(error instanceof Unreadable)) throw error
    return refuse(inThisLine(error.message))
  }
  const wrong = issues.all().find(({ severity, path }) => severity !== 'note' && lineOf(path) > HEAD_LINES)
  if (wrong) return refuse(inThisLine(wrong.message))
  const [only] = written
  if (!only || written.length > 1) return refuse('These are the notes of one bar; write one bar.')
  if (line.trim() === '' || only.lengthTicks === lengthTicks) {
    if (only.notes.length > LIMITS.notesPerBar) return refuse(`A bar holds ${LIMITS.notesPerBar} notes at most.`)
    return { ok: true, value: only.notes }
  }
  const [has, needs] = [inBeats(only.lengthTicks, metre), inBeats(lengthTicks, metre)]
  return refuse(
    only.lengthTicks > lengthTicks
      ? `These notes last ${has} beats; the bar has ${needs}. Make some shorter.`
      : `These notes last ${has} beats; the bar has ${needs}. Write z where it is silent.`,
  )
}

const isStack = (token: AbcToken): boolean => token.kind === 'note' && token.pitches.length > 1

function strayWords(token: AbcToken, line: string): string {
  const sign = line.slice(token.column - 1).match(/^"[^"]*"?|^\[[^\]]*\]?|^\S/)?.[0] ?? ''
  const place = `Sign ${token.column}: '${sign.slice(0, 20)}'`
  if (token.kind === 'quoted') return `${place} is no note; chords are written in the fields of their beats.`
  if (token.kind === 'bar' || token.kind === 'ending') return `${place} is a bar line; these are the notes of one bar.`
  if (token.kind === 'note') return `${place} is several notes at once; a melody has one.`
  return `${place} is no note. Letters C to B and c to b are notes, z is a rest.`
}

/** The reader counts lines of a file nobody sees. */
const inThisLine = (message: string): string => {
  const text = message.replace(/^Line \d+(?:, column \d+)?: /, '')
  return text.charAt(0).toUpperCase() + text.slice(1)
}
const lineOf = (path: string): number => Number(/^line\/(\d+)/.exec(path)?.[1] ?? 0)

function melodyOf(bar: TuneBar, notes: readonly WrittenNote[]): readonly MelodyNote[] {
  const words = new Map(bar.melody.flatMap(({ startTick, lyric }) => (lyric ? [[startTick, lyric] as const] : [])))
  return notes.map(({ tied, ...note }) => {
    const lyric = words.get(note.startTick)
    return { ...note, ...(tied ? { tiedToNext: true as const } : {}), ...(lyric ? { lyric } : {}) }
  })
}

function meets(notes: readonly WrittenNote[], next: TuneBar | undefined, lengthTicks: number): boolean {
  const last = notes.at(-1)
  const first = next?.melody[0]
  return (
    last !== undefined &&
    last.startTick + last.durationTicks === lengthTicks &&
    first?.startTick === 0 &&
    first.midi === last.midi
  )
}

/** A tie stays where the same pitch follows at once, in the bar or over its line. */
function tiesThatMeet(bar: TuneBar, next: TuneBar | undefined): readonly MelodyNote[] {
  return bar.melody.map((note, at) => {
    if (!note.tiedToNext) return note
    const end = note.startTick + note.durationTicks
    const after = bar.melody[at + 1]
    const follows = after
      ? after.startTick === end && after.midi === note.midi
      : end === bar.lengthTicks && next?.melody[0]?.startTick === 0 && next.melody[0].midi === note.midi
    if (follows) return note
    const { tiedToNext: _leadsNowhere, ...plain } = note
    return plain
  })
}

const refuse = <T>(message: string): Result<T> => fail(issue('RD48', 'error', 'notes', message))
