/** Hand edits from a draft or a command: typed where they read, an issue where they do not. */
import type { BarRef, HandEdit, Issue, MelodyNote, Metre, SectionRef } from '../contract/index.js'
import { LIMITS } from '../units/index.js'
import { BOARD_LIMITS } from './limits.js'
import { Reader, defined } from './fields.js'

const BEAT_TYPES = [2, 4, 8, 16] as const
/** No bar is longer than 32 whole notes. */
const MOST_TICKS = 32 * 4 * 5040
const EDIT_KINDS = ['chord', 'melody', 'voicing', 'bars'] as const

/** Every edit that reads, in order, and an issue for each that does not. */
export function normaliseEdits(
  value: unknown,
  path = 'edits',
): { readonly edits: readonly HandEdit[]; readonly issues: readonly Issue[] } {
  const reader = new Reader()
  const edits = readEdits(reader, value, path)
  return { edits, issues: reader.issues }
}

export function readEdits(reader: Reader, value: unknown, path: string): readonly HandEdit[] {
  const list = reader.list(value, path, BOARD_LIMITS.edits) ?? []
  return list.flatMap((entry, index) => readEdit(reader, entry, `${path}/${index}`) ?? [])
}

export function readEdit(reader: Reader, value: unknown, path: string): HandEdit | undefined {
  const edit = reader.object(value, path)
  const kind = edit && reader.oneOf(edit['kind'], `${path}/kind`, EDIT_KINDS)
  if (!edit || !kind) return undefined
  if (kind === 'bars') {
    const at =
      edit['at'] === 'opening' || edit['at'] === 'ending'
        ? edit['at']
        : readSectionRef(reader, edit['at'], `${path}/at`)
    const bars = reader.integer(edit['bars'], `${path}/bars`, 0, LIMITS.arrangementBars)
    return at === undefined || bars === undefined ? undefined : { kind, at, bars }
  }
  const at = readBarRef(reader, edit['at'], `${path}/at`)
  const metre = readMetre(reader, edit['metre'], `${path}/metre`)
  if (!at || !metre) return undefined
  const key = edit['key'] === undefined ? undefined : reader.text(edit['key'], `${path}/key`, 20, 3)
  const seen = key === undefined ? { kind, at, metre } : { kind, at, metre, key }
  if (kind === 'melody') {
    const list = reader.list(edit['notes'], `${path}/notes`, LIMITS.notesPerBar)
    const notes = list?.map((note, index) => readNote(reader, note, `${path}/notes/${index}`))
    return notes?.every((note) => note !== undefined) ? { ...seen, kind, notes } : undefined
  }
  const startTick = reader.integer(edit['startTick'], `${path}/startTick`, 0, MOST_TICKS)
  if (startTick === undefined) return undefined
  if (kind === 'chord') {
    const symbol = reader.text(edit['symbol'], `${path}/symbol`, LIMITS.chordSymbol, 1)
    return symbol === undefined ? undefined : { ...seen, kind, startTick, symbol }
  }
  const partId = reader.text(edit['partId'], `${path}/partId`, BOARD_LIMITS.id, 1)
  const list = reader.list(edit['midi'], `${path}/midi`, 16)
  const midi = list?.map((note, index) => reader.integer(note, `${path}/midi/${index}`, 0, 127))
  if (partId === undefined || !midi?.every((note) => note !== undefined)) return undefined
  const over = edit['over'] === undefined ? undefined : reader.text(edit['over'], `${path}/over`, LIMITS.chordSymbol, 1)
  return { ...seen, kind, ...(over === undefined ? {} : { over }), startTick, partId, midi }
}

export function readSectionRef(reader: Reader, value: unknown, path: string): SectionRef | undefined {
  const at = reader.object(value, path)
  if (!at) return undefined
  const before = reader.issues.length
  const ref = {
    passId: reader.text(at['passId'], `${path}/passId`, BOARD_LIMITS.id, 1),
    sectionId:
      at['sectionId'] === undefined ? undefined : reader.text(at['sectionId'], `${path}/sectionId`, BOARD_LIMITS.id, 1),
    fromBar:
      at['fromBar'] === undefined ? undefined : reader.integer(at['fromBar'], `${path}/fromBar`, 0, LIMITS.tuneBars),
    bars: at['bars'] === undefined ? undefined : reader.integer(at['bars'], `${path}/bars`, 1, LIMITS.tuneBars),
  }
  return reader.issues.length === before ? (defined(ref) as SectionRef) : undefined
}

function readBarRef(reader: Reader, value: unknown, path: string): BarRef | undefined {
  const at = reader.object(value, path)
  if (!at) return undefined
  const pass = reader.text(at['pass'], `${path}/pass`, BOARD_LIMITS.id, 1)
  const sectionId = reader.text(at['sectionId'], `${path}/sectionId`, BOARD_LIMITS.id, 1)
  const bar = reader.integer(at['bar'], `${path}/bar`, 0, LIMITS.arrangementBars)
  if (pass === undefined || sectionId === undefined || bar === undefined) return undefined
  const countIfAny = (name: 'ofSection' | 'part'): number | undefined =>
    at[name] === undefined ? undefined : reader.integer(at[name], `${path}/${name}`, 0, LIMITS.tuneBars)
  return defined({ pass, sectionId, bar, ofSection: countIfAny('ofSection'), part: countIfAny('part') }) as BarRef
}

function readMetre(reader: Reader, value: unknown, path: string): Metre | undefined {
  const metre = reader.object(value, path)
  if (!metre) return undefined
  const beats = reader.integer(metre['beats'], `${path}/beats`, 1, 32)
  const beatType = BEAT_TYPES.find((known) => known === metre['beatType'])
  if (beatType === undefined) return reader.refuse(`${path}/beatType`, '2, 4, 8 or 16 was expected here')
  return beats === undefined ? undefined : { beats, beatType }
}

function readNote(reader: Reader, value: unknown, path: string): MelodyNote | undefined {
  const note = reader.object(value, path)
  if (!note) return undefined
  const before = reader.issues.length
  const { tuplet, grace, lyric } = note
  const read = {
    startTick: reader.integer(note['startTick'], `${path}/startTick`, 0, MOST_TICKS),
    durationTicks: reader.integer(note['durationTicks'], `${path}/durationTicks`, 1, MOST_TICKS),
    midi: reader.integer(note['midi'], `${path}/midi`, 0, 127),
    name: reader.text(note['name'], `${path}/name`, 6, 2),
    tiedToNext: note['tiedToNext'] === true ? (true as const) : undefined,
    tuplet: tuplet === undefined ? undefined : readTuplet(reader, tuplet, `${path}/tuplet`),
    lyric: lyric === undefined ? undefined : reader.text(lyric, `${path}/lyric`, 200),
    grace: grace === undefined ? undefined : readGrace(reader, grace, `${path}/grace`),
  }
  return reader.issues.length === before ? (defined(read) as MelodyNote) : undefined
}

function readTuplet(reader: Reader, value: unknown, path: string): MelodyNote['tuplet'] {
  const tuplet = reader.object(value, path)
  const actual = tuplet && reader.integer(tuplet['actual'], `${path}/actual`, 1, 64)
  const normal = tuplet && reader.integer(tuplet['normal'], `${path}/normal`, 1, 64)
  return actual === undefined || normal === undefined ? undefined : { actual, normal }
}

function readGrace(reader: Reader, value: unknown, path: string): readonly string[] | undefined {
  return reader.list(value, path, 16)?.flatMap((pitch, index) => reader.text(pitch, `${path}/${index}`, 6, 2) ?? [])
}
