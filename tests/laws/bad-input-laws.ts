/** Values that are almost what they should be, given to every function that reads one: each answers, none throws. */
import { DEMO_TUNES } from '@chartloft/demo'
import {
  type Arrangement,
  type DecisionKind,
  type FoldedScore,
  type Metre,
  type Plan,
  type Tune,
  type TuneBar,
  barTicks,
  chord,
  compile,
  compileForm,
  defaultPlan,
  findForm,
  fold,
  keySignatureOf,
  keysForRange,
  pitchInKey,
  proposeOptions,
  readTune,
  scheduleEvents,
  unfold,
  validate,
  writeAbc,
  writeMidi,
  writeMusicXml,
} from '@chartloft/shared-theory'
import { drawn } from '../fixtures/made-tunes.js'

const KINDS: readonly DecisionKind[] = ['groove', 'opening', 'harmony', 'lift', 'ending']

/** Deep enough to exhaust a careless reader. */
function deep(levels: number): unknown {
  let made: unknown = 'end'
  for (let level = 0; level < levels; level++) made = level % 2 ? { over: made } : [made]
  return made
}

const NONSENSE: readonly unknown[] = [
  null,
  true,
  0,
  -1,
  -5040,
  1e9,
  1e308,
  0.5,
  Number.NaN,
  Number.POSITIVE_INFINITY,
  Number.MAX_SAFE_INTEGER,
  '',
  '__proto__',
  'constructor',
  'x'.repeat(100_000),
  'C4',
  [],
  [[]],
  {},
  { toString: 1 },
  JSON.parse('{"__proto__":{"id":"x"}}'),
  [null],
  [1, 'a'],
  { length: 1e9 },
  deep(400),
  undefined,
]

