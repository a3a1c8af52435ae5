/** Any eight bars of any tune: how many new ways to harmonise them are offered, and whether one of them clashes where the tune did not. */
import {
  type ArrangedBar,
  type Chosen,
  type Option,
  type Plan,
  type SectionRef,
  type Tune,
  compileForm,
  defaultPlan,
  judgeMelody,
  proposeOptions,
  readTune,
} from '@chartloft/shared-theory'
import { DEMO_TUNES } from '@chartloft/demo'
import { madeTune } from '../fixtures/made-tunes.js'
import { MORE_TUNES } from '../fixtures/more-tunes.js'
import { oddTune } from '../fixtures/odd-tunes.js'
import { TRADITIONAL_TUNES } from '../fixtures/traditional-tunes.js'

export const WINDOW_BARS = 8
/** What [HA15] promises; 'as written' is not counted. */
export const ENOUGH = 5

export interface Window {
  readonly tune: Tune
  readonly at: SectionRef
}
export interface Measured {
  /** New options: 'as written' left out, equal chords counted once. */
  readonly distinct: number
  /** Options that bring a hard clash, change the melody or a bar outside, in words. */
  readonly wrong: readonly string[]
}

const read = (abc: string): Tune => {
  const result = readTune('abc', abc)
  if (!result.ok) throw new Error(JSON.stringify(result.issues))
  return result.value
}
export const demoTunes = (): readonly Tune[] => DEMO_TUNES.map(({ abc }) => read(abc))
export const moreTunes = (): readonly Tune[] => MORE_TUNES.map(read)
export const traditionalTunes = (): readonly Tune[] => TRADITIONAL_TUNES.map(({ abc }) => read(abc))
export const madeTunes = (count: number): readonly Tune[] => Array.from({ length: count }, (_, n) => madeTune(n + 1))
export const oddTunes = (count: number): readonly Tune[] => Array.from({ length: count }, (_, n) => oddTune(n + 1))

/** Every stretch of eight bars of the first chorus of a tune (the whole chorus where it is shorter), every `step` bars. */
export function windowsOf(tune: Tune, step = 1): readonly Window[] {
  const pass = planOf(tune).roadmap[0]
  if (!pass) return []
  const bars = pass.sections.reduce((sum, id) => sum + (tune.sections.find((one) => one.id === id)?.bars ?? 0), 0)
  const last = Math.max(0, bars - WINDOW_BARS)
  const starts = Array.from({ length: Math.floor(last / step) + 1 }, (_, n) => n * step)
  if (!starts.includes(last)) starts.push(last)
  return starts.map((fromBar) => ({ tune, at: { passId: pass.id, fromBar, bars: WINDOW_BARS } }))
}

export const nameOf = ({ tune, at }: Window): string => `${tune.title}, ${at.bars} bars from ${(at.fromBar ?? 0) + 1}`

const chordsOf = (bars: readonly ArrangedBar[]): string =>
  bars.map(({ chords }) => chords.map(({ startTick, chord }) => `${startTick} ${chord.symbol}`).join(' ')).join(' | ')
const melodyOf = (bars: readonly ArrangedBar[]): string =>
  bars.map(({ melody }) => melody.map(({ startTick, name }) => `${startTick} ${name}`).join(' ')).join(' | ')

function hardNotes(bars: readonly ArrangedBar[]): ReadonlySet<string> {
  return new Set(
    bars.flatMap((bar, index) => {
      const before = bars[index - 1]?.melody.at(-1)?.midi
      const after = bars[index + 1]?.melody[0]?.midi
      const around = { ...(before === undefined ? {} : { before }), ...(after === undefined ? {} : { after }) }
      return judgeMelody(bar, around).flatMap(({ fit, noteIndex }) => (fit === 'hard' ? [`${index}:${noteIndex}`] : []))
    }),
  )
}

/** The first chorus alone: the other passes have nothing to say here. */
function planOf(tune: Tune): Plan {
  const plan = defaultPlan(tune)
  return { ...plan, roadmap: plan.roadmap.slice(0, 1) }
}

export function measure({ tune, at }: Window): Measured {
  const plan = planOf(tune)
  const written = compileForm(plan).bars
  const had = hardNotes(written)
  const own = chordsOf(written)
  const seen = new Set<string>()
  const wrong: string[] = []
  for (const option of proposeOptions(tune, 'harmony', plan, at)) {
    if (option.recipe === 'as-written') continue
    const { bars, issues } = compileForm(chosenIn(plan, option))
    const problem = issues.find(({ code }) => code.startsWith('HA'))
    if (problem) wrong.push(`${option.id}: ${problem.message}`)
    if (melodyOf(bars) !== melodyOf(written)) wrong.push(`${option.id}: the melody changed`)
    const clash = [...hardNotes(bars)].find((note) => !had.has(note))
    if (clash) wrong.push(`${option.id}: a hard clash at bar and note ${clash}`)
    const print = chordsOf(bars)
    if (print === own) wrong.push(`${option.id}: nothing changed`)
    else seen.add(print)
  }
  return { distinct: seen.size, wrong }
}

const chosenIn = (plan: Plan, option: Option): Plan => {
  const chosen: Chosen = { kind: 'harmony', option, ...(option.at ? { at: option.at } : {}) }
  return { ...plan, chosen: [chosen] }
}

export interface Tally {
  readonly windows: number
  readonly least: number
  readonly few: readonly string[]
  readonly wrong: readonly string[]
}

/** All windows measured: the fewest options, the windows with fewer than five, and what was wrong. */
export function tally(windows: readonly Window[]): Tally {
  const few: string[] = []
  const wrong: string[] = []
  let least = Number.POSITIVE_INFINITY
  for (const window of windows) {
    const found = measure(window)
    least = Math.min(least, found.distinct)
    if (found.distinct < ENOUGH) few.push(`${nameOf(window)}: ${found.distinct}`)
    wrong.push(...found.wrong.map((line) => `${nameOf(window)}: ${line}`))
  }
  return { windows: windows.length, least, few, wrong }
}
