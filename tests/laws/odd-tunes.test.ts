/** Odd tunes: whatever tune is brought, every decision answers, every plan compiles, every file is written, and the laws hold. LONG=1 for many. */
import { describe, expect, it } from 'vitest'
import {
  type ArrangedBar,
  type Arrangement,
  type Chosen,
  type DecisionKind,
  type HandEdit,
  type Option,
  type Plan,
  type Tune,
  LINEUPS,
  barTicks,
  compile,
  defaultPlan,
  fold,
  judgeMelody,
  nameOfBar,
  neighboursOf,
  pitchInKey,
  proposeOptions,
  readTune,
  scheduleEvents,
  tilesTune,
  unfold,
  validate,
  writeAbc,
  writeMidi,
  writeMusicXml,
} from '@chartloft/shared-theory'
import { drawn } from '../fixtures/made-tunes.js'
import { type OddRecipe, isOrdinary, nameOfOdd, oddRecipe, tuneFrom } from '../fixtures/odd-tunes.js'

const LONG = process.env['LONG'] === '1'
const FIRST = Number(process.env['ODD_FIRST'] ?? 0)
const COUNT = Number(process.env['ODD_COUNT'] ?? (LONG ? 400 : 10))
/** Plans tried on each tune, besides those of one option alone. */
const PLANS = LONG ? 4 : 1
const KINDS: readonly DecisionKind[] = ['groove', 'opening', 'harmony', 'lift', 'ending']

const chosen = (option: Option): Chosen => ({ kind: option.kind, ...(option.at ? { at: option.at } : {}), option })
const namesOf = (plan: Plan): string =>
  [
    ...plan.chosen.map(({ option, at }) => `${option.id}${at ? `@${JSON.stringify(at)}` : ''}`),
    ...plan.edits.map((edit) => JSON.stringify(edit)),
  ].join(' + ') || 'as written'

/** Two harmonies over the same bars are refused, and nothing else. */
const OVERLAP = 'CO12'

type Say = (text: string) => void

/** Numbers that are not finite and values that JSON would lose, by their path. */
function notPlain(value: unknown, path = ''): readonly string[] {
  if (value === undefined) return [`${path} is undefined`]
  if (typeof value === 'number')
    return Number.isFinite(value) && !Object.is(value, -0) ? [] : [`${path} is ${Object.is(value, -0) ? '-0' : value}`]
  if (Array.isArray(value)) return value.flatMap((one, index) => notPlain(one, `${path}/${index}`))
  if (typeof value === 'object' && value !== null)
    return Object.entries(value).flatMap(([name, one]) => notPlain(one, `${path}/${name}`))
  return typeof value === 'function' || typeof value === 'symbol' ? [`${path} is no JSON`] : []
}

function checkBars({ bars, lineup }: Arrangement, say: Say): void {
  for (const [index, bar] of bars.entries()) {
    const at = `bar ${index}`
    if (bar.barIndex !== index) say(`${at} says it is ${bar.barIndex}`)
    const isOuter = index === 0 || index === bars.length - 1
    if (bar.lengthTicks !== barTicks(bar.metre) && !(isOuter && bar.lengthTicks < barTicks(bar.metre)))
      say(`${at}: ${bar.lengthTicks} ticks in ${bar.metre.beats}/${bar.metre.beatType}`)
    if (bar.groups.reduce((sum, size) => sum + size, 0) !== bar.metre.beats)
      say(`${at}: groups ${bar.groups.join('+')}`)
    let reached = 0
    for (const placed of bar.chords) {
      if (placed.startTick !== reached || placed.durationTicks <= 0) say(`${at}: chords do not tile`)
      reached = placed.startTick + placed.durationTicks
    }
    if (reached !== bar.lengthTicks) say(`${at}: chords fill ${reached} of ${bar.lengthTicks}`)
    for (const note of [...bar.melody, ...Object.values(bar.parts).flat()]) {
      const isWhole = Number.isInteger(note.startTick) && Number.isInteger(note.durationTicks)
      if (!isWhole || note.startTick < 0 || note.durationTicks <= 0)
        say(`${at}: ${note.name} at ${note.startTick} for ${note.durationTicks}`)
      if (note.startTick + note.durationTicks > bar.lengthTicks) say(`${at}: ${note.name} runs past the bar`)
    }
    if (lineup.some(({ id }) => !bar.parts[id])) say(`${at}: a part is missing`)
    if (!bar.provenance.rule) say(`${at}: no rule`)
    if (bar.provenance.decision !== 'tune' && !bar.provenance.optionId) say(`${at}: no option behind it`)
  }
}

