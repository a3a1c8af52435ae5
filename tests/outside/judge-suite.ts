/** The MusicXML suite read: what is not as it must be, what each file loses, and whether mutations of its files are always answered. */
import { type Result, type Tune, readTune } from '@chartloft/shared-theory'
import { MUSICXML_SUITE, type XmlCase } from '../fixtures/musicxml/suite.js'

const joined = (tune: Tune, namesOf: (bar: Tune['bars'][number]) => readonly string[]): string =>
  tune.bars.map((bar) => namesOf(bar).join(' ')).join(' | ')

/** Differences from what the file must come to; an exception is one. */
export function faultsOfCase(wanted: XmlCase): readonly string[] {
  let read: Result<Tune>
  try {
    read = readTune('musicxml', wanted.source)
  } catch (error) {
    return [`${wanted.name}: threw ${String(error)}`]
  }
  if (!read.ok) {
    const [first] = read.issues
    return first?.code === wanted.refusedBy ? [] : [`${wanted.name}: refused by ${first?.code}: ${first?.message}`]
  }
  if (wanted.refusedBy !== undefined) return [`${wanted.name}: read, though ${wanted.refusedBy} should refuse it`]
  const tune = read.value
  const found: { readonly [field in keyof XmlCase]?: string | number } = {
    melody: joined(tune, ({ melody }) => melody.map(({ name }) => name)),
    chords: joined(tune, ({ chords }) => chords.map(({ chord }) => chord.symbol)),
    key: tune.key.key,
    metre: `${tune.metre.beats}/${tune.metre.beatType}`,
    title: tune.title,
    pickupTicks: tune.pickupTicks,
    ...(tune.tempoBpm === undefined ? {} : { tempoBpm: tune.tempoBpm }),
  }
  const fields = ['melody', 'chords', 'key', 'metre', 'title', 'tempoBpm', 'pickupTicks'] as const
  return fields
    .filter((field) => wanted[field] !== undefined && wanted[field] !== found[field])
    .map((field) => `${wanted.name}: ${field} ${found[field]} where ${wanted[field]} was meant`)
}

/** What is said of each file that loses something, by name. */
export function lossesOfSuite(): ReadonlyMap<string, readonly string[]> {
  return new Map(
    MUSICXML_SUITE.flatMap(({ name, source }) => {
      const read = readTune('musicxml', source)
      const said = (read.ok ? (read.issues ?? []) : read.issues).filter(({ code }) => code !== 'RD16')
      return said.length === 0 ? [] : [[name, said.map(({ code, message }) => `[${code}] ${message}`)] as const]
    }),
  )
}
