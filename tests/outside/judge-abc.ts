/** The ABC suite read: what is not as it must be, what is told that should not be, what is not told that should, and where abcjs hears otherwise. */
import { type Result, type Tune, readTune } from '@chartloft/shared-theory'
import { soundOfAbcjs, soundOfTune } from '../fixtures/abc-sound.js'
import { ABC_SUITE, type AbcCase } from '../fixtures/abc/suite.js'

const joined = (tune: Tune, ofBar: (bar: Tune['bars'][number]) => readonly string[]): string =>
  tune.bars.map((bar) => ofBar(bar).join(' ')).join(' | ')
const eighths = (ticks: number): string => String(Number((ticks / 2520).toFixed(3)))
/** That no chords came is told of most snippets ([RD16]), as is a doubt about the key of four notes ([RD11]); both are tested by themselves. */
const isTold = ({ code, message }: { readonly code: string; readonly message: string }): boolean =>
  code !== 'RD16' && !/^The file says .* reads as/.test(message)

export function faultsOfAbcCase(wanted: AbcCase): readonly string[] {
  const name = `${wanted.section} ${wanted.what}`
  let read: Result<Tune>
  try {
    read = readTune('abc', wanted.abc, wanted.tuneNumber === undefined ? {} : { tuneNumber: wanted.tuneNumber })
  } catch (error) {
    return [`${name}: threw ${String(error)}`]
  }
  if (!read.ok) {
    const [first] = read.issues
    return first?.code === wanted.refusedBy ? [] : [`${name}: refused by ${first?.code}: ${first?.message}`]
  }
  if (wanted.refusedBy !== undefined) return [`${name}: read, though ${wanted.refusedBy} should refuse it`]
  return [...musicFaults(wanted, read.value), ...toldFaults(wanted, read), ...soundFaults(wanted, read.value)].map(
    (fault) => `${name}: ${fault}`,
  )
}

function musicFaults(wanted: AbcCase, tune: Tune): readonly string[] {
  const found: { readonly [field in keyof AbcCase]?: string | number } = {
    melody: joined(tune, ({ melody }) => melody.map(({ name }) => name)),
    lengths: joined(tune, ({ melody }) => melody.map(({ durationTicks }) => eighths(durationTicks))),
    chords: joined(tune, ({ chords }) => chords.map(({ chord }) => chord.symbol)),
    lyrics: joined(tune, ({ melody }) => melody.map(({ lyric }) => lyric ?? '')),
    graces: joined(tune, ({ melody }) => melody.flatMap(({ grace }) => grace ?? [])),
    key: tune.key.key,
    mode: tune.key.mode,
    metre: `${tune.metre.beats}/${tune.metre.beatType}`,
    title: tune.title,
    pickupTicks: tune.pickupTicks,
    ...(tune.composer === undefined ? {} : { composer: tune.composer }),
    ...(tune.tempoBpm === undefined ? {} : { tempoBpm: tune.tempoBpm }),
  }
  const fields = [
    'melody',
    'lengths',
    'chords',
    'lyrics',
    'graces',
    'key',
    'mode',
    'metre',
    'title',
    'composer',
    'tempoBpm',
    'pickupTicks',
  ] as const
  return fields
    .filter((field) => wanted[field] !== undefined && wanted[field] !== found[field])
    .map((field) => `${field} '${found[field]}' where '${wanted[field]}' was meant`)
}

function toldFaults({ says = [] }: AbcCase, read: Result<Tune>): readonly string[] {
  const told = (read.issues ?? []).filter(isTold).map(({ message }) => message)
  return [
    ...says
      .filter((pattern) => !told.some((message) => pattern.test(message)))
      .map((pattern) => `nothing tells ${pattern}`),
    ...told.filter((message) => !says.some((pattern) => pattern.test(message))).map((message) => `tells '${message}'`),
  ]
}

function soundFaults(wanted: AbcCase, tune: Tune): readonly string[] {
  if (wanted.unlikeAbcjs !== undefined || typeof wanted.abc !== 'string' || wanted.tuneNumber !== undefined) return []
  const ours = JSON.stringify(soundOfTune(tune))
  // Of notes together the top one is the melody.
  const heard = soundOfAbcjs(wanted.abc)
  const theirs = JSON.stringify(
    heard
      .filter(([midi, start]) => !heard.some((other) => other[1] === start && other[0] > midi))
      .filter(([midi, start], at, all) => !all.slice(0, at).some((other) => other[0] === midi && other[1] === start)),
  )
  return ours === theirs ? [] : [`sounds ${ours}, to abcjs ${theirs}`]
}

/** What is told of each file that loses something, by name. */
export function lossesOfAbcSuite(): ReadonlyMap<string, readonly string[]> {
  return new Map(
    ABC_SUITE.flatMap(({ section, what, abc, tuneNumber }) => {
      const read = readTune('abc', abc, tuneNumber === undefined ? {} : { tuneNumber })
      const told = (read.issues ?? []).filter(isTold)
      return told.length === 0
        ? []
        : [[`${section} ${what}`, told.map(({ code, message }) => `[${code}] ${message}`)] as const]
    }),
  )
}