function checkEvents(arrangement: Arrangement, say: Say): void {
  const events = scheduleEvents(arrangement)
  let before = -1
  for (const event of events) {
    if (event.startTick < before) say(`events out of order at ${event.startTick}`)
    before = event.startTick
    if (!Number.isInteger(event.playTick) || event.playTick < 0) say(`playTick ${event.playTick}`)
    if (!Number.isInteger(event.playDurationTicks) || event.playDurationTicks <= 0)
      say(`playDurationTicks ${event.playDurationTicks} in bar ${event.barIndex}`)
    if (!Number.isFinite(event.startMs) || !Number.isFinite(event.durationMs) || event.durationMs < 0)
      say(`ms ${event.startMs} ${event.durationMs}`)
    if (event.velocity < 1 || event.velocity > 127 || !Number.isInteger(event.velocity))
      say(`velocity ${event.velocity}`)
  }
}

/** Hard notes: those of the tune by their source, and how many there are of each name over each chord. */
function hardNotes(bars: readonly ArrangedBar[]): readonly string[] {
  return bars.flatMap((bar, index) =>
    judgeMelody(bar, neighboursOf(bars, index)).flatMap(({ fit, noteIndex, chordIndex }) => {
      if (fit !== 'hard') return []
      const note = bar.melody[noteIndex] as ArrangedBar['melody'][number]
      return [
        note.source
          ? `${note.source.bar}.${note.source.index}`
          : `${note.midi % 12} over ${bar.chords[chordIndex]?.chord.symbol}`,
      ]
    }),
  )
}

const errorsOf = (
  plan: Plan,
  arrangement: Arrangement,
  issues: readonly {
    readonly severity: string
    readonly code: string
    readonly path: string
    readonly message: string
  }[],
) => [...issues, ...validate(arrangement, { plan })].filter(({ severity }) => severity === 'error')

interface Bare {
  readonly hard: ReadonlySet<string>
  readonly errors: ReadonlySet<string>
}

/** Everything a plan must hold to; `write` also writes every file. */
function checkPlan(plan: Plan, bare: Bare | undefined, write: boolean, say: Say): Arrangement {
  const { arrangement, issues } = compile(plan)
  checkBars(arrangement, say)
  for (const wrong of notPlain(arrangement).slice(0, 3)) say(wrong)
  const text = JSON.stringify(arrangement)
  if (JSON.stringify(compile(JSON.parse(JSON.stringify(plan)) as Plan).arrangement) !== text)
    say('other bytes from a JSON copy')
  const hasEdits = plan.edits.length > 0
  const errors = errorsOf(plan, arrangement, issues)
  if (bare && !hasEdits) {
    for (const { code, path, message } of errors)
      if (!bare.errors.has(code) && code !== OVERLAP) say(`${code} ${path}: ${message}`)
    for (const hard of hardNotes(arrangement.bars)) if (!bare.hard.has(hard)) say(`hard note ${hard}`)
  }
  const folded = fold(arrangement)
  if (JSON.stringify(unfold(folded)) !== text) say('unfold(fold(x)) is another')
  if (folded.bars.length > arrangement.bars.length) say('folded is longer')
  checkEvents(arrangement, say)
  if (write) writeAll(arrangement, say)
  return arrangement
}

