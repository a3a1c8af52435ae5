/** The MIDI suite read: what is not as it must be, what is told that should not be, and what is not told that should. */
import { type Result, type Tune, readTune } from '@chartloft/shared-theory'
import type { MidiCase } from '../fixtures/midi/suite.js'

const joined = (tune: Tune, ofBar: (bar: Tune['bars'][number]) => readonly string[]): string =>
  tune.bars.map((bar) => ofBar(bar).join(' ')).join(' | ')

/** Said of every MIDI file, or of every file without chords or a key; tested by themselves. */
const ALWAYS = [
  /^MIDI has no note values/,
  /^The file does not say/,
  /^The file says .* reads as/,
  /^The tune came without chords/,
]

export function faultsOfMidiCase(wanted: MidiCase): readonly string[] {
  let read: Result<Tune>
  try {
    read = readTune('midi', wanted.source)
  } catch (error) {
    return [`${wanted.name}: threw ${String(error)}`]
  }
  if (!read.ok) {
    const [first] = read.issues
    return first?.code === wanted.refusedBy ? [] : [`${wanted.name}: refused by ${first?.code}: ${first?.message}`]
  }
  if (wanted.refusedBy !== undefined) return [`${wanted.name}: read, though ${wanted.refusedBy} should refuse it`]
  return [...musicFaults(wanted, read.value), ...toldFaults(wanted, read)].map((fault) => `${wanted.name}: ${fault}`)
}

function musicFaults(wanted: MidiCase, tune: Tune): readonly string[] {
  let at = 0
  const starts = tune.bars.flatMap((bar) => {
    const from = at
    at += bar.lengthTicks
    return bar.melody.map(({ startTick }) => String(Number(((from + startTick) / 5040).toFixed(3))))
  })
  const found: { readonly [field in keyof MidiCase]?: string | number } = {
    melody: joined(tune, ({ melody }) => melody.map(({ name }) => name)),
    starts: starts.join(' '),
    title: tune.title,
    key: tune.key.key,
    keys: tune.bars.map(({ key }) => key.fifths).join(' '),
    metres: tune.bars.map(({ metre }) => `${metre.beats}/${metre.beatType}`).join(' '),
    pickupTicks: tune.pickupTicks,
    lyrics: joined(tune, ({ melody }) => melody.flatMap(({ lyric }) => lyric ?? [])),
    sections: tune.sections.map(({ letter }) => letter).join(' '),
    ...(tune.tempoBpm === undefined ? {} : { tempoBpm: tune.tempoBpm }),
  }
  const fields = [
    'melody',
    'starts',
    'title',
    'key',
    'keys',
    'metres',
    'pickupTicks',
    'lyrics',
    'sections',
    'tempoBpm',
  ] as const
  return fields
    .filter((field) => wanted[field] !== undefined && wanted[field] !== found[field])
    .map((field) => `${field} '${found[field]}' where '${wanted[field]}' was meant`)
}

function toldFaults({ says = [] }: MidiCase, read: Result<Tune>): readonly string[] {
  const told = (read.issues ?? [])
    .map(({ message }) => message)
    .filter((message) => !ALWAYS.some((pattern) => pattern.test(message)))
  return [
    ...says
      .filter((pattern) => !told.some((message) => pattern.test(message)))
      .map((pattern) => `nothing tells ${pattern}`),
    ...told.filter((message) => !says.some((pattern) => pattern.test(message))).map((message) => `tells '${message}'`),
  ]
}
