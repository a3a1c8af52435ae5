/** Plan to arrangement, a fold of pure stages: running order, harmony, lift, groove, opening, ending, hand edits, the band. Total and deterministic. */
import { realiseBand } from '../band/index.js'
import type { ArrangedBar, Arrangement, DecisionKind, Issue, Plan } from '../contract/index.js'
import { type Groove, defaultGroove, findGroove } from '../rhythm/index.js'
import { LIMITS, hashOf, issue } from '../units/index.js'
import { applyEdits, applySectionCounts, type VoicingEdit, withBarCounts } from './hand-edits.js'
import { type RunningOrder, runningOrder } from './running-order.js'
import { applyStages, chosenOnce, STAGES } from './stages.js'

interface Form {
  readonly bars: readonly ArrangedBar[]
  readonly groove: Groove
  readonly voicings: ReadonlyMap<number, readonly VoicingEdit[]>
  readonly issues: readonly Issue[]
}

/** The whole arrangement with every part realised, and what stood in the way. Never throws on a plan of the right shape, whatever it says. */
export function compile(plan: Plan): { arrangement: Arrangement; issues: Issue[] } {
  const { bars, groove, voicings, issues } = formOf(plan)
  const lineup = plan.lineup.slice(0, LIMITS.parts)
  const ending = chosenOnce(plan, 'ending')?.option.recipe
  const played = realiseBand(bars, {
    lineup,
    roadmap: plan.roadmap,
    groove,
    seed: plan.seed ?? 1,
    voicings,
    ...(ending === 'button' ? { stop: 'button' as const } : {}),
  })
  const tooMany =
    plan.lineup.length > LIMITS.parts
      ? [
          issue(
            'CO8',
            'error',
            'lineup',
            `The line-up has ${plan.lineup.length} players; parts are written for the first ${LIMITS.parts}.`,
          ),
        ]
      : []
  return {
    arrangement: { version: 1, title: plan.tune.title, lineup, groove: groove.id, bars: played },
    issues: [...issues, ...tooMany],
  }
}

/** Form, chords and melody only (parts empty): what an edit needs at once. */
export function compileForm(plan: Plan): { bars: readonly ArrangedBar[]; groove: string; issues: readonly Issue[] } {
  const { bars, groove, issues } = formOf(plan)
  return { bars, groove: groove.id, issues }
}

/** The bars as a decision's recipes find them: after the stages before it, with the plan's other choices. */
export function barsBefore(plan: Plan, kind: DecisionKind): readonly ArrangedBar[] {
  const { bars } = ordered(plan)
  return numbered(applyStages(bars, plan, STAGES.slice(0, STAGES.indexOf(kind))).bars)
}

/** Names a compiled plan alike on server, browser and command line. */
export function planHash(plan: Plan): string {
  return hashOf(plan)
}

function formOf(given: Plan): Form {
  const plan = withBarCounts(given)
  const start = ordered(plan)
  const before = applyStages(start.bars, plan, ['harmony', 'lift'])
  const grooved = applyStages(before.bars, plan, ['groove'])
  const framed = applyStages(grooved.bars, plan, ['opening', 'ending'])
  const counted = applySectionCounts(framed.bars, plan)
  const maps = chosenOnce(plan, 'groove')?.option.params.maps
  const edited = applyEdits(counted.bars, plan, {
    before: before.bars,
    after: grooved.bars,
    ...(Array.isArray(maps) ? { maps: maps.map(String) } : {}),
  })
  return {
    bars: numbered(edited.bars),
    groove: grooveOf(plan),
    voicings: edited.voicings,
    issues: [
      ...start.issues,
      ...before.issues,
      ...grooved.issues,
      ...framed.issues,
      ...counted.issues,
      ...edited.issues,
    ],
  }
}

function ordered(plan: Plan): RunningOrder {
  const { tune } = plan
  const groove = defaultGroove(tune.metre, tune.tempoBpm)
  return runningOrder(plan, { tempoBpm: tune.tempoBpm ?? groove.tempo.default, feel: groove.feel })
}

function grooveOf(plan: Plan): Groove {
  const chosen = chosenOnce(plan, 'groove')?.option.params.groove
  return (
    (typeof chosen === 'string' ? findGroove(chosen) : undefined) ?? defaultGroove(plan.tune.metre, plan.tune.tempoBpm)
  )
}

/** Bars count from 0 in playing order; tempi are rounded to a thousandth. */
function numbered(bars: readonly ArrangedBar[]): readonly ArrangedBar[] {
  return bars.map((bar, barIndex) => ({
    ...bar,
    barIndex,
    tempoBpm: thousandth(bar.tempoBpm),
    ...(bar.tempoEndBpm === undefined ? {} : { tempoEndBpm: thousandth(bar.tempoEndBpm) }),
  }))
}

const thousandth = (value: number): number => Math.round(value * 1000) / 1000
