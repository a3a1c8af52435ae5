/** The MusicXML suite read: what is not as it must be, what each file loses, and whether mutations of its files are always answered. */
import { type Result, type Tune, readTune } from '@chartloft/shared-theory'
import { drawn } from '../fixtures/made-tunes.js'
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

const VALUES = [
  '',
  '0',
  '-1',
  '7',
  '0.5',
  '1e9',
  '-2147483649',
  'NaN',
  'Infinity',
  'x',
  'H',
  'begin',
  'yes',
  '‮',
  '4'.repeat(300),
]

/** Bytes or signs of a file changed, cut, doubled, swapped or exchanged for what hurts. */
function mutated(source: string, draw: (bound: number) => number): string {
  const at = draw(source.length)
  const to = Math.min(source.length, at + 1 + draw(40))
  const hurting = ['<', '>', '&', '"', '\0', '999999999', '-1', '</part>', '<!--', ']]>', '<note>', '1e309', '\uFFFF']
  // Most change what stands inside one element or attribute, so that the rest can still be read.
  if (draw(4) > 0) {
    const leaves = [...source.matchAll(/>([^<>]+)</g), ...source.matchAll(/="([^"<>]*)"/g)]
    const leaf = leaves[draw(Math.max(1, leaves.length))]
    if (leaf !== undefined) {
      const from = leaf.index + leaf[0].indexOf(leaf[1] as string, 1)
      return (
        source.slice(0, from) +
        (VALUES[draw(VALUES.length)] as string) +
        source.slice(from + (leaf[1] as string).length)
      )
    }
  }
  switch (draw(5)) {
    case 0:
      return source.slice(0, at) + source.slice(to)
    case 1:
      return source.slice(0, at) + source.slice(at, to).repeat(2 + draw(20)) + source.slice(to)
    case 2:
      return source.slice(0, at) + (hurting[draw(hurting.length)] as string) + source.slice(to)
    case 3:
      return source.slice(0, at)
    default:
      return source.slice(0, at) + source.slice(at, to).split('').reverse().join('') + source.slice(to)
  }
}

const isTiled = ({ bars }: Tune): boolean =>
  bars.length > 0 &&
  bars.every((bar) =>
    [...bar.melody, ...bar.chords].every(
      ({ startTick, durationTicks }) =>
        startTick >= 0 && durationTicks > 0 && startTick + durationTicks <= bar.lengthTicks,
    ),
  )

export interface Fuzzed {
  readonly faults: readonly string[]
  readonly read: number
  readonly slowestMs: number
}

/** Seeded mutations of valid files, one to four each: never an exception, never a refusal without words, and what is read is a sound tune. */
export function fuzzSuite(count: number, seed: number): Fuzzed {
  const draw = drawn(seed)
  const files = MUSICXML_SUITE.filter(({ refusedBy }) => refusedBy === undefined)
  const faults: string[] = []
  let slowestMs = 0
  let readCount = 0
  for (let number = 0; number < count; number++) {
    const { name, source } = files[draw(files.length)] as XmlCase
    let text = typeof source === 'string' ? source : String.fromCharCode(...source)
    for (let times = 1 + draw(4); times > 0; times--) if (text.length > 0) text = mutated(text, draw)
    const given = typeof source === 'string' ? text : Uint8Array.from(text, (sign) => sign.charCodeAt(0) & 0xff)
    const before = process.cpuUsage()
    try {
      const read = readTune('musicxml', given)
      if (!read.ok && (read.issues[0]?.message.length ?? 0) < 10) faults.push(`${name}, mutation ${number}: no words`)
      if (read.ok) {
        readCount++
        if (JSON.stringify(JSON.parse(JSON.stringify(read.value))) !== JSON.stringify(read.value))
          faults.push(`${name}, mutation ${number}: no plain JSON`)
        if (!isTiled(read.value)) faults.push(`${name}, mutation ${number}: notes or chords outside their bar`)
      }
    } catch (error) {
      faults.push(`${name}, mutation ${number}: threw ${String(error)}`)
    }
    const { user, system } = process.cpuUsage(before)
    slowestMs = Math.max(slowestMs, (user + system) / 1000)
  }
  return { faults, read: readCount, slowestMs }
}
