/** A tune as data: what a page read from a file and somebody put right there, written small and read again with nothing taken on trust. */
import type { Chord, Issue, Tune, TuneBar } from '../contract/index.js'
import { parseChord } from '../chords/index.js'
import { Door, type Fields, isFields, namedSections, tuneShape } from '../tune/index.js'
import { LIMITS, barTicks, keySignature, midiOfName, tonicOf } from '../units/index.js'
import { Unreadable } from './issue-list.js'
import { said } from './said.js'

const FORMATS = ['abc', 'musicxml', 'midi', 'typed'] as const
const RIGHTS = ['unknown', 'own', 'public-domain', 'licensed'] as const
const MOST_ISSUES = 200
const MOST_VALUES = 12
const MOST_LETTERS = 600

/** JSON text: chords by their symbol, metre and key only where they change, bars without their number. */
export function writeTuneFile(tune: Tune): string {
  const bars = tune.bars.map(({ barIndex: _index, metre, key, lengthTicks, chords, ...bar }, index) => {
    const before = tune.bars[index - 1]
    return {
      ...bar,
      ...(before && sameText(before.metre, metre) ? {} : { metre }),
      ...(before && sameText(before.key, key) ? {} : { key }),
      ...(lengthTicks === barTicks(metre) ? {} : { lengthTicks }),
      chords: chords.map(({ startTick, durationTicks, chord, inferred }) => ({
        startTick,
        durationTicks,
        symbol: chord.symbol,
        ...(inferred ? { inferred } : {}),
      })),
    }
  })
  return JSON.stringify({ ...tune, bars })
}

/** Throws Unreadable naming the first thing that is wrong: this is written by a program, so there is nothing to mend. */
export function readTuneFile(text: string): Tune {
  const given = parsed(text)
  const { bars, sections, title, composer, rights, tempoBpm, pickupTicks, source } = given
  if (!Array.isArray(bars) || bars.length === 0) throw broken('bars', 'a list of bars was expected')
  if (bars.length > LIMITS.tuneBars) throw broken('bars', `a tune has ${LIMITS.tuneBars} bars at most`)
  if (!Array.isArray(sections) || sections.length === 0) throw broken('sections', 'a list of sections was expected')
  const whole = wholeBars(bars)
  const [first] = whole
  if (!first) throw broken('bars', 'a tune has a bar')
  const door = new Door()
  const shaped = tuneShape(door, {
    version: 1,
    title: textOf(title, 'title') || 'Untitled',
    ...(composer === undefined ? {} : { composer: textOf(composer, 'composer') }),
    rights: RIGHTS.find((known) => known === rights) ?? 'unknown',
    key: first.key,
    metre: first.metre,
    ...(tempoBpm === undefined ? {} : { tempoBpm }),
    pickupTicks,
    bars: whole,
    sections: sections.map((section) => sectionOf(section)),
    source: sourceOf(source, whole.length),
  })
  const [wrong] = door.issues
  if (wrong) throw broken(wrong.path, wrong.message)
  checkBars(shaped)
  return withSections(shaped)
}

function parsed(text: string): Fields {
  try {
    const given: unknown = JSON.parse(text)
    if (isFields(given)) return given
  } catch {
    throw broken('file', 'this is no JSON')
  }
  throw broken('file', 'an object was expected')
}

/** Bars with what they leave out: metre and key of the bar before, the metre's length, chords read from their symbols. */
function wholeBars(given: readonly unknown[]): readonly TuneBar[] {
  let frame: Fields = {}
  const known = new Map<string, Chord>()
  return given.map((bar, barIndex) => {
    if (!isFields(bar)) throw broken(`bars/${barIndex}`, 'a bar was expected')
    const { metre = frame['metre'], key = frame['key'], lengthTicks, chords, melody, writtenBar } = bar
    frame = { metre, key }
    const isMetred = isFields(metre) && typeof metre['beats'] === 'number' && typeof metre['beatType'] === 'number'
    const full = isMetred ? barTicks(metre as unknown as TuneBar['metre']) : undefined
    if (!Array.isArray(chords)) throw broken(`bars/${barIndex}/chords`, 'a list was expected')
    return {
      barIndex,
      metre,
      key,
      lengthTicks: lengthTicks ?? full,
      melody,
      chords: chords.map((placed: unknown, at) => chordOf(placed, known, `bars/${barIndex}/chords/${at}`)),
      writtenBar,
    } as unknown as TuneBar
  })
}

