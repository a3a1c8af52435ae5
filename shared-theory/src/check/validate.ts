/** All fault families over one arrangement. */
import type { Arrangement, FoldedScore, Issue, Plan } from '../contract/index.js'
import { issue } from '../units/index.js'
import { type AsPlanned, asPlanned } from './as-planned.js'
import { type CheckContext, checkedPart, nameReader, numberer } from './check-context.js'
import { readable } from './readable.js'
import { readablePlan } from './readable-plan.js'
import { checkBarSums } from './va1-bar-sums.js'
import { checkMelodyFit } from './va2-melody-fit.js'
import { checkSpelling } from './va3-spelling.js'
import { checkLiftPrepared } from './va4-lift-prepared.js'
import { checkLiftMoved } from './va5-lift-moved.js'
import { checkRange } from './va6-range.js'
import { checkLowIntervals } from './va7-low-intervals.js'
import { checkMinorNinths } from './va8-minor-ninths.js'
import { checkWrittenPitch } from './va9-written-pitch.js'
import { checkTies } from './va10-ties.js'
import { checkRoadMap } from './va11-road-map.js'
import { checkConnections } from './va12-connections.js'

const FAMILIES: readonly ((context: CheckContext) => readonly Issue[])[] = [
  checkBarSums,
  checkMelodyFit,
  checkSpelling,
  checkLiftPrepared,
  checkLiftMoved,
  checkRange,
  checkLowIntervals,
  checkMinorNinths,
  checkWrittenPitch,
  checkTies,
  checkRoadMap,
  checkConnections,
]

/** Everything wrong with an arrangement, family by family (VA1 … VA12), each with its bar and its mend. Total: any JSON is answered.
 *  Lifts (VA4, VA5) are checked only against a `plan`, repeats (VA11) against `folded`, written parts (VA9) against `written`. */
export function validate(
  arrangement: Arrangement,
  context: {
    readonly plan?: Plan
    readonly folded?: FoldedScore
    readonly written?: { readonly [partId: string]: string }
  } = {},
): Issue[] {
  const { bars, lineup, issues } = readable(arrangement)
  const plan = context.plan === undefined ? undefined : readablePlan(context.plan)
  const checked: CheckContext = {
    bars,
    parts: lineup.map(checkedPart),
    ...(plan ? { plan } : {}),
    planned: once(() => plan && asPlanned(bars, plan)),
    ...(context.folded === undefined ? {} : { folded: context.folded }),
    ...(context.written === undefined ? {} : { written: context.written }),
    read: nameReader(),
    numberOf: numberer(bars),
  }
  const broken =
    context.plan !== undefined && !plan
      ? [issue('VA4', 'warning', 'plan', 'The plan cannot be read, so its lift is not checked.')]
      : []
  return [...issues, ...broken, ...FAMILIES.flatMap((check) => check(checked))]
}

/** Worked out when first asked for, then kept for this one check. */
function once(make: () => AsPlanned | undefined): CheckContext['planned'] {
  let made: { readonly planned: AsPlanned | undefined } | undefined
  return () => (made ??= { planned: make() }).planned
}