/** Text and numbers of what came out that no reader could use. */
function unusable(what: unknown): string | undefined {
  if (typeof what === 'string') return /NaN|undefined|\[object |Infinity/.exec(what)?.[0]
  if (what instanceof Uint8Array) return what.length < 20 ? 'no bytes' : undefined
  if (!Array.isArray(what)) return undefined
  const wrong = what.find(
    (event: { playTick?: unknown; startMs?: unknown }) =>
      event.playTick !== undefined && !(Number.isInteger(event.playTick) && Number.isFinite(event.startMs)),
  )
  return wrong === undefined ? undefined : `event ${JSON.stringify(wrong)}`
}

interface Reader {
  readonly name: string
  readonly good: unknown
  /** Costs so much that fewer values are tried. */
  readonly slow?: true
  readonly read: (value: never, draw: (bound: number) => number) => readonly unknown[]
}

function readers(): readonly Reader[] {
  const read = readTune('abc', DEMO_TUNES[1]!.abc)
  if (!read.ok) throw new Error(read.issues[0]?.message)
  const tune = read.value
  const base = defaultPlan(tune)
  const plan = { ...base, roadmap: base.roadmap.slice(0, 2) }
  const arrangement = compile(plan).arrangement
  const kind = (draw: (bound: number) => number): DecisionKind => KINDS[draw(5)] as DecisionKind
  return [
    { name: 'fold', good: arrangement, read: (value: Arrangement) => [unfold(fold(value))] },
    { name: 'unfold', good: fold(arrangement), read: (value: FoldedScore) => [unfold(value)] },
    { name: 'scheduleEvents', good: arrangement, read: (value: Arrangement) => [scheduleEvents(value)] },
    {
      name: 'writeMusicXml',
      good: arrangement,
      read: (value: Arrangement) => [
        writeMusicXml(value),
        writeMusicXml(value, { folded: true, part: 'bass' }),
        writeMusicXml(value, { folded: true, pitch: 'written' }),
      ],
    },
    { name: 'writeMidi', good: arrangement, read: (value: Arrangement) => [writeMidi(value)] },
    {
      name: 'writeAbc',
      good: arrangement,
      read: (value: Arrangement) => [writeAbc(value), writeAbc(value, { part: 'piano' })],
    },
    { name: 'validate', good: arrangement, read: (value: Arrangement) => [validate(value, { plan })] },
    { name: 'findForm', good: tune, read: (value: Tune) => [findForm(value)] },
    { name: 'defaultPlan', good: tune, read: (value: Tune) => [defaultPlan(value)] },
    { name: 'keysForRange', good: tune, slow: true, read: (value: Tune) => [keysForRange(value, base, [50, 70])] },
    {
      name: 'keysForRange, plan',
      good: plan,
      slow: true,
      read: (value: Plan) => [keysForRange(tune, value, [50, 70])],
    },
    {
      name: 'proposeOptions',
      good: tune,
      slow: true,
      read: (value: Tune, draw) => [proposeOptions(value, kind(draw), { ...plan, tune: value })],
    },
    {
      name: 'proposeOptions, plan',
      good: plan,
      slow: true,
      read: (value: Plan, draw) => [proposeOptions(tune, kind(draw), value)],
    },
  ] as readonly Reader[]
}

function placesIn(value: unknown, path: readonly string[] = []): readonly (readonly string[])[] {
  if (typeof value !== 'object' || value === null) return [path]
  return [path, ...Object.entries(value).flatMap(([name, held]) => placesIn(held, [...path, name]))]
}

export interface BadInputMeasure {
  readonly tried: number
  readonly faults: readonly string[]
  readonly slowestMs: number
}

/** `each` values with one thing wrong in them for every reader, and the nonsense by itself. */
export function measureBadInput(each: number, seed: number): BadInputMeasure {
  const draw = drawn(seed)
  const faults: string[] = []
  let tried = 0
  let slowestMs = 0
  for (const { name, good, slow, read } of readers()) {
    const places = placesIn(good).filter((path) => path.length > 0)
    const text = JSON.stringify(good)
    const count = slow ? Math.ceil(each / 6) : each
    for (let round = -NONSENSE.length; round < count; round++) {
      const [what, bad] = round < 0 ? (['', NONSENSE[round + NONSENSE.length]] as const) : broken(text, places, draw)
      const start = process.cpuUsage()
      tried++
      try {
        const wrong = read(bad as never, draw)
          .map(unusable)
          .find((found) => found !== undefined)
        if (wrong !== undefined) faults.push(`${name}, ${what}: gives ${wrong.slice(0, 100)}`)
      } catch (error) {
        faults.push(`${name}, ${what}: ${error instanceof Error ? error.message : 'thrown'}`)
      }
      slowestMs = Math.max(slowestMs, process.cpuUsage(start).user / 1000)
    }
  }
  return { tried, faults, slowestMs }
}

function broken(
  text: string,
  places: readonly (readonly string[])[],
  draw: (bound: number) => number,
): readonly [what: string, value: unknown] {
  const value = JSON.parse(text) as unknown
  const path = places[draw(places.length)] as readonly string[]
  let at = value as Record<string, unknown>
  for (const step of path.slice(0, -1)) at = at[step] as Record<string, unknown>
  const nonsense = NONSENSE[draw(NONSENSE.length)]
  at[path.at(-1) as string] = nonsense
  return [`${path.join('/')} = ${(JSON.stringify(nonsense) ?? 'gone').slice(0, 40)}`, value]
}

const bar = (metre: Metre, key: string, index: number, withMelody: boolean, withChords: boolean): TuneBar => {
  const signature = keySignatureOf(key)
  const lengthTicks = barTicks(metre)
  const midi = 60 + ((index * 5) % 12)
  return {
    barIndex: index,
    writtenBar: index,
    metre,
    key: signature,
    lengthTicks,
    melody: withMelody ? [{ startTick: 0, durationTicks: lengthTicks, midi, name: pitchInKey(midi, signature) }] : [],
    chords: withChords
      ? [{ startTick: 0, durationTicks: lengthTicks, chord: chord(['C', 'F7', 'Bbm7', 'Eb9'][index % 4] as string) }]
      : [],
  }
}

function tuneOf(bars: readonly TuneBar[], sectionBars = 8): Tune {
  const [first] = bars
  const sections = Array.from({ length: Math.ceil(bars.length / sectionBars) }, (_, index) => ({
    id: `S${index}`,
    letter: 'A',
    role: 'chorus' as const,
    startBar: index * sectionBars,
    bars: Math.min(sectionBars, bars.length - index * sectionBars),
  }))
  return {
    version: 1,
    title: 'At the edge',
    rights: 'own',
    key: first?.key ?? keySignatureOf('C major'),
    metre: first?.metre ?? { beats: 4, beatType: 4 },
    pickupTicks: 0,
    bars,
    sections,
    source: { format: 'typed', issues: [] },
  }
}

const FOUR = { beats: 4, beatType: 4 } as const
const METRES: readonly Metre[] = [FOUR, { beats: 3, beatType: 4 }, { beats: 7, beatType: 8 }, { beats: 5, beatType: 4 }]
const many = (count: number, make: (index: number) => TuneBar): readonly TuneBar[] =>
  Array.from({ length: count }, (_, index) => make(index))

/** Tunes at the edge of what a tune can be: good ones, but no one's idea of an ordinary one. */
export const EDGE_TUNES: { readonly [name: string]: () => Tune } = {
  'no bars': () => tuneOf([]),
  'one bar': () => tuneOf(many(1, (index) => bar(FOUR, 'F major', index, true, true))),
  'one bar of nothing': () => tuneOf(many(1, (index) => bar(FOUR, 'F major', index, false, false))),
  'no chords': () => tuneOf(many(32, (index) => bar(FOUR, 'F major', index, true, false))),
  'rests only': () => tuneOf(many(16, (index) => bar(FOUR, 'G minor', index, false, true))),
  'nothing at all': () => tuneOf(many(16, (index) => bar(FOUR, 'G minor', index, false, false))),
  'five hundred bars': () => tuneOf(many(500, (index) => bar(FOUR, 'D major', index, true, true))),
  'seven sharps': () => tuneOf(many(16, (index) => bar(FOUR, 'C# major', index, true, true))),
  'seven flats': () => tuneOf(many(16, (index) => bar(FOUR, 'Cb major', index, true, true))),
  'two hundred changes of metre': () =>
    tuneOf(many(200, (index) => bar(METRES[index % 4] as Metre, 'C major', index, true, true))),
  'sections of one bar': () =>
    tuneOf(
      many(24, (index) => bar(FOUR, 'C major', index, true, true)),
      1,
    ),
}

/** Everything there is to do with a tune at the edge, and what of it went wrong. */
export function edgeFaults(tune: Tune): readonly string[] {
  const faults: string[] = []
  const attempt = (what: string, work: () => readonly unknown[]): void => {
    try {
      for (const made of work()) {
        const wrong = unusable(made)
        if (wrong !== undefined) faults.push(`${what} gives ${wrong.slice(0, 100)}`)
      }
    } catch (error) {
      faults.push(`${what}: ${error instanceof Error ? error.message : 'thrown'}`)
    }
  }
  const base = defaultPlan(tune)
  const crowd: Plan = {
    ...base,
    roadmap: Array.from({ length: 32 }, (_, index) => ({ ...base.roadmap[0]!, id: `c${index}`, times: 32 })),
  }
  for (const kind of KINDS)
    attempt(`options of ${kind}`, () => {
      const options = proposeOptions(tune, kind, base)
      const [option] = options
      return option ? [compile({ ...base, chosen: [{ kind, option }] })] : []
    })
  attempt('form', () => [findForm(tune), findForm({ ...tune, sections: [] })])
  attempt('keys', () => [keysForRange(tune, base, [50, 74])])
  attempt('files', () => {
    const { arrangement } = compile(base)
    const faulty = JSON.stringify(unfold(fold(arrangement))) === JSON.stringify(arrangement) ? [] : ['undefined']
    return [
      ...faulty,
      scheduleEvents(arrangement),
      writeMusicXml(arrangement, { folded: true }),
      writeMidi(arrangement),
      writeAbc(arrangement),
      validate(arrangement, { plan: base }),
    ]
  })
  attempt('a thousand passes', () => {
    const { bars, issues } = compileForm(crowd)
    const isSaid = bars.length < 2000 || issues.some(({ code }) => code === 'CO2')
    return isSaid ? [] : ['undefined']
  })
  return faults
}