function writeAll(arrangement: Arrangement, say: Say): void {
  const texts = [
    writeMusicXml(arrangement),
    writeMusicXml(arrangement, { pitch: 'written', folded: true }),
    writeMusicXml(arrangement, { pitch: 'concert', folded: true }),
    writeAbc(arrangement),
    ...arrangement.lineup.flatMap(({ id }) => [
      writeMusicXml(arrangement, { part: id, folded: true }),
      writeMusicXml(arrangement, { part: id, pitch: 'concert' }),
      writeAbc(arrangement, { part: id }),
    ]),
  ]
  if (texts.some((written) => /NaN|undefined|\[object|Infinity/.test(written)))
    say('a written file says NaN or undefined')
  if (writeMidi(arrangement).length < 30 || writeMidi(arrangement, { feel: 'notated' }).length < 30) say('no MIDI')
}

/** The place a stretch of eight bars has in each pass, where it has one. */
function stretches(tune: Tune, plan: Plan): readonly { readonly passId: string; readonly sectionId: string }[] {
  return plan.roadmap
    .filter(({ kind }) => kind === 'chorus')
    .flatMap(({ id, sections }) =>
      sections
        .filter((section) => (tune.sections.find((known) => known.id === section)?.bars ?? 0) >= 4)
        .map((sectionId) => ({ passId: id, sectionId })),
    )
}

function randomPlan(
  tune: Tune,
  base: Plan,
  options: readonly (readonly Option[])[],
  draw: (bound: number) => number,
): Plan {
  const pick = <T>(list: readonly T[]): T | undefined => list[draw(Math.max(1, list.length))]
  const list: Chosen[] = options.flatMap((offers) => {
    const option = pick(offers)
    return option && draw(6) > 0 ? [chosen(option)] : []
  })
  const places = stretches(tune, base)
  const place = pick(places)
  if (place && draw(2)) {
    const harmony = pick(proposeOptions(tune, 'harmony', base, place))
    if (harmony) list.push(chosen(harmony))
    const lift = pick(proposeOptions(tune, 'lift', base, place))
    if (lift && draw(2)) list.push(chosen(lift))
  }
  const lineup = draw(3) === 0 ? (LINEUPS['quintet'] as Plan['lineup']) : base.lineup
  return { ...base, lineup, chosen: list, ...(draw(3) === 0 ? { seed: draw(1000) } : {}) }
}

/** Edits of every kind, made in bars as they stand under the plan, some under another metre than the plan's now. */
function withEdits(plan: Plan, made: readonly ArrangedBar[], draw: (bound: number) => number): Plan {
  const edits = Array.from({ length: 6 }, (_, which): HandEdit | undefined => {
    const index = draw(made.length)
    const bar = made[index]
    const at = bar && nameOfBar(made, index)
    if (!bar || !at) return undefined
    const metre = draw(3) === 0 ? { beats: 2 + draw(6), beatType: 4 as const } : bar.metre
    const startTick = draw(bar.metre.beats) * (barTicks(bar.metre) / bar.metre.beats)
    const midi = 60 + draw(20)
    const note = { startTick: 0, durationTicks: Math.min(bar.lengthTicks, 5040), midi, name: pitchInKey(midi, bar.key) }
    switch (which) {
      case 0:
        return {
          kind: 'chord',
          at,
          metre,
          startTick,
          symbol: ['Cm7', 'F#7#9', 'N.C.', 'Bb over C7', '%', 'H7'][draw(6)] as string,
        }
      case 1:
        return { kind: 'melody', at, metre, notes: draw(3) === 0 ? [] : [note] }
      case 2:
        return {
          kind: 'voicing',
          at,
          metre,
          startTick,
          partId: draw(3) === 0 ? 'nobody' : 'piano',
          midi: [48, 55, 60 + draw(12)],
        }
      case 3:
        return { kind: 'bars', at: draw(2) ? 'opening' : 'ending', bars: draw(20) }
      case 4:
        return { kind: 'bars', at: { passId: bar.pass, sectionId: bar.sectionId }, bars: draw(12) }
      default:
        return { kind: 'chord', at: { ...at, bar: at.bar + draw(30) }, metre, startTick, symbol: 'G7' }
    }
  })
  return { ...plan, edits: edits.filter((edit) => edit !== undefined) }
}

function trial(recipe: OddRecipe, tune: Tune, wrong: string[]): void {
  const head = nameOfOdd(recipe)
  const attempt = (what: string, work: (say: Say) => void): void => {
    const say: Say = (text) => {
      if (wrong.length < 400) wrong.push(`${head} | ${what} | ${text}`)
    }
    try {
      work(say)
    } catch (error) {
      say(
        `THROWN ${
          error instanceof Error
            ? `${error.message} ${(error.stack ?? '')
                .split('\n')
                .slice(1, 4)
                .map((line) => line.trim().replace(/.*src\//, ''))
                .join(' < ')}`
            : String(error)
        }`,
      )
    }
  }
  const base = defaultPlan(tune)
  let bare: Bare | undefined
  attempt('bare', (say) => {
    if (!tilesTune(tune)) say('the generator made no valid tune')
    const { arrangement, issues } = compile(base)
    bare = {
      hard: new Set(hardNotes(arrangement.bars)),
      errors: new Set(errorsOf(base, arrangement, issues).map(({ code }) => code)),
    }
    for (const { severity, message, code } of issues) if (severity === 'error') say(`${code} ${message}`)
    for (const { severity, message, code, path } of validate(arrangement, { plan: base }))
      if (severity === 'error' && code !== 'VA2') say(`${code} ${path} ${message}`)
    checkPlan(base, bare, true, say)
  })
  const options = KINDS.map((kind) => {
    let offers: readonly Option[] = []
    attempt(`propose ${kind}`, (say) => {
      offers = proposeOptions(tune, kind, base)
      for (const plain of notPlain(offers)) say(plain)
      if (isOrdinary(recipe) && offers.length < 5)
        say(`${offers.length} options: ${offers.map(({ id }) => id).join(' ')}`)
      if (new Set(offers.map(({ id }) => id)).size !== offers.length) say('two options of one id')
    })
    return offers
  })
  for (const [column, offers] of options.entries())
    for (const [place, option] of offers.entries()) {
      if ((place + recipe.seed + column) % (LONG ? 3 : 12) !== 0) continue
      const plan = { ...base, chosen: [chosen(option)] }
      attempt(namesOf(plan), (say) => void checkPlan(plan, bare, false, say))
    }
  const draw = drawn(recipe.seed + 99)
  for (let round = 0; round < PLANS; round++)
    attempt(`random plan ${round}`, (outer) => {
      const plan = randomPlan(tune, base, options, draw)
      const say: Say = (text) => outer(`${namesOf(plan)}: ${text}`)
      const { bars } = checkPlan(plan, bare, round === 0, say)
      const edited = withEdits(plan, bars, draw)
      const sayEdited: Say = (text) => outer(`${namesOf(edited)}: ${text}`)
      checkPlan(edited, bare, round === 1, sayEdited)
    })
}

describe('[LW5] odd tunes', () => {
  it(
    `${COUNT} tunes from seed ${FIRST}: nothing throws and every law holds`,
    { timeout: LONG ? 3_600_000 : 240_000 },
    () => {
      const wrong: string[] = []
      const start = performance.now()
      for (let seed = FIRST; seed < FIRST + COUNT; seed++) {
        const recipe = oddRecipe(seed)
        trial(recipe, tuneFrom(recipe), wrong)
      }
      console.log(
        `${COUNT} odd tunes from seed ${FIRST}: ${((performance.now() - start) / 1000).toFixed(0)} s, ${wrong.length} laws broken`,
      )
      if (process.env['ODD_PRINT']) console.log(wrong.join('\n'))
      expect(wrong.slice(0, 20)).toEqual([])
    },
  )

  it('as ABC through the reader', { timeout: LONG ? 3_600_000 : 240_000 }, () => {
    const wrong: string[] = []
    for (let seed = FIRST; seed < FIRST + COUNT; seed += LONG ? 2 : 6) {
      const recipe = oddRecipe(seed)
      const base = defaultPlan(tuneFrom(recipe))
      const abc = writeAbc(compile({ ...base, roadmap: base.roadmap.slice(0, 1) }).arrangement)
      const read = readTune('abc', abc)
      if (read.ok) trial(recipe, read.value, wrong)
      else wrong.push(`${nameOfOdd(recipe)} | ${read.issues[0]?.message}`)
    }
    if (process.env['ODD_PRINT']) console.log(wrong.join('\n'))
    expect(wrong.slice(0, 20)).toEqual([])
  })
})
