/** Which lifts a plan holds, and where they begin in the arrangement. */
import type { ArrangedBar, Chosen, Plan, SectionRef } from '../contract/index.js'
import { mod, pitchClass, tonicOf } from '../units/index.js'
import { type CheckContext, readableBars } from './check-context.js'

export interface PlannedLift {
  readonly chosen: Chosen
  /** Index of the first lifted bar. */
  readonly index: number
  readonly semitones: number
}

/** The lifts that act, in order; of several for one place the last counts. */
export function plannedLifts(context: CheckContext): readonly PlannedLift[] {
  const { plan } = context
  if (!plan) return []
  const byPlace = new Map<number, PlannedLift>()
  for (const chosen of plan.chosen) {
    const semitones = chosen.kind === 'lift' ? chosen.option.params['semitones'] : undefined
    if (typeof semitones !== 'number') continue
    const at = chosen.at ?? chosen.option.at
    const index = at && firstBarOf(context, plan, at)
    if (index !== undefined) byPlace.set(index, { chosen, index, semitones })
  }
  return [...byPlace.values()].filter(({ semitones }) => semitones !== 0).sort((a, b) => a.index - b.index)
}

/** The place in the bars as they came out: whatever the groove joined or split, a bar still knows its tune bar. */
function firstBarOf({ bars }: CheckContext, plan: Plan, at: SectionRef): number | undefined {
  const section = plan.tune.sections.find(({ id }) => id === at.sectionId)
  const firstTuneBar = section ? section.startBar + (at.fromBar ?? 0) : 0
  for (const [index, bar] of readableBars(bars)) {
    const isPass = bar.pass === at.passId || bar.pass.startsWith(`${at.passId}#`)
    if (!isPass || (at.sectionId !== undefined && bar.sectionId !== at.sectionId)) continue
    if ((bar.provenance.tuneBar ?? firstTuneBar) >= firstTuneBar) return index
  }
  return undefined
}

/** Semitones (0–11) by which the whole arrangement stands away from the tune: the key asked for. */
export function keyShift(plan: Plan): number {
  return plan.key === undefined ? 0 : mod(pitchClass(tonicOf(plan.key)) - pitchClass(tonicOf(plan.tune.key.key)), 12)
}

/** Whether a hand edit may have touched a bar's chords or melody: what the band wrote itself is not held against the plan. */
export function isEditedByHand(plan: Plan, bar: ArrangedBar, kind: 'chord' | 'melody'): boolean {
  return plan.edits.some(
    (edit) => edit.kind === kind && edit.at.pass === bar.pass && edit.at.sectionId === bar.sectionId,
  )
}