function chordOf(placed: unknown, known: Map<string, Chord>, path: string): TuneBar['chords'][number] {
  const symbol = isFields(placed) ? placed['symbol'] : undefined
  if (!isFields(placed) || typeof symbol !== 'string') throw broken(path, 'a chord symbol was expected')
  let chord = known.get(symbol)
  if (!chord) {
    const read = parseChord(symbol)
    if (!read.ok) throw broken(path, read.issues[0]?.message ?? 'this is no chord symbol')
    known.set(symbol, (chord = read.value))
  }
  const { startTick, durationTicks, inferred } = placed
  return { startTick, durationTicks, chord, ...(inferred === true ? { inferred } : {}) } as TuneBar['chords'][number]
}

function sectionOf(section: unknown): Fields {
  return isFields(section) && typeof section['letter'] === 'string'
    ? { ...section, letter: section['letter'].slice(0, 24) }
    : {}
}

function sourceOf(source: unknown, bars: number): Tune['source'] {
  const fields = isFields(source) ? source : {}
  const format = FORMATS.find((known) => known === fields['format']) ?? 'typed'
  const issues = Array.isArray(fields['issues']) ? fields['issues'].slice(0, MOST_ISSUES) : []
  return { format, issues: issues.flatMap((found: unknown) => issueOf(found, bars)) }
}

function issueOf(found: unknown, bars: number): Issue[] {
  if (!isFields(found)) return []
  const { code, severity, path, message, bar, sentence } = found
  const isKnown = severity === 'warning' || severity === 'note'
  if (typeof code !== 'string' || typeof path !== 'string' || typeof message !== 'string' || !isKnown) return []
  const isBar = typeof bar === 'number' && Number.isInteger(bar) && bar >= 0 && bar < bars
  return [
    {
      code: code.slice(0, 8),
      severity,
      path: path.slice(0, MOST_LETTERS),
      message: message.slice(0, MOST_LETTERS),
      ...(isBar ? { bar } : {}),
      ...sentenceOf(sentence),
    },
  ]
}

function sentenceOf(found: unknown): Pick<Issue, 'sentence'> {
  if (!isFields(found) || typeof found['id'] !== 'string' || !Array.isArray(found['values'])) return {}
  const values = found['values'].slice(0, MOST_VALUES).flatMap((value: unknown): (string | number)[] => {
    if (typeof value === 'string') return [value.slice(0, MOST_LETTERS)]
    return typeof value === 'number' && Number.isFinite(value) ? [value] : []
  })
  return { sentence: { id: found['id'].slice(0, MOST_LETTERS), values } }
}

/** What the shape alone doesn't tell: lengths, names that say the pitch, chords that tile, signatures that fit their keys. */
function checkBars(tune: Tune): void {
  const last = tune.bars.length - 1
  for (const [index, bar] of tune.bars.entries()) {
    const path = `bars/${index}`
    const isEdge = (index === 0 && tune.pickupTicks > 0) || (index === last && index > 0)
    if (bar.lengthTicks !== barTicks(bar.metre) && !isEdge) throw broken(path, 'a bar inside the tune is a full one')
    if (keySignature(tonicOf(bar.key.key), bar.key.mode)?.fifths !== bar.key.fifths)
      throw broken(`${path}/key`, 'the signature is not that of its key')
    if (bar.melody.some(({ name, midi }) => midiOfName(name) !== midi))
      throw broken(`${path}/melody`, 'a note’s name is not its pitch')
    bar.chords.forEach(({ startTick, durationTicks }, at) => {
      if (startTick + durationTicks !== (bar.chords[at + 1]?.startTick ?? bar.lengthTicks))
        throw broken(`${path}/chords/${at}`, 'a chord lasts until the next')
    })
  }
  if (!tune.bars.some((bar) => bar.melody.length > 0 || bar.chords.length > 0))
    throw new Unreadable('RD1', 'file', said`There is no music in this tune: no bar has a note or a chord.`)
}

/** Ids are made anew from the names, as for every file. */
function withSections(tune: Tune): Tune {
  const first = tune.pickupTicks > 0 ? 1 : 0
  if (tune.sections.some(({ startBar }, at) => startBar < first || startBar <= (tune.sections[at - 1]?.startBar ?? -1)))
    throw broken('sections', 'sections follow each other, after the pickup')
  const named = namedSections(tune, tune.sections)
  return { ...tune, sections: named }
}

function textOf(value: unknown, path: string): string {
  if (typeof value !== 'string') throw broken(path, 'a text was expected')
  return value.trim().slice(0, LIMITS.word)
}

const sameText = (a: unknown, b: unknown): boolean => JSON.stringify(a) === JSON.stringify(b)
const broken = (path: string, message: string): Unreadable =>
  new Unreadable('RD45', path, said`Not a whole tune: ${message.replace(/\.$/, '')}.`)
