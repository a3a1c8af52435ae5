/** Plan to arrangement, a fold of pure stages: running order, harmony, lift, groove, opening, ending, hand edits, the band. Total and deterministic. */
import { type BandContext, type PartBars, bandOf, realiseBand } from '../band/index.js'
import type { ArrangedBar, Arrangement, DecisionKind, Issue, Plan } from '../contract/index.js'
import { type Groove, defaultGroove, findGroove, slowedIntoFree, tempoOf } from '../rhythm/index.js'
import { LIMITS, hashOf, issue } from '../units/index.js'
import { applySectionCounts, missedCounts, withBarCounts } from './bar-counts.js'
import { applyEdits, type LandedVoicing, unheardVoicings, voicingsByBar } from './hand-edits.js'
import { planShape } from './plan-shape.js'
import { type RunningOrder, runningOrder } from './running-order.js'
import { applyStages, chosenOnce, STAGES } from './stages.js'

interface Form {
  readonly bars: readonly ArrangedBar[]
  readonly groove: Groove
  readonly voicings: readonly LandedVoicing[]
  readonly issues: readonly Issue[]
}

/** The whole arrangement with every part realised, and what stood in the way. Never throws, whatever the plan is. */
export function compile(given: Plan): { arrangement: Arrangement; issues: Issue[] } {
  const { plan, issues: wrong } = planShape(given)
  const form = formOf(plan)
  const played = realiseBand(form.bars, bandContext(plan, form))
  return {
    arrangement: {
      version: 1,
      title: plan.tune.title,
      lineup: plan.lineup,
      groove: form.groove.id,
      bars: played,
    },
    issues: [...wrong, ...form.issues, ...unheardVoicings(form.voicings, played, plan)],
  }
}

/** The same bars, parts empty, and any part by its id when asked for: equal note for note to the whole, without playing the rest. */
export function compilePartly(given: Plan): { bars: readonly ArrangedBar[]; part: (id: string) => PartBars } {
  const { plan } = planShape(given)
  const form = formOf(plan)
  let play: ReturnType<typeof bandOf> | undefined
  const part = (id: string): PartBars => {
    const spec = plan.lineup.find((own) => own.id === id)
    return spec ? (play ??= bandOf(form.bars, bandContext(plan, form)))(spec) : []
  }
  return { bars: form.bars, part }
}

/** Endings that say how the band stops. */
const STOPS: { readonly [recipe: string]: BandContext['stop'] } = { button: 'button', fade: 'none' }

function bandContext(plan: Plan, { groove, voicings }: Form): BandContext {
  const stop = STOPS[chosenOnce(plan, 'ending')?.option.recipe ?? '']
  return {
    lineup: plan.lineup,
    roadmap: plan.roadmap,
    groove,
    seed: plan.seed ?? 1,
    voicings: voicingsByBar(voicings),
    ...(stop ? { stop } : {}),
  }
}

/** Form, chords and melody only (parts empty): what an edit needs at once. */
export function compileForm(given: Plan): { bars: readonly ArrangedBar[]; groove: string; issues: readonly Issue[] } {
  const { plan, issues: wrong } = planShape(given)
  const { bars, groove, issues } = formOf(plan)
  return { bars, groove: groove.id, issues: [...wrong, ...issues] }
}

/** The bars as a decision's recipes find them: after the stages before it, with the plan's other choices. */
export function barsBefore(given: Plan, kind: DecisionKind): readonly ArrangedBar[] {
  const { plan } = planShape(given)
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
  const opened = applyStages(grooved.bars, plan, ['opening'])
  const framed = applyStages(opened.bars, plan, ['ending'])
  const counted = applySectionCounts(framed.bars, plan, before.bars, grooved.bars)
  const missed = missedCounts(plan, {
    opening: opened.bars.length - grooved.bars.length,
    ending: framed.bars.length - opened.bars.length,
  })
  const maps = chosenOnce(plan, 'groove')?.option.params.maps
  const isTooLong = counted.bars.length > LIMITS.arrangementBars && start.bars.length < LIMITS.arrangementBars
  const text = `With opening, ending and added bars the arrangement is longer than ${LIMITS.arrangementBars} bars; what comes after is left out.`
  const edited = applyEdits(counted.bars.slice(0, LIMITS.arrangementBars), plan, {
    before: before.bars,
    after: grooved.bars,
    ...(Array.isArray(maps) ? { maps: maps.map(String) } : {}),
  })
  return {
    bars: numbered(slowedIntoFree(edited.bars)),
    groove: grooveOf(plan),
    voicings: edited.voicings,
    issues: [
      ...start.issues,
      ...before.issues,
      ...grooved.issues,
      ...opened.issues,
      ...framed.issues,
      ...counted.issues,
      ...missed,
      ...edited.issues,
      ...(isTooLong ? [issue('CO2', 'error', 'roadmap', text)] : []),
    ],
  }
}

function ordered(plan: Plan): RunningOrder {
  const { tune } = plan
  const tempoBpm = tempoOf(tune)
  const groove = defaultGroove(tune.metre, tempoBpm)
  return runningOrder(plan, { tempoBpm: tempoBpm ?? groove.tempo.default, feel: groove.feel })
}

function grooveOf(plan: Plan): Groove {
  const chosen = chosenOnce(plan, 'groove')?.option.params.groove
  return (
    (typeof chosen === 'string' ? findGroove(chosen) : undefined) ?? defaultGroove(plan.tune.metre, tempoOf(plan.tune))
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
