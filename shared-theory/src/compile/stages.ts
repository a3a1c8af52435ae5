/** The decisions applied in their order: harmony, lift, groove, opening, ending. Each sees only what the ones before made. */
import type { ArrangedBar, Chosen, DecisionKind, Issue, Plan, SectionRef } from '../contract/index.js'
import {
  endingRecipes,
  grooveRecipes,
  harmonyRecipes,
  liftRecipes,
  openingRecipes,
  type Recipe,
} from '../decisions/index.js'
import { issue } from '../units/index.js'

/** Order of the stages. */
export const STAGES: readonly DecisionKind[] = ['harmony', 'lift', 'groove', 'opening', 'ending']

const RECIPES: { readonly [kind in DecisionKind]: readonly Recipe[] } = {
  groove: grooveRecipes,
  opening: openingRecipes,
  harmony: harmonyRecipes,
  lift: liftRecipes,
  ending: endingRecipes,
}

/** The recipes of a decision; none where there is no such decision. */
export function recipesOf(kind: DecisionKind): readonly Recipe[] {
  return Object.hasOwn(RECIPES, kind) ? RECIPES[kind] : []
}

export interface StageResult {
  readonly bars: readonly ArrangedBar[]
  readonly issues: readonly Issue[]
}

/** Bars after every stage named, and what stood in the way. `stages` lets proposals stop before a decision. */
export function applyStages(
  start: readonly ArrangedBar[],
  plan: Plan,
  stages: readonly DecisionKind[] = STAGES,
): StageResult {
  const issues: Issue[] = []
  let bars = start
  for (const kind of stages) {
    for (const { chosen, index } of effective(plan, kind, bars, issues)) {
      const recipe = RECIPES[kind].find((known) => known.id === chosen.option.recipe)
      if (!recipe) {
        issues.push(
          issue(
            'CO10',
            'error',
            `chosen/${index}`,
            `'${chosen.option.recipe}' is no ${kind} recipe. Choose one of: ${RECIPES[kind].map((known) => known.id).join(', ')}.`,
          ),
        )
        continue
      }
      const done = recipe.apply(bars, chosen, { tune: plan.tune, plan })
      bars = done.bars
      issues.push(
        ...done.issues.map((found) => ({ ...found, path: found.path === 'chosen' ? `chosen/${index}` : found.path })),
      )
    }
  }
  return { bars, issues }
}

/** The choice that counts for a decision asked once: the last one. */
export function chosenOnce(plan: Plan, kind: DecisionKind): Chosen | undefined {
  return plan.chosen.filter((chosen) => chosen.kind === kind).at(-1)
}

interface Placed {
  readonly chosen: Chosen
  readonly index: number
}

/** Choices of a kind that act: the last of a slot, in playing order, none overlapping an earlier one. */
function effective(plan: Plan, kind: DecisionKind, bars: readonly ArrangedBar[], issues: Issue[]): readonly Placed[] {
  const all = plan.chosen
    .map((chosen, index): Placed => ({ chosen, index }))
    .filter(({ chosen }) => chosen.kind === kind)
  if (kind !== 'harmony' && kind !== 'lift') return all.slice(-1)
  const bySlot = new Map<string, Placed>()
  for (const placed of all) {
    const at = placeOf(placed.chosen)
    const unknown = unknownPlace(plan, at)
    if (unknown) {
      issues.push(issue('CO11', 'error', `chosen/${placed.index}/at`, `${placed.chosen.option.title}: ${unknown}`))
      continue
    }
    bySlot.set(JSON.stringify([at?.passId, at?.sectionId, at?.fromBar, at?.bars]), placed)
  }
  const kept: { readonly placed: Placed; readonly from: number; readonly to: number }[] = []
  for (const placed of bySlot.values()) {
    const { from, to } = extentOf(bars, placeOf(placed.chosen))
    const rival = kind === 'harmony' ? kept.find((other) => from < other.to && other.from < to) : undefined
    if (rival) {
      const text = `${placed.chosen.option.title} overlaps ${rival.placed.chosen.option.title}; the earlier choice stays. Move one of them or shorten its stretch.`
      issues.push(issue('CO12', 'error', `chosen/${placed.index}/at`, text))
      continue
    }
    // Two names of one bar (a pass, and its first section) are one place for a lift: the last counts, as in one slot.
    const twin = kind === 'lift' ? kept.findIndex((other) => other.from === from) : -1
    const earlier = kept[twin]
    if (earlier) {
      const text = `${earlier.placed.chosen.option.title} and ${placed.chosen.option.title} begin at the same bar; only the second is played. Remove one of them.`
      issues.push(issue('CO12', 'warning', `chosen/${earlier.placed.index}/at`, text))
      kept.splice(twin, 1)
    }
    kept.push({ placed, from, to })
  }
  return kept.sort((a, b) => a.from - b.from).map(({ placed }) => placed)
}

export function placeOf(chosen: Chosen): SectionRef | undefined {
  return chosen.at ?? chosen.option.at
}

function unknownPlace(plan: Plan, at: SectionRef | undefined): string | undefined {
  if (!at) return undefined
  const pass = plan.roadmap.find((known) => known.id === at.passId)
  if (!pass)
    return `there is no pass '${at.passId}' in the running order (${plan.roadmap.map((known) => known.id).join(', ')}).`
  if (at.sectionId !== undefined && !pass.sections.includes(at.sectionId))
    return `pass '${at.passId}' has no section '${at.sectionId}' (it has ${pass.sections.join(', ')}).`
  return undefined
}

/** First and one-past-last bar index of a place, its first time through. */
export function extentOf(
  bars: readonly ArrangedBar[],
  at: SectionRef | undefined,
): { readonly from: number; readonly to: number } {
  if (!at) return { from: 0, to: bars.length }
  const inside = bars.flatMap((bar, index) =>
    bar.pass === at.passId && (at.sectionId === undefined || bar.sectionId === at.sectionId) ? [index] : [],
  )
  const first = inside[0] ?? 0
  const from = first + (at.fromBar ?? 0)
  return { from, to: at.bars === undefined ? (inside.at(-1) ?? first) + 1 : from + at.bars }
}
