/** Seeded mutations of valid files, and files made to hurt: whether each is answered in time, soundly or in words. */
import { type Tune, readTune } from '@chartloft/shared-theory'
import { drawn } from '../fixtures/made-tunes.js'
import { ABC_SUITE } from '../fixtures/abc/suite.js'
import { MIDI_SUITE } from '../fixtures/midi/suite.js'
import { MUSICXML_SUITE } from '../fixtures/musicxml/suite.js'

type Format = 'musicxml' | 'abc' | 'midi'
interface ValidFile {
  readonly name: string
  readonly source: string | Uint8Array
}
/** Files of each suite that are read. */
const VALID: { readonly [format in Format]: readonly ValidFile[] } = {
  musicxml: MUSICXML_SUITE.filter(({ refusedBy }) => refusedBy === undefined),
  abc: ABC_SUITE.filter(({ refusedBy }) => refusedBy === undefined).map(({ what, abc }) => ({
    name: what,
    source: abc,
  })),
  midi: MIDI_SUITE.filter(({ refusedBy }) => refusedBy === undefined),
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

/** Bytes changed, cut out, doubled, or exchanged for what hurts. */
function mutatedBytes(source: Uint8Array, draw: (bound: number) => number): Uint8Array {
  const bytes = [...source]
  const at = draw(bytes.length)
  const count = 1 + draw(12)
  switch (draw(5)) {
    case 0:
      bytes.splice(at, count)
      break
    case 1:
      bytes.splice(at, 0, ...bytes.slice(at, at + count))
      break
    case 2:
      bytes.splice(
        at,
        count,
        ...Array.from({ length: count }, () => [0, 0x7f, 0x80, 0xff, 0xf0, 0x90][draw(6)] as number),
      )
      break
    case 3:
      return source.slice(0, at)
    default:
      bytes[at] = draw(256)
  }
  return Uint8Array.from(bytes)
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
export function fuzzSuite(format: Format, count: number, seed: number): Fuzzed {
  const draw = drawn(seed)
  const files = VALID[format]
  const faults: string[] = []
  let slowestMs = 0
  let readCount = 0
  for (let number = 0; number < count; number++) {
    const { name, source } = files[draw(files.length)] as ValidFile
    const given = mutation(source, format, draw)
    const before = process.cpuUsage()
    try {
      const read = readTune(format, given)
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

function mutation(source: string | Uint8Array, format: Format, draw: (bound: number) => number): string | Uint8Array {
  let given = source
  for (let times = 1 + draw(4); times > 0; times--) {
    if (given.length === 0) return given
    if (format === 'midi') given = mutatedBytes(given as Uint8Array, draw)
    else if (typeof given === 'string') given = mutated(given, draw)
    else given = Uint8Array.from(mutated(String.fromCharCode(...given), draw), (sign) => sign.charCodeAt(0) & 0xff)
  }
  return given
}
