/** What every combination of options promises, tried on one plan: shared by the law, with a sample, and the bench, with all. */
import {
  type ArrangedBar,
  type Arrangement,
  type Chosen,
  type DecisionKind,
  type Issue,
  type Option,
  type Plan,
  type Tune,
  barTicks,
  compile,
  compileForm,
  defaultPlan,
  fold,
  proposeOptions,
  unfold,
  validate,
} from '@chartloft/shared-theory'
import { drawn } from '../fixtures/made-tunes.js'

export const KINDS: readonly DecisionKind[] = ['groove', 'opening', 'harmony', 'lift', 'ending']

export interface Trial {
  readonly tune: Tune
  readonly base: Plan
  /** One list for each of KINDS. */
  readonly options: readonly (readonly Option[])[]
  /** Errors of the tune as written, by rule and tune bar: a combination may keep them. */
  readonly already: ReadonlySet<string>
}
/** 'form' leaves the parts empty, which is six times as quick; 'band' has every part played. */
export type Depth = 'form' | 'band'

export function trialOf(tune: Tune, top = Infinity): Trial {
  const base = defaultPlan(tune)
  return {
    tune,
    base,
    options: KINDS.map((kind) => proposeOptions(tune, kind, base).slice(0, top)),
    already: new Set([...errorsOf(base, 'band'), ...errorsOf(base, 'form')].map((one) => one.kind)),
  }
}

export const chosen = (option: Option): Chosen => ({
  kind: option.kind,
  ...(option.at ? { at: option.at } : {}),
  option,
})

/** A plan that takes the option of each row's number from each list. */
export function planOf({ base, options }: Trial, row: readonly number[]): Plan {
  return {
    ...base,
    chosen: row.map((value, column) => chosen((options[column] as readonly Option[])[value] as Option)),
  }
}

export const namesOf = (plan: Plan): string => plan.chosen.map((one) => one.option.id).join(' + ')

/** Rows of numbers drawn for a trial's lists. */
export function drawnRows({ options }: Trial, count: number, seed: number): readonly (readonly number[])[] {
  const draw = drawn(seed)
  return Array.from({ length: count }, () => options.map((list) => draw(list.length)))
}

/** Every row of the lists, the last column running fastest. */
export function* allRows({ options }: Trial): Generator<readonly number[]> {
  const total = options.reduce((product, list) => product * list.length, 1)
  for (let index = 0; index < total; index++) {
    let rest = index
    yield options.map((_, column) => {
      const size = options.slice(column + 1).reduce((product, list) => product * list.length, 1)
      const value = Math.floor(rest / size)
      rest %= size
      return value
    })
  }
}

/** What the plan breaks of the promises, in words that name the plan: nothing where all is well. */
export function faultsOf(trial: Trial, plan: Plan, depth: Depth): readonly string[] {
  const name = `${trial.tune.title}: ${namesOf(plan)}`
  try {
    const made = arrangementOf(plan, depth)
    const text = JSON.stringify(made.arrangement)
    return [
      ...errorsIn(made, plan)
        .filter((one) => !trial.already.has(one.kind))
        .map((one) => one.text),
      ...barFaults(made.arrangement.bars),
      ...(JSON.stringify(JSON.parse(text)) === text ? [] : ['not plain JSON']),
      ...(JSON.stringify(unfold(fold(made.arrangement))) === text ? [] : ['unfold(fold(x)) is another']),
    ].map((fault) => `${name}: ${fault}`)
  } catch (error) {
    return [`${name}: threw ${error instanceof Error ? error.stack : String(error)}`]
  }
}

interface Made {
  readonly arrangement: Arrangement
  readonly issues: readonly Issue[]
}
interface Found {
  /** Rule and tune bar: the same fault wherever the bar comes to stand. */
  readonly kind: string
  readonly text: string
}

function arrangementOf(plan: Plan, depth: Depth): Made {
  if (depth === 'band') return compile(plan)
  const { bars, groove, issues } = compileForm(plan)
  return { arrangement: { version: 1, title: plan.tune.title, lineup: plan.lineup, groove, bars }, issues }
}

/** A hard clash is a warning where the tune has it and an error elsewhere; both count here. */
function errorsIn({ arrangement, issues }: Made, plan: Plan): readonly Found[] {
  return [...issues, ...validate(arrangement, { plan })]
    .filter((one) => one.severity === 'error')
    .map(({ code, path, message }) => {
      const bar = arrangement.bars[Number(/^bars\/(\d+)/.exec(path)?.[1] ?? -1)]
      return { kind: `${code} ${bar?.provenance.tuneBar ?? path}`, text: `${code} ${path}: ${message}` }
    })
}

const errorsOf = (plan: Plan, depth: Depth): readonly Found[] => errorsIn(arrangementOf(plan, depth), plan)

function barFaults(bars: readonly ArrangedBar[]): readonly string[] {
  return bars.flatMap((bar, index) => {
    const chords = bar.chords.reduce((sum, placed) => sum + placed.durationTicks, 0)
    const wrong: string[] = []
    if (bar.barIndex !== index) wrong.push(`bar ${index} says it is ${bar.barIndex}`)
    if (chords !== bar.lengthTicks) wrong.push(`bar ${index}: chords fill ${chords} of ${bar.lengthTicks}`)
    if (bar.lengthTicks !== barTicks(bar.metre) && index !== 0 && index !== bars.length - 1)
      wrong.push(`bar ${index}: ${bar.lengthTicks} ticks in ${bar.metre.beats}/${bar.metre.beatType}`)
    for (const note of bar.melody)
      if (note.startTick + note.durationTicks > bar.lengthTicks)
        wrong.push(`bar ${index}: ${note.name} runs past the bar`)
    if (!bar.provenance.rule || (bar.provenance.decision !== 'tune' && !bar.provenance.optionId))
      wrong.push(`bar ${index} has no option behind it`)
    return wrong
  })
}
